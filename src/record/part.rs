//! Parts of a fork that are ordered by number.

use borsh::{BorshDeserialize, BorshSerialize};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;

use super::text::{Placed, Text, texts, word};
use crate::text::Span;

/// A part that the record's values do not tell of, such as a kit.
#[derive(Debug, Clone, Default, PartialEq, Eq, BorshSerialize, BorshDeserialize)]
pub struct Part {
    /// What it is called.
    pub title: Text,
    /// Its number, as the maker writes it.
    pub number: Text,
    /// How many the fork takes.
    pub count: u32,
    /// The services that take it, by id; empty: every one.
    pub services: Vec<Text>,
    /// The values whose parts it brings, by key: they are not ordered beside it.
    pub holds: Vec<Text>,
    /// The whole entry.
    pub span: Span,
}

/// A part as it is written.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct PartHead {
    /// What it is called, such as Seal kit.
    title: Text,
    /// Its number, in quotes, as the maker writes it.
    number: Text,
    /// How many the fork takes. Left out: one.
    #[serde(default, deserialize_with = "word")]
    #[schemars(schema_with = "count_schema")]
    count: Option<u32>,
    /// The services that take it, by id. Left out: every one.
    #[serde(default, deserialize_with = "texts")]
    services: Vec<Text>,
    /// The values whose parts it brings, by key, such as seals.oil_seal: the pull list does not count them beside it.
    #[serde(default, deserialize_with = "texts")]
    holds: Vec<Text>,
}

fn count_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"type": "integer", "minimum": 1, "maximum": 100})
}

/// The parts that can be used. One that lacks a key has been refused by the schema.
pub(super) fn parts(written: Vec<Placed<PartHead>>) -> Vec<Part> {
    let made = written.into_iter().map(
        |Placed { value: PartHead { title, number, count, services, holds }, span }| Part {
            title,
            number,
            count: count.unwrap_or(1),
            services,
            holds,
            span,
        },
    );
    made.filter(|part| !part.title.text.is_empty() && !part.number.text.is_empty()).collect()
}
