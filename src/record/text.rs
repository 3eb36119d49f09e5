//! Texts that know their places, and how they stand in a record and in its schema.

use std::fmt;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};

use crate::syntax::WITH_PLACE;
use crate::text::{FileId, Span};

/// A text and where it stands.
#[derive(Debug, Clone, Default, PartialEq, Eq, borsh::BorshSerialize, borsh::BorshDeserialize)]
pub struct Text {
    /// The text.
    pub text: String,
    /// Where.
    pub span: Span,
}

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        let Placed { value, span } = Placed::<String>::deserialize(input)?;
        Ok(Text { text: value, span })
    }
}

impl JsonSchema for Text {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Text".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({"type": "string"})
    }
}

/// A value and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed<T> {
    /// The value.
    pub(super) value: T,
    /// Where.
    pub(super) span: Span,
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Placed<T> {
    fn deserialize<D: Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        struct WithPlace<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for WithPlace<T> {
            type Value = Placed<T>;

            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str(WITH_PLACE)
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Placed<T>, A::Error> {
                let missing = || serde::de::Error::custom(WITH_PLACE);
                let file = FileId(parts.next_element()?.ok_or_else(missing)?);
                let start = parts.next_element()?.ok_or_else(missing)?;
                let end = parts.next_element()?.ok_or_else(missing)?;
                let value = parts.next_element()?.ok_or_else(missing)?;
                Ok(Placed { value, span: Span { file, start, end } })
            }
        }
        input.deserialize_newtype_struct(WITH_PLACE, WithPlace(PhantomData))
    }
}

impl<T: JsonSchema> JsonSchema for Placed<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        T::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

/// A mapping whose keys are names that the shop gives, in the order written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Named<T>(pub(super) Vec<(Text, T)>);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Named<T> {
    fn deserialize<D: Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        struct Entries<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Entries<T> {
            type Value = Named<T>;

            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str("a mapping")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Named<T>, A::Error> {
                let mut entries = Vec::new();
                while let Some(entry) = map.next_entry()? {
                    entries.push(entry);
                }
                Ok(Named(entries))
            }
        }
        input.deserialize_map(Entries(PhantomData))
    }
}

impl<T> Default for Named<T> {
    fn default() -> Self {
        Named(Vec::new())
    }
}

impl<T: JsonSchema> JsonSchema for Named<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        T::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let each = generator.subschema_for::<T>();
        json_schema!({"type": "object", "additionalProperties": each})
    }
}

/// The `$comment` of a text in a schema that the reader of values reads: it says what is wrong with it.
pub(crate) const A_VALUE: &str = "a value";

/// The `$comment` of a part of a schema that hangs on the choices of the catalogue: any of several forks.
pub(crate) const FOR_FORKS: &str = "for these forks";

/// The schema of `for:`, which the catalogue fills in.
pub(super) fn applies_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"$comment": FOR_FORKS})
}

/// The schema of a text that the reader of values reads.
pub(super) fn value_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"type": "string", "$comment": A_VALUE})
}

/// The schema of a text that may look like a number to YAML: a day, a range of years.
pub(super) fn loose_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"type": ["string", "integer"]})
}

/// Reads nothing: the reader of values takes it from the tree.
pub(super) fn read_apart<'de, D: Deserializer<'de>, T: Default>(input: D) -> Result<T, D::Error> {
    serde::de::IgnoredAny::deserialize(input).map(|_| T::default())
}

/// The texts of a list; what is no text has been refused by the schema.
pub(super) fn texts<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<Text>, D::Error> {
    let mut list = Vec::<Text>::deserialize(input)?;
    list.retain(|text| !text.text.is_empty());
    Ok(list)
}

/// A word out of a set that a record may write.
pub(super) trait Word: Sized {
    /// What a word stands for; `None` for one that is not of the set.
    fn of(word: &str) -> Option<Self>;
}

/// Reads a word that may be left out. One that is not of its set has been refused by the schema.
pub(super) fn word<'de, D: Deserializer<'de>, T: Word>(input: D) -> Result<Option<T>, D::Error> {
    Ok(Option::<String>::deserialize(input)?.and_then(|word| T::of(&word)))
}

/// Makes a type a set of words, from the one table of them: how it is read, and how its schema lists it. Where no
/// word of the set is written, it is read as the default.
macro_rules! words {
    ($type:ty, $table:expr, $default:expr) => {
        impl $crate::record::text::Word for $type {
            fn of(word: &str) -> Option<Self> {
                $table.iter().find(|row| row.0 == word).map(|row| row.1)
            }
        }

        impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
                $crate::record::text::word(input).map(|word| word.unwrap_or($default))
            }
        }

        impl schemars::JsonSchema for $type {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($type).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                let words: Vec<&str> = $table.iter().map(|row| row.0).collect();
                schemars::json_schema!({"type": "string", "enum": words})
            }
        }
    };
}
pub(super) use words;
