//! What values rest on.

use borsh::{BorshDeserialize, BorshSerialize};
use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer};

use super::text::{Named, Text, loose_schema, texts, words};

/// What kind of source a value rests on.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, BorshSerialize, BorshDeserialize)]
pub enum SourceKind {
    /// The maker's own sheet or manual.
    #[default]
    MakerSheet,
    /// Measured in the shop.
    Measured,
    /// What the trade does, without a published source.
    CommonPractice,
    /// An estimate.
    Estimate,
    /// What the shop's jobs found.
    Bench,
}

impl SourceKind {
    /// The kinds and their ids.
    pub const ALL: [(&'static str, SourceKind, &'static str); 5] = [
        ("maker-sheet", SourceKind::MakerSheet, "maker's sheet"),
        ("measured", SourceKind::Measured, "measured in the shop"),
        ("common-practice", SourceKind::CommonPractice, "common practice"),
        ("estimate", SourceKind::Estimate, "estimate"),
        ("bench", SourceKind::Bench, "found on jobs"),
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

words!(SourceKind, SourceKind::ALL, SourceKind::MakerSheet);

/// A source a record names.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct SourceNote {
    /// The id values point at.
    #[serde(skip)]
    pub id: Text,
    /// What kind of source it is.
    pub kind: SourceKind,
    /// What it is: sheet, issue, page, or what was measured.
    pub title: String,
    /// When, in quotes: "2024-05-11".
    #[serde(default)]
    #[schemars(schema_with = "loose_schema", extend("examples" = ["2024-05-11"]))]
    pub date: Option<String>,
    /// Who measured or wrote it.
    pub by: Option<String>,
    /// What the bench found: the jobs that prove it, by year and number, at least five. They are never published.
    #[serde(default, deserialize_with = "texts")]
    pub jobs: Vec<Text>,
}

/// The sources of a record, each with its id.
pub(super) fn sources<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<Arc<SourceNote>>, D::Error> {
    let Named(entries) = Named::<SourceNote>::deserialize(input)?;
    Ok(entries.into_iter().map(|(id, note)| Arc::new(SourceNote { id, ..note })).collect())
}
