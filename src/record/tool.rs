//! Tools and consumables.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer};

use super::front::{EXTENDS, FITS, Measured, REACH, TORQUES, quantity};
use super::id::check_id;
use super::text::{Text, Word, loose_schema, read_apart, texts, value_schema, word, words};
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
    /// An instrument: from where to where it reads, such as 0..25 mm.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub reads: Option<Quantity>,
    /// An instrument: the smallest step it shows, such as 0.01 mm.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub resolution: Option<Quantity>,
    /// An instrument: the values it measures, by key: it is held against their figures.
    #[serde(default, deserialize_with = "texts")]
    pub measures: Vec<Text>,
    /// An instrument: its own number in the shop.
    #[serde(default)]
    #[schemars(schema_with = "loose_schema")]
    pub number: Option<Text>,
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
    /// A tool that fits some sizes only: from where to where, such as 20..36 mm.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub fits: Option<Quantity>,
    /// The values of the fork that say the size of what it is put on, by key, such as tubes.stanchion_diameter.
    #[serde(default, deserialize_with = "texts")]
    pub fits_on: Vec<Text>,
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
    let reads = instrument(root, "reads", text, findings);
    let resolution = instrument(root, "resolution", text, findings);
    let fits = quantity(root, "fits", FITS, text, findings);
    let id = check_id(root, file, files, findings);
    Tool { id, torques, reach, extends, reads, resolution, fits, ..from_tree(root) }
}

/// What instruments read.
const READ: [Measured; 6] = [
    (Dimension::Length, "What it reads", "0..25 mm"),
    (Dimension::Pressure, "What it reads", "0..400 kPa"),
    (Dimension::Torque, "What it reads", "10..50 N·m"),
    (Dimension::Mass, "What it reads", "0..5 kg"),
    (Dimension::SpringRate, "What it reads", "2..30 N/mm"),
    (Dimension::Temperature, "What it reads", "0..100 °C"),
];

/// A quantity of any kind that instruments read; one that is none of them is told as a length.
fn instrument(root: &Node, key: &str, text: &str, findings: &mut Vec<Finding>) -> Option<Quantity> {
    let of = |measured: Measured| {
        let mut told = Vec::new();
        let read = quantity(root, key, measured, text, &mut told);
        (read, told)
    };
    if let Some((read, told)) = READ.into_iter().map(of).find(|(read, _)| read.is_some()) {
        findings.extend(told);
        return read;
    }
    quantity(root, key, READ[0], text, findings)
}

impl Tool {
    /// Whether it reads something, and so has to be trusted.
    pub fn is_instrument(&self) -> bool {
        self.torques.is_some()
            || self.reads.is_some()
            || self.resolution.is_some()
            || self.calibrate_months.is_some()
    }
}
