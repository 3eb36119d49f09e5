//! Trees to types that derive `Deserialize`.
//!
//! Nothing is refused here: the schema has said what has the wrong shape. Whatever is missing or has another shape
//! than the type asks for is read as nothing: an empty text, an empty list, the first word of a set of words. A word
//! or mapping where a list is due is read as a list of one.

use serde::de::value::{Error, StrDeserializer};
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, IntoDeserializer, MapAccess, SeqAccess, VariantAccess, Visitor,
};

use super::yaml::{Entry, Node, Tree};
use crate::text::{FileId, Span};

/// The name under which a type asks for its place besides its value: as a newtype that holds the file, where it
/// starts, where it ends, and the value.
pub(crate) const WITH_PLACE: &str = "a value with its place";

/// A tree as a typed value; the type's default where one of its own checks fails.
pub(crate) fn from_tree<'t, T: serde::Deserialize<'t> + Default>(node: &'t Node) -> T {
    T::deserialize(Reader::of(node)).unwrap_or_default()
}

/// Where a value begins when nothing was written.
const NOWHERE: Span = Span { file: FileId(0), start: 0, end: 0 };

/// What a type is read from: a node, a key, or nothing.
#[derive(Clone, Copy)]
enum Reader<'t> {
    Node(&'t Node),
    Key(&'t str, Span),
    Nothing,
}

impl<'t> Reader<'t> {
    fn of(node: &'t Node) -> Self {
        if node.is_empty() { Reader::Nothing } else { Reader::Node(node) }
    }

    fn text(self) -> Option<&'t str> {
        match self {
            Reader::Node(node) => node.text(),
            Reader::Key(key, _) => Some(key),
            Reader::Nothing => None,
        }
    }

    fn span(self) -> Span {
        match self {
            Reader::Node(node) => node.span,
            Reader::Key(_, span) => span,
            Reader::Nothing => NOWHERE,
        }
    }

    fn items(self) -> &'t [Node] {
        match self {
            Reader::Node(node) => match &node.value {
                Tree::List(items) => items,
                _ => std::slice::from_ref(node),
            },
            Reader::Key(..) | Reader::Nothing => &[],
        }
    }

    fn entries(self) -> &'t [Entry] {
        match self {
            Reader::Node(node) => node.entries(),
            Reader::Key(..) | Reader::Nothing => &[],
        }
    }
}

/// A number that was written; nothing is none.
macro_rules! numbers {
    ($($method:ident $visit:ident $type:ty),* $(,)?) => {
        $(fn $method<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
            visitor.$visit(self.text().and_then(|text| text.parse::<$type>().ok()).unwrap_or_default())
        })*
    };
}

impl<'t> Deserializer<'t> for Reader<'t> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Reader::Node(Node { value: Tree::List(_), .. }) => self.deserialize_seq(visitor),
            Reader::Node(Node { value: Tree::Map(_), .. }) => self.deserialize_map(visitor),
            _ => self.deserialize_str(visitor),
        }
    }

    fn deserialize_str<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_borrowed_str(self.text().unwrap_or_default())
    }

    fn deserialize_string<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        self.deserialize_str(visitor)
    }

    fn deserialize_identifier<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        self.deserialize_str(visitor)
    }

    fn deserialize_bool<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_bool(self.text() == Some("true"))
    }

    numbers! { deserialize_u32 visit_u32 u32, deserialize_u64 visit_u64 u64, deserialize_f64 visit_f64 f64 }

    fn deserialize_option<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        // Where a type is optional, another shape is as good as nothing: every optional key of a record is a word.
        if self.text().is_some() { visitor.visit_some(self) } else { visitor.visit_none() }
    }

    fn deserialize_newtype_struct<V: Visitor<'t>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        if name == WITH_PLACE {
            visitor.visit_seq(WithPlace { reader: self, next: 0 })
        } else {
            visitor.visit_newtype_struct(self)
        }
    }

    fn deserialize_seq<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_seq(Items(self.items().iter()))
    }

    fn deserialize_tuple<V: Visitor<'t>>(self, _: usize, visitor: V) -> Result<V::Value, Error> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_map<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_map(Entries { rest: self.entries().iter(), value: Reader::Nothing })
    }

    fn deserialize_struct<V: Visitor<'t>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_map(Fields { of: self, rest: fields.iter(), value: Reader::Nothing })
    }

    fn deserialize_enum<V: Visitor<'t>>(
        self,
        _: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let word = self.text().and_then(|word| variants.iter().find(|variant| **variant == word));
        visitor.visit_enum(Word(word.or(variants.first()).copied().unwrap_or_default()))
    }

    fn deserialize_ignored_any<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_unit()
    }

    serde::forward_to_deserialize_any! {
        <V: Visitor<'t>>
        i8 i16 i32 i64 i128 u8 u16 u128 f32 char bytes byte_buf unit unit_struct tuple_struct
    }
}

