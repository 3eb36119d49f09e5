//! What a value's mapping can say besides the value: the joint a torque belongs to, how clicks are
//! counted, and the parts of the state a gap, level or pressure is measured in.

use std::sync::LazyLock;

use crate::quantity::{Dimension, Kind};

/// A further key of a value's mapping.
#[derive(Debug, Clone)]
pub struct Attribute {
    /// The key.
    pub key: &'static str,
    /// What a person calls it.
    pub title: &'static str,
    /// What may be written.
    pub kind: Kind,
    /// How it is used.
    pub help: &'static str,
    /// How it may be written.
    pub example: &'static str,
}

fn choice(options: &[(&str, &str)]) -> Kind {
    Kind::Choice(options.iter().map(|(id, title)| ((*id).to_owned(), (*title).to_owned())).collect())
}

static ATTRIBUTES: LazyLock<Vec<Attribute>> = LazyLock::new(|| {
    let make = |key, title, kind, help, example| Attribute { key, title, kind, help, example };
    vec![
        make("thread", "Thread", Kind::Thread, "Diameter and pitch of the fastener.", "M8 × 1.25"),
        make(
            "property_class",
            "Property class",
            Kind::PropertyClass,
            "The class marked on the fastener (ISO 898-1); leave it out for caps and soft-metal threads.",
            "8.8",
        ),
        make("into", "Into", Kind::Text, "What the thread is cut in.", "aluminum"),
        make(
            "thread_state",
            "Thread state",
            choice(&[
                ("dry", "dry"),
                ("oiled", "oiled"),
                ("anti-seize", "anti-seize"),
                ("locking-compound", "locking compound"),
            ]),
            "What is on the thread when it is tightened; it changes what a torque does.",
            "dry",
        ),
        make("sequence", "Order", Kind::Count, "When it is tightened, counted from 1.", "1"),
        make(
            "single_use",
            "Single use",
            choice(&[("true", "new every time"), ("false", "used again")]),
            "Whether a new part is fitted every time.",
            "true",
        ),
        make(
            "pieces",
            "Pieces",
            Kind::Count,
            "How many there are on the machine, both legs and both calipers counted.",
            "4",
        ),
        make(
            "part_number",
            "Part number",
            Kind::Text,
            "The number under which the part is ordered, in quotes, as the maker writes it.",
            "T-1234",
        ),
        make(
            "counted",
            "Counted",
            choice(&[
                ("from-closed", "outward from fully closed"),
                ("from-open", "inward from fully open"),
                ("from-slack", "from fully slack"),
                ("rings-showing", "rings showing above the cap"),
            ]),
            "Where the count begins.",
            "from-closed",
        ),
        make(
            "first_click",
            "First click",
            choice(&[("zero", "the first click is zero"), ("one", "the first click is one")]),
            "What the first click is called.",
            "zero",
        ),
    ]
});

/// The parts of a state, in the order a page says them.
pub static STATE_PARTS: LazyLock<Vec<Attribute>> = LazyLock::new(|| {
    let make = |key, title, kind, help, example| Attribute { key, title, kind, help, example };
    vec![
        make(
            "edge",
            "From",
            choice(&[
                ("outer-tube-top", "from the outer tube's top edge"),
                ("stanchion-top", "from the stanchion's top edge"),
                ("damper-top", "from the damper's top edge"),
            ]),
            "The edge it is measured from.",
            "outer-tube-top",
        ),
        make(
            "leg",
            "Leg",
            choice(&[("collapsed", "leg collapsed"), ("extended", "leg extended")]),
            "Where the tubes stand.",
            "collapsed",
        ),
        make(
            "spring",
            "Spring",
            choice(&[("out", "spring out"), ("in", "spring in")]),
            "Whether the spring is in.",
            "out",
        ),
        make(
            "rod",
            "Rod",
            choice(&[("down", "rod down"), ("up", "rod up")]),
            "Where the damper rod stands.",
            "down",
        ),
        make("rest", "Rest", Kind::Quantity(Dimension::Time), "How long the oil has rested.", "10 min"),
        make(
            "temperature",
            "Temperature",
            Kind::Quantity(Dimension::Temperature),
            "The temperature it is measured at.",
            "20 °C",
        ),
        make(
            "wheel",
            "Wheel",
            choice(&[("off-ground", "wheel off the ground"), ("on-ground", "wheel on the ground")]),
            "Whether the wheel carries load.",
            "off-ground",
        ),
    ]
});

/// Every attribute.
pub fn attributes() -> &'static [Attribute] {
    &ATTRIBUTES
}

/// Words of the trade for an attribute that are none of its options: key, words, what to write instead.
const OTHER_WORDS: [(&str, &[&str], &str); 4] = [
    (
        "thread_state",
        &["greased", "grease", "lubricated", "lightly oiled", "oil"],
        "write `oiled` for oil or plain grease, `anti-seize` where the sheet asks for that paste",
    ),
    ("thread_state", &["paste", "copper grease", "copper paste", "antiseize"], "write `anti-seize`"),
    ("thread_state", &["clean", "degreased", "bare"], "write `dry`"),
    ("thread_state", &["glued", "threadlocker", "thread lock", "threadlock"], "write `locking-compound`"),
];

/// What to write instead of a word that is none of an attribute's options but the trade's for one of them.
pub fn by_another_word(key: &str, written: &str) -> Option<&'static str> {
    let said = written.trim().to_lowercase().replace(['-', '_'], " ");
    let row = OTHER_WORDS.iter().find(|(of, words, _)| *of == key && words.contains(&said.as_str()));
    row.map(|(.., instead)| *instead)
}

/// The attribute with a key.
pub fn attribute(key: &str) -> Option<&'static Attribute> {
    ATTRIBUTES.iter().find(|attribute| attribute.key == key)
}

/// The part of a state with a key.
pub fn state_part(key: &str) -> Option<&'static Attribute> {
    STATE_PARTS.iter().find(|part| part.key == key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_other_word_is_one_of_the_options_and_each_row_names_one() {
        for (key, words, instead) in OTHER_WORDS {
            let Kind::Choice(options) = &attribute(key).expect("an attribute").kind else { panic!("{key}") };
            assert!(options.iter().any(|(id, _)| instead.contains(&format!("`{id}`"))), "{instead}");
            for word in words {
                assert!(options.iter().all(|(id, _)| id != word), "{word} is an option");
                assert_eq!(by_another_word(key, word), Some(instead));
            }
        }
        assert_eq!(by_another_word("thread_state", "hand-tight"), None);
        assert_eq!(by_another_word("into", "greased"), None);
    }
}
