//! `specs/reviews.yaml`: who reviewed which procedures, cautions, conditions and services, and what was seen.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer};

use super::text::{Named, Placed, Text};
use crate::syntax::{from_tree, yaml::Node};
use crate::text::{FileId, Span};

/// What was seen of one text, part by part: `needs: [air-out]`, `steps: [7H2K-9QWD]`.
pub type SeenParts = Vec<(Text, Vec<Text>)>;

/// One review of several texts.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct TextReview {
    /// The name of the shop they were reviewed in: a review is worth nothing in another.
    pub shop: Text,
    /// Who reviewed.
    pub by: Text,
    /// The day, in quotes: "2026-03-02".
    pub date: Text,
    /// What was seen of each procedure, by id.
    #[serde(default, deserialize_with = "parts")]
    #[schemars(with = "Named<Named<Vec<Text>>>")]
    pub procedures: Vec<(Text, SeenParts)>,
    /// What was seen of each caution, by id.
    #[serde(default, deserialize_with = "parts")]
    #[schemars(with = "Named<Named<Vec<Text>>>")]
    pub cautions: Vec<(Text, SeenParts)>,
    /// What was seen of each condition, by id.
    #[serde(default, deserialize_with = "parts")]
    #[schemars(with = "Named<Named<Vec<Text>>>")]
    pub conditions: Vec<(Text, SeenParts)>,
    /// What was seen of each service, by id.
    #[serde(default, deserialize_with = "parts")]
    #[schemars(with = "Named<Named<Vec<Text>>>")]
    pub services: Vec<(Text, SeenParts)>,
    /// The seal over the entry.
    pub digest: Text,
    /// The whole entry.
    #[serde(skip)]
    pub span: Span,
}

/// The reviews of the shop's texts, oldest first. They are the shop's own: they stand beside no procedure, so that
/// they go nowhere with one.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reviews {
    /// Its file; `None` where no text was reviewed yet.
    #[serde(skip)]
    pub file: Option<FileId>,
    /// Each review. Written by `benchleaf approve`, not by hand.
    #[serde(rename = "reviews", deserialize_with = "reviews")]
    #[schemars(extend("type" = ["array", "null"]))]
    pub list: Vec<TextReview>,
}

fn parts<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<(Text, SeenParts)>, D::Error> {
    let Named(texts) = Named::<Named<Vec<Text>>>::deserialize(input)?;
    Ok(texts.into_iter().map(|(id, Named(parts))| (id, parts)).collect())
}

/// The entries of which everything is written; the schema has refused the rest.
fn reviews<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<TextReview>, D::Error> {
    let whole = |review: &TextReview| {
        [&review.shop, &review.by, &review.date, &review.digest].iter().all(|part| !part.text.is_empty())
    };
    let reviews = Vec::<Placed<TextReview>>::deserialize(input)?;
    let placed = reviews.into_iter().map(|review| TextReview { span: review.span, ..review.value });
    Ok(placed.filter(whole).collect())
}

/// Reads the reviews of texts.
pub(crate) fn read_reviews(root: &Node, file: FileId) -> Reviews {
    Reviews { file: Some(file), ..from_tree(root) }
}
