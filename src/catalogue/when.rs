//! Conditions on a fork's choices.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

/// What a fork has chosen: option by choice.
pub type Choices = BTreeMap<String, String>;

/// Keys of a `for:` that are no choice: they name forks one by one, a family's, or a maker's. A fork that is named in
/// some `for:` of the shop carries its own name among its choices, and no other fork does.
pub const NAMES: [&str; 3] = ["fork", "family", "maker"];

/// The choices alone, without the names by which a fork is singled out.
pub fn made(choices: &Choices) -> impl Iterator<Item = (&String, &String)> {
    choices.iter().filter(|(key, _)| !NAMES.contains(&key.as_str()))
}

/// Any of several maps; inside a map every choice must be one of the options named. Empty: always.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(transparent)]
pub struct When(pub Vec<BTreeMap<String, Vec<String>>>);

impl When {
    /// Whether it holds for these choices.
    pub fn holds(&self, choices: &Choices) -> bool {
        self.0.is_empty() || self.0.iter().any(|all| all_hold(all, choices))
    }

    /// Whether it hangs on a choice that is still open: it does not hold now, and would for some way of
    /// making the choices in `open`.
    pub fn undecided(&self, choices: &Choices, open: &BTreeSet<String>) -> bool {
        let could = |all: &BTreeMap<String, Vec<String>>| {
            all.iter().all(|(choice, options)| match choices.get(choice) {
                Some(chosen) => options.contains(chosen),
                None => open.contains(choice),
            })
        };
        !open.is_empty() && !self.holds(choices) && self.0.iter().any(could)
    }

    /// The same with what it names called otherwise: `other` gives the other name of one, by what it is (one of
    /// [`NAMES`]).
    pub fn renamed(&self, other: impl Fn(&str, &str) -> Option<String>) -> When {
        let mut ways = self.0.clone();
        for (by, names) in ways.iter_mut().flatten().filter(|(by, _)| NAMES.contains(&by.as_str())) {
            for name in names {
                if let Some(called) = other(by, name) {
                    *name = called;
                }
            }
        }
        When(ways)
    }

    /// Whether it holds whatever is chosen.
    pub fn is_always(&self) -> bool {
        self.0.is_empty()
    }
}

/// Whether every choice named is one of its options.
pub fn all_hold(all: &BTreeMap<String, Vec<String>>, choices: &Choices) -> bool {
    all.iter().all(|(choice, options)| choices.get(choice).is_some_and(|chosen| options.contains(chosen)))
}

/// When a field must be given.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum Required {
    /// Never.
    #[default]
    Never,
    /// Wherever the field applies.
    Always,
    /// Where this holds, and the field applies.
    When(When),
}

impl Required {
    /// Whether a fork with these choices, to which the field applies, must give it.
    pub fn holds(&self, choices: &Choices) -> bool {
        match self {
            Required::Never => false,
            Required::Always => true,
            Required::When(when) => when.holds(choices),
        }
    }
}

impl<'de> Deserialize<'de> for Required {
    fn deserialize<D: serde::Deserializer<'de>>(input: D) -> Result<Self, D::Error> {
        struct Visitor;
        impl<'de> serde::de::Visitor<'de> for Visitor {
            type Value = Required;
            fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                out.write_str("`always`, `never` or a list of choices")
            }
            fn visit_str<E: serde::de::Error>(self, word: &str) -> Result<Required, E> {
                match word {
                    "always" => Ok(Required::Always),
                    "never" => Ok(Required::Never),
                    _ => Err(E::invalid_value(serde::de::Unexpected::Str(word), &self)),
                }
            }
            fn visit_seq<A: serde::de::SeqAccess<'de>>(self, seq: A) -> Result<Required, A::Error> {
                When::deserialize(serde::de::value::SeqAccessDeserializer::new(seq)).map(Required::When)
            }
        }
        input.deserialize_any(Visitor)
    }
}
