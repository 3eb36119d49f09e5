//! Tools and consumables.

use super::id::check_id;
use super::text::{Text, list, text_entry};
use crate::diagnostic::Finding;
use crate::syntax::yaml::Node;
use crate::text::{FileId, Files};

/// A tool or a consumable.
#[derive(Debug, Clone, PartialEq)]
pub struct Tool {
    /// Its id.
    pub id: Text,
    /// What it is called.
    pub title: String,
    /// Used up by the job.
    pub consumable: bool,
    /// What for.
    pub use_for: String,
    /// Its size.
    pub size: Option<String>,
    /// How it is counted.
    pub unit: Option<String>,
    /// The value of the fork that says its size, by key.
    pub sized_by: Option<Text>,
    /// How many a leg takes, where that is known beforehand.
    pub each_leg: Option<u32>,
    /// Words by which steps speak of it, besides its title.
    pub called: Vec<Text>,
    /// Worn through the whole procedure, so that no step need name it.
    pub worn: bool,
    /// Free text.
    pub notes: Option<String>,
}

/// Reads a tool or consumable.
pub(crate) fn read_tool(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Tool {
    let own = |key: &str| root.text_of(key).map(str::to_owned);
    Tool {
        id: check_id(root, file, files, findings),
        title: own("title").unwrap_or_default(),
        consumable: root.text_of("kind") == Some("consumable"),
        use_for: own("use").unwrap_or_default(),
        size: own("size"),
        unit: own("unit"),
        sized_by: text_entry(root, "sized_by"),
        each_leg: root.text_of("each_leg").and_then(|count| count.parse().ok()),
        called: list(root, "called"),
        worn: root.text_of("worn") == Some("true"),
        notes: own("notes"),
    }
}
