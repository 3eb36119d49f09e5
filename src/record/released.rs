//! `specs/released.yaml`: the codes of cards that were printed with a review behind them.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer};

use super::text::{Placed, Text};
use crate::syntax::{from_tree, yaml::Node};
use crate::text::{FileId, Span};

/// A card that was released.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct ReleasedCard {
    /// The fork, by id.
    pub fork: Text,
    /// The service, by id.
    pub service: Text,
    /// The code of the fork's values.
    pub values: Text,
    /// The code of the card.
    pub card: Text,
    /// The day of the review, in quotes.
    pub date: Text,
    /// The whole entry.
    #[serde(skip)]
    pub span: Span,
}

/// The cards that were released, oldest first.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Released {
    /// Its file; `None` where no card was released yet.
    #[serde(skip)]
    pub file: Option<FileId>,
    /// Each card. Written by `benchleaf approve`, not by hand.
    #[serde(deserialize_with = "cards")]
    #[schemars(extend("type" = ["array", "null"]))]
    pub cards: Vec<ReleasedCard>,
}

/// The cards of which everything is written; the schema has refused the rest.
fn cards<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<ReleasedCard>, D::Error> {
    let whole = |card: &ReleasedCard| {
        [&card.fork, &card.service, &card.values, &card.card, &card.date]
            .iter()
            .all(|part| !part.text.is_empty())
    };
    let cards = Vec::<Placed<ReleasedCard>>::deserialize(input)?;
    let placed = cards.into_iter().map(|card| ReleasedCard { span: card.span, ..card.value });
    Ok(placed.filter(whole).collect())
}

/// Reads the released cards.
pub(crate) fn read_released(root: &Node, file: FileId) -> Released {
    Released { file: Some(file), ..from_tree(root) }
}
