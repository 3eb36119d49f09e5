//! The shop's conditions: what a mechanic says of a leg or of the machine between two procedures.

use super::text::{Text, applies, list};
use crate::catalogue::{When, Works};
use crate::syntax::yaml::Node;
use crate::text::FileId;

/// What a condition is said of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Holder {
    /// Each leg for itself.
    #[default]
    Leg,
    /// The machine, or the job as a whole.
    Machine,
}

impl Holder {
    /// The words as sources write them.
    pub const ALL: [(&'static str, Holder); 2] = [("leg", Holder::Leg), ("machine", Holder::Machine)];
}

/// The words for which leg something is meant for, where the legs do different work.
pub const WORKS: [(&str, Works); 3] =
    [("both", Works::Both), ("spring", Works::Spring), ("damper", Works::Damper)];

/// A condition.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// Its id, the key it stands under.
    pub id: Text,
    /// The sentence a mechanic says, such as "the leg is bled".
    pub says: String,
    /// What happens at the bench or on the road where it is needed and does not hold.
    pub otherwise: Option<String>,
    /// What it is said of.
    pub per: Holder,
    /// The forks for which it means anything.
    pub applies: When,
    /// Values of the part it is about, as keys: it means nothing on a leg whose record says `not fitted` of every one.
    pub fitted: Vec<Text>,
    /// The leg for which it means anything, where the legs do different work.
    pub works: Works,
    /// What holds whenever it holds.
    pub implies: Vec<Text>,
    /// What cannot hold while it holds; bringing one about ends the other.
    pub excludes: Vec<Text>,
    /// Cautions that a procedure must carry which brings it about.
    pub cautions: Vec<Text>,
}

/// `procedures/conditions.yaml`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Conditions {
    /// Its file; `None` where the shop has none.
    pub file: Option<FileId>,
    /// The conditions in the file's order.
    pub list: Vec<Condition>,
    /// What holds when a job begins, for every service.
    pub start: Vec<Text>,
    /// What must hold when a job is handed back, for every service.
    pub hand_back: Vec<Text>,
}

/// Reads the conditions.
pub(crate) fn read_conditions(root: &Node, file: FileId) -> Conditions {
    let entries = root.get("conditions").map_or(&[][..], Node::entries);
    let read = entries.iter().map(|entry| {
        let node = &entry.value;
        let word = |key: &str| node.text_of(key);
        let of = |words: &[(&str, Holder)]| {
            words.iter().find(|(id, _)| Some(*id) == word("per")).map(|(_, per)| *per)
        };
        Condition {
            id: Text { text: entry.key.clone(), span: entry.key_span },
            says: word("says").unwrap_or(&entry.key).trim().trim_end_matches('.').to_owned(),
            otherwise: word("otherwise").map(|text| text.trim().trim_end_matches('.').to_owned()),
            per: of(&Holder::ALL).unwrap_or_default(),
            applies: applies(node),
            fitted: list(node, "fitted"),
            works: WORKS
                .iter()
                .find(|(id, _)| Some(*id) == word("works"))
                .map_or(Works::Both, |(_, works)| *works),
            implies: list(node, "implies"),
            excludes: list(node, "excludes"),
            cautions: list(node, "cautions"),
        }
    });
    Conditions {
        file: Some(file),
        list: read.collect(),
        start: list(root, "start"),
        hand_back: list(root, "hand_back"),
    }
}
