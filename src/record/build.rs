//! Builds: a fork set up for one machine and use, as a small record over the fork's.

use borsh::{BorshDeserialize, BorshSerialize};
use schemars::JsonSchema;
use serde::Deserialize;

use super::front::quantity;
use super::status::Status;
use super::text::{Named, Text, loose_schema, read_apart, value_schema};
use crate::diagnostic::Finding;
use crate::quantity::{Dimension, Quantity};
use crate::syntax::yaml::Node;

/// What a build's record says besides its values.
#[derive(Debug, Clone, Default, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Build {
    /// The fork, by id.
    pub fork: Text,
    /// What the build is called.
    pub title: String,
    /// The machine it was made for.
    pub machine: BuildMachine,
    /// What that machine is ridden for.
    pub use_for: Option<String>,
    /// The rider's mass with gear and load.
    pub rider: Option<Quantity>,
    /// The spring of the stock that is fitted, by id.
    pub spring: Option<Text>,
    /// The valving that is fitted, by id.
    pub valving: Option<Text>,
    /// Why each value is another one than the fork's, by its key.
    pub changes: Vec<(Text, Change)>,
    /// Maker and model of the fork; empty where there is no such fork.
    pub over: String,
    /// What is fitted, in words: the spring with its number, the valving.
    pub fitted: Vec<String>,
    /// The stacks of the valving as they are in the legs, a line each; empty where none is fitted.
    pub stacks: Vec<String>,
}

impl Build {
    /// What is said of the change of a value.
    pub fn change(&self, key: &str) -> Option<&Change> {
        self.changes.iter().find(|(named, _)| named.text == key).map(|(_, change)| change)
    }
}

/// The machine of a build, without anything that tells it from its sisters.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct BuildMachine {
    /// Who made it.
    pub maker: String,
    /// The model.
    pub model: String,
}

/// Why a value of a build is another one than the fork's.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct Change {
    /// What the fork's record said on that day, such as 138 mm; left out where it said nothing.
    #[serde(default)]
    #[schemars(schema_with = "loose_schema")]
    pub instead_of: Option<Text>,
    /// Why, in one sentence.
    pub why: Text,
    /// The day, in quotes: "2026-03-02".
    #[schemars(schema_with = "loose_schema")]
    pub date: Text,
}

/// A build's head, as it is written.
#[derive(Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct BuildHead {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name. No fork has it.
    #[serde(rename = "id")]
    _id: String,
    /// What the build is called, in a few words.
    title: String,
    /// The fork, by id.
    fork: Text,
    /// The machine it was made for. Its frame number stands on its jobs alone.
    machine: BuildMachine,
    /// What that machine is ridden for: road, two up with luggage, cross.
    #[serde(rename = "use")]
    use_for: Option<String>,
    /// The rider's mass with gear and load, such as 96 kg. No name.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    #[serde(rename = "rider")]
    _rider: Option<Quantity>,
    /// The spring of the stock that is fitted, by id: its values take the place of the fork's spring.
    fitted_spring: Option<Text>,
    /// The valving that is fitted, by id.
    valving: Option<Text>,
    /// For each value that is another one than the fork's, by its key: what it was, why, and since when.
    #[serde(default)]
    changes: Named<Change>,
    /// A draft is published as a marked page, without a card.
    #[serde(default)]
    pub(super) status: Status,
}

impl BuildHead {
    /// The build, with the rider's mass read.
    pub(super) fn build(self, root: &Node, text: &str, findings: &mut Vec<Finding>) -> Build {
        let rider =
            quantity(root, "rider", (Dimension::Mass, "Rider’s mass with gear", "96 kg"), text, findings);
        let Named(changes) = self.changes;
        Build {
            fork: self.fork,
            title: self.title,
            machine: self.machine,
            use_for: self.use_for,
            rider,
            spring: self.fitted_spring,
            valving: self.valving,
            changes,
            over: String::new(),
            fitted: Vec::new(),
            stacks: Vec::new(),
        }
    }
}
