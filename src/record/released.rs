//! `specs/released.yaml`: the codes of cards that were printed with a review behind them.

use super::text::{Text, text_entry};
use crate::syntax::yaml::Node;
use crate::text::{FileId, Span};

/// A card that was released.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReleasedCard {
    /// The fork it is of, by the id it had then.
    pub fork: Text,
    /// The service it is of, by the id it had then.
    pub service: Text,
    /// The code of the fork's values.
    pub values: Text,
    /// The code of the card.
    pub card: Text,
    /// The day of the review, as written.
    pub date: Text,
    /// The whole entry.
    pub span: Span,
}

/// The cards that were released, oldest first.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Released {
    /// Its file; `None` where no card was released yet.
    pub file: Option<FileId>,
    /// The cards in the file's order.
    pub cards: Vec<ReleasedCard>,
}

/// Reads the released cards. What the schema refused is left out here without another word.
pub(crate) fn read_released(root: &Node, file: FileId) -> Released {
    let items = root.get("cards").map_or(&[][..], Node::items);
    let one = |item: &Node| {
        Some(ReleasedCard {
            fork: text_entry(item, "fork")?,
            service: text_entry(item, "service")?,
            values: text_entry(item, "values")?,
            card: text_entry(item, "card")?,
            date: text_entry(item, "date")?,
            span: item.span,
        })
    };
    Released { file: Some(file), cards: items.iter().filter_map(one).collect() }
}
