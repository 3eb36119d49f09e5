//! The choices that make up a fork: as the catalogue describes them, and as enums. The build makes them from `choices.yaml`, so an option that is not
//! in the data does not compile.

use super::key::{self, Key};
use super::when::{Choices, NAMES, When};

/// One of the choices that make up a fork.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Its key under `choices:`.
    pub key: String,
    /// What a person calls it.
    pub title: String,
    /// What it decides.
    pub help: String,
    /// What can be chosen: id and title, in order.
    pub options: Vec<(String, String)>,
    /// The forks that must make this choice.
    pub applies: When,
}

impl When {
    /// Whether it names a choice or an option that there is not, which the schema has said.
    pub fn unsound(&self, known: &[Choice]) -> bool {
        self.0.iter().flatten().any(|(key, options)| match known.iter().find(|choice| choice.key == *key) {
            Some(choice) => options.iter().any(|option| !choice.options.iter().any(|(id, _)| id == option)),
            None => !NAMES.contains(&key.as_str()),
        })
    }
}

/// A choice and its options.
pub trait MadeChoice: Copy + PartialEq + 'static {
    /// The key under `choices:`.
    const CHOICE: &'static str;
    /// The options with the words that a record writes, in the order of the catalogue.
    const OPTIONS: &'static [(&'static str, Self)];

    /// What a fork has chosen; `None` where the choice is not made or does not apply.
    fn of(choices: &Choices) -> Option<Self> {
        let word = choices.get(Self::CHOICE)?;
        Self::OPTIONS.iter().find(|(id, _)| id == word).map(|(_, option)| *option)
    }
}

impl Damping {
    /// Whether the damping is made by a rod that is fixed in the leg, so that nothing of a cartridge moves.
    pub fn has_fixed_rod(self) -> bool {
        matches!(self, Damping::DampingRod | Damping::DampingRodValve)
    }
}

impl OilSetBy {
    /// Whether the oil of some fork is set to this height, by its key.
    pub fn is_height(key: &str) -> bool {
        Self::OPTIONS.iter().filter_map(|(_, by)| by.height()).any(|height| height.name() == key)
    }

    /// What a person calls a height that oil is set to.
    pub fn word_of(height: Key) -> &'static str {
        if height == key::OIL_LEVEL { "level" } else { "gap" }
    }

    /// The height to which the oil of a leg is set; `None` where it is set by an amount.
    pub fn height(self) -> Option<Key> {
        match self {
            OilSetBy::AirGap => Some(key::OIL_AIR_GAP),
            OilSetBy::Level => Some(key::OIL_LEVEL),
            OilSetBy::Volume | OilSetBy::Pressure => None,
        }
    }
}

include!(concat!(env!("OUT_DIR"), "/choices.rs"));

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;

    #[test]
    fn a_fork_s_words_lead_to_its_options() {
        let choices = Choices::from([
            ("damping".to_owned(), "damping-rod-valve".to_owned()),
            ("springing".to_owned(), "steam".to_owned()),
        ]);
        assert_eq!(Damping::of(&choices), Some(Damping::DampingRodValve));
        assert_eq!(Springing::of(&choices), None);
        assert_eq!(OilSetBy::of(&choices), None);
    }

    #[test]
    fn every_option_of_the_catalogue_is_there() {
        let catalogue = builtin().expect("the built-in catalogue");
        let damping = catalogue.choice(Damping::CHOICE).expect("damping");
        let options: Vec<&str> = damping.options.iter().map(|(id, _)| id.as_str()).collect();
        let named: Vec<&str> = Damping::OPTIONS.iter().map(|(id, _)| *id).collect();
        assert_eq!(options, named);
    }
}
