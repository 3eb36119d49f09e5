//! Who reviewed which values of a record, and when.

use borsh::{BorshDeserialize, BorshSerialize};
use schemars::JsonSchema;
use serde::{Deserialize, Deserializer};

use super::text::{Named, Placed, Text};
use crate::text::Span;

/// One entry of a record's `reviewed:` list.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct Review {
    /// Who reviewed.
    pub by: Text,
    /// The day, in quotes: "2026-03-02".
    pub date: Text,
    /// The source of this fork, by id, with which inherited values were compared. Left out: a review of what stands
    /// in the record.
    pub compared: Option<Text>,
    /// The values that were reviewed, by key.
    #[serde(deserialize_with = "codes")]
    #[schemars(with = "Named<Code>")]
    pub values: Vec<(Text, Text)>,
    /// The seal over the entry.
    pub digest: Text,
    /// The whole entry.
    #[serde(skip)]
    pub span: Span,
}

/// The code of what was seen.
#[derive(JsonSchema)]
#[schemars(inline, extend("examples" = ["7H2K-9QWD"]))]
struct Code(#[expect(dead_code, reason = "it stands for the shape of a code in the schema")] String);

fn codes<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<(Text, Text)>, D::Error> {
    let Named(mut codes) = Named::<Text>::deserialize(input)?;
    codes.retain(|(_, code)| !code.text.is_empty());
    Ok(codes)
}

/// The entries of which everything is written; the schema has refused the rest.
pub(super) fn reviews<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<Review>, D::Error> {
    let whole =
        |review: &Review| [&review.by, &review.date, &review.digest].iter().all(|part| !part.text.is_empty());
    let reviews = Vec::<Placed<Review>>::deserialize(input)?;
    let placed = reviews.into_iter().map(|review| Review { span: review.span, ..review.value });
    Ok(placed.filter(whole).collect())
}
