//! Tools and consumables.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer};

use super::front::{EXTENDS, REACH, TORQUES, quantity};
use super::id::check_id;
use super::text::{Text, Word, read_apart, texts, value_schema, word, words};
use crate::diagnostic::Finding;
use crate::quantity::{Dimension, FieldSpec, Kind, Quantity, Value, read_value};
use crate::syntax::{from_tree, yaml::Node};
use crate::text::{FileId, Files};

/// A tool or a consumable.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tool {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    pub id: Text,
    /// What it is called.
    pub title: String,
    /// A consumable is used up by the job.
    #[serde(rename = "kind", deserialize_with = "is_consumable")]
    #[schemars(with = "ToolKind")]
    pub consumable: bool,
    /// What it is for.
    #[serde(rename = "use")]
    pub use_for: String,
    /// Its size, where it matters.
    pub size: Option<String>,
    /// A wrench: the torques it reads well at, such as 10..50 N·m.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub torques: Option<Quantity>,
    /// An instrument: the days it was calibrated, in quotes, oldest first.
    #[serde(default, deserialize_with = "texts")]
    pub calibrated: Vec<Text>,
    /// An instrument: how many months a calibration holds.
    #[serde(default, deserialize_with = "number")]
    #[schemars(schema_with = "each_leg_schema")]
    pub calibrate_months: Option<u32>,
    /// A torque wrench: from its square to the mark on its grip, such as 320 mm.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub reach: Option<Quantity>,
    /// A crowfoot or an extension: from the square to the middle of the bolt, such as 30 mm.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub extends: Option<Quantity>,
    /// How a consumable is counted.
    pub unit: Option<String>,
    /// The fork's value that says its size, by key, such as seals.oil_seal.
    pub sized_by: Option<Text>,
    /// How many each leg takes, where that is known beforehand.
    #[serde(default, deserialize_with = "number")]
    #[schemars(schema_with = "each_leg_schema")]
    pub each_leg: Option<u32>,
    /// Words by which steps speak of it, besides its title.
    #[serde(default, deserialize_with = "texts")]
    pub called: Vec<Text>,
    /// Worn through the whole procedure, so that no step need name it.
    #[serde(default)]
    pub worn: bool,
    /// Anything else worth knowing.
    pub notes: Option<String>,
}

impl Tool {
    /// What its `size:` says that it can be set to or reads, such as `10 to 50 N·m (7 to 37 lbf·ft)`; `None` where it
    /// says nothing of that dimension.
    pub fn reads(&self, dimension: Dimension) -> Option<Quantity> {
        let size = self.size.as_deref()?;
        let first = size.split(['(', ',']).next()?.trim().replacen(" to ", "..", 1);
        let kind = Kind::Quantity(dimension);
        let wanted = FieldSpec { kind: &kind, units: &[], title: "", example: "", bands: &[] };
        match read_value(&first, &wanted).0? {
            Value::Quantity(quantity) if quantity.dimension() == dimension => Some(quantity),
            _ => None,
        }
    }
}

/// What is left after the job, and what is used up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ToolKind {
    Tool,
    Consumable,
}

/// The words as sources write them.
const KINDS: [(&str, ToolKind); 2] = [("tool", ToolKind::Tool), ("consumable", ToolKind::Consumable)];

words!(ToolKind, KINDS, ToolKind::Tool);

fn is_consumable<'de, D: Deserializer<'de>>(input: D) -> Result<bool, D::Error> {
    ToolKind::deserialize(input).map(|kind| kind == ToolKind::Consumable)
}

fn each_leg_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"type": "integer", "minimum": 1, "maximum": 100})
}

impl Word for u32 {
    fn of(word: &str) -> Option<u32> {
        word.parse().ok()
    }
}

fn number<'de, D: Deserializer<'de>>(input: D) -> Result<Option<u32>, D::Error> {
    word(input)
}

/// Reads a tool or consumable.
pub(crate) fn read_tool(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Tool {
    let torques = quantity(root, "torques", TORQUES, &files.get(file).text, findings);
    let text = &files.get(file).text;
    let reach = quantity(root, "reach", REACH, text, findings);
    let extends = quantity(root, "extends", EXTENDS, text, findings);
    Tool { id: check_id(root, file, files, findings), torques, reach, extends, ..from_tree(root) }
}
