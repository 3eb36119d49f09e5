//! What values rest on.

use std::sync::Arc;

use super::text::Text;
use crate::syntax::yaml::Node;

/// What kind of source a value rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SourceKind {
    /// The maker's own sheet or manual.
    MakerSheet,
    /// Measured in the shop.
    Measured,
    /// What the trade does, without a published source.
    CommonPractice,
    /// An estimate.
    Estimate,
}

impl SourceKind {
    /// The kinds and their ids.
    pub const ALL: [(&'static str, SourceKind, &'static str); 4] = [
        ("maker-sheet", SourceKind::MakerSheet, "maker's sheet"),
        ("measured", SourceKind::Measured, "measured in the shop"),
        ("common-practice", SourceKind::CommonPractice, "common practice"),
        ("estimate", SourceKind::Estimate, "estimate"),
    ];

    /// The word as sources write it.
    pub fn id(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind, _)| *kind == self).map_or("", |(id, _, _)| id)
    }

    /// What a page calls it.
    pub fn title(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind, _)| *kind == self).map_or("", |(_, _, title)| title)
    }
}

/// A source a record names.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceNote {
    /// The id values point at.
    pub id: Text,
    /// Its kind.
    pub kind: SourceKind,
    /// What it is.
    pub title: String,
    /// When, as written.
    pub date: Option<String>,
    /// By whom.
    pub by: Option<String>,
}

pub(super) fn sources(root: &Node) -> Vec<Arc<SourceNote>> {
    let list = root.get("sources").map_or(&[][..], Node::entries);
    let read = list.iter().map(|entry| {
        let own = |key: &str| entry.value.text_of(key).map(str::to_owned);
        let kind = entry.value.text_of("kind");
        SourceNote {
            id: Text { text: entry.key.clone(), span: entry.key_span },
            kind: SourceKind::ALL
                .iter()
                .find(|(id, _, _)| Some(*id) == kind)
                // A kind that is missing or misspelt has been said; nothing else is to follow from it.
                .map_or(SourceKind::MakerSheet, |(_, kind, _)| *kind),
            title: own("title").unwrap_or_default(),
            date: own("date"),
            by: own("by"),
        }
    });
    read.map(Arc::new).collect()
}