/// File, start, end, value: what [`WITH_PLACE`] promises.
struct WithPlace<'t> {
    reader: Reader<'t>,
    next: u8,
}

impl<'t> SeqAccess<'t> for WithPlace<'t> {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'t>>(&mut self, seed: S) -> Result<Option<S::Value>, Error> {
        let span = self.reader.span();
        self.next += 1;
        let number = |number: u32| IntoDeserializer::<Error>::into_deserializer(number);
        match self.next {
            1 => seed.deserialize(number(span.file.0)).map(Some),
            2 => seed.deserialize(number(span.start)).map(Some),
            3 => seed.deserialize(number(span.end)).map(Some),
            4 => seed.deserialize(self.reader).map(Some),
            _ => Ok(None),
        }
    }
}

struct Items<'t>(std::slice::Iter<'t, Node>);

impl<'t> SeqAccess<'t> for Items<'t> {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'t>>(&mut self, seed: S) -> Result<Option<S::Value>, Error> {
        self.0.next().map(|node| seed.deserialize(Reader::of(node))).transpose()
    }
}

/// The entries of a mapping in the order written.
struct Entries<'t> {
    rest: std::slice::Iter<'t, Entry>,
    value: Reader<'t>,
}

impl<'t> MapAccess<'t> for Entries<'t> {
    type Error = Error;

    fn next_key_seed<S: DeserializeSeed<'t>>(&mut self, seed: S) -> Result<Option<S::Value>, Error> {
        let Some(entry) = self.rest.next() else { return Ok(None) };
        self.value = Reader::of(&entry.value);
        seed.deserialize(Reader::Key(&entry.key, entry.key_span)).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'t>>(&mut self, seed: S) -> Result<S::Value, Error> {
        seed.deserialize(self.value)
    }
}

/// Every field of a struct, written or not; keys that are no field are passed over.
struct Fields<'t> {
    of: Reader<'t>,
    rest: std::slice::Iter<'static, &'static str>,
    value: Reader<'t>,
}

impl<'t> MapAccess<'t> for Fields<'t> {
    type Error = Error;

    fn next_key_seed<S: DeserializeSeed<'t>>(&mut self, seed: S) -> Result<Option<S::Value>, Error> {
        let Some(field) = self.rest.next() else { return Ok(None) };
        let entry = self.of.entries().iter().find(|entry| entry.key == *field);
        self.value = entry.map_or(Reader::Nothing, |entry| Reader::of(&entry.value));
        let field: StrDeserializer<'_, Error> = (*field).into_deserializer();
        seed.deserialize(field).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'t>>(&mut self, seed: S) -> Result<S::Value, Error> {
        seed.deserialize(self.value)
    }
}

/// A word of a set of words.
struct Word(&'static str);

impl<'t> EnumAccess<'t> for Word {
    type Error = Error;
    type Variant = Self;

    fn variant_seed<S: DeserializeSeed<'t>>(self, seed: S) -> Result<(S::Value, Self), Error> {
        let word: StrDeserializer<'_, Error> = self.0.into_deserializer();
        Ok((seed.deserialize(word)?, self))
    }
}

impl<'t> VariantAccess<'t> for Word {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        Ok(())
    }

    fn newtype_variant_seed<S: DeserializeSeed<'t>>(self, seed: S) -> Result<S::Value, Error> {
        seed.deserialize(Reader::Nothing)
    }

    fn tuple_variant<V: Visitor<'t>>(self, _: usize, visitor: V) -> Result<V::Value, Error> {
        Reader::Nothing.deserialize_seq(visitor)
    }

    fn struct_variant<V: Visitor<'t>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        Reader::Nothing.deserialize_struct("", fields, visitor)
    }
}
