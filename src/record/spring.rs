//! Springs that the shop has, or can order.

use borsh::{BorshDeserialize, BorshSerialize};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;

use super::status::Status;
use super::text::{Text, loose_schema, word};

/// What a spring's record says besides its values.
#[derive(Debug, Clone, Default, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Stock {
    /// The number it is ordered by.
    pub part_number: Option<Text>,
    /// How many lie on the shelf; `None` where nobody counts them.
    pub count: Option<u32>,
}

/// The same, as it is written.
#[derive(Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SpringHead {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    #[serde(rename = "id")]
    _id: String,
    /// Who made the spring.
    pub(super) maker: String,
    /// What stands on the spring, as it is marked. A marking is no rate: the rate is measured.
    #[schemars(schema_with = "loose_schema")]
    pub(super) marking: String,
    /// The number it is ordered by.
    #[serde(default)]
    #[schemars(schema_with = "loose_schema")]
    part_number: Option<Text>,
    /// How many lie on the shelf; 0 for one that is ordered when it is wanted.
    #[serde(default, deserialize_with = "word")]
    #[schemars(schema_with = "count_schema")]
    in_stock: Option<u32>,
    /// A draft is published as a marked page.
    #[serde(default)]
    pub(super) status: Status,
}

impl SpringHead {
    /// What is told of the shelf.
    pub(super) fn stock(self) -> Stock {
        Stock { part_number: self.part_number, count: self.in_stock }
    }
}

fn count_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"type": "integer", "minimum": 0, "maximum": 1000})
}
