//! The shop's conditions: what a mechanic says of a leg or of the machine between two procedures.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer};

use super::caution::Signal;
use super::text::{Named, Text, applies_schema, texts, word, words};
use crate::catalogue::{When, Works};
use crate::syntax::{from_tree, yaml::Node};
use crate::text::FileId;

/// What a condition is said of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Holder {
    /// Each leg for itself.
    #[default]
    Leg,
    /// The machine, or the job as a whole.
    Machine,
}

impl Holder {
    /// The words as sources write them.
    pub const ALL: [(&'static str, Holder); 2] = [("leg", Holder::Leg), ("machine", Holder::Machine)];
}

/// The words for which leg something is meant for, where the legs do different work.
pub const WORKS: [(&str, Works); 3] =
    [("both", Works::Both), ("spring", Works::Spring), ("damper", Works::Damper)];

words!(Holder, Holder::ALL, Holder::Leg);

/// A condition.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct Condition {
    /// Its id, the key it stands under.
    #[serde(skip)]
    pub id: Text,
    /// The sentence a mechanic says, such as: the leg is bled.
    pub says: String,
    /// What happens where it is needed and does not hold, one sentence.
    pub otherwise: Option<String>,
    /// What it is said of.
    pub per: Holder,
    /// The forks for which it means anything.
    #[serde(rename = "for", default)]
    #[schemars(schema_with = "applies_schema")]
    pub applies: When,
    /// Values of the part it is about: it means nothing on a leg whose record says `not fitted`.
    #[serde(default, deserialize_with = "texts")]
    pub fitted: Vec<Text>,
    /// The leg it means anything for, where the legs do different work.
    #[serde(default)]
    #[schemars(schema_with = "works_schema")]
    pub works: Works,
    /// Conditions that hold whenever it holds.
    #[serde(default, deserialize_with = "texts")]
    pub implies: Vec<Text>,
    /// Conditions that cannot hold while it holds; bringing one about ends the other.
    #[serde(default, deserialize_with = "texts")]
    pub excludes: Vec<Text>,
    /// Cautions that a procedure must carry which brings it about.
    #[serde(default, deserialize_with = "texts")]
    pub cautions: Vec<Text>,
    /// The least signal word that those cautions may have.
    #[serde(default, deserialize_with = "word")]
    #[schemars(with = "Signal")]
    pub least_signal: Option<Signal>,
    /// Its evidence: values, such as torque.axle, that a procedure must link which brings it about, where the fork
    /// has them.
    #[serde(default, deserialize_with = "texts")]
    pub evidence: Vec<Text>,
    /// Conditions that a procedure must need which brings it about.
    #[serde(default, deserialize_with = "texts")]
    pub only_after: Vec<Text>,
    /// Conditions that end it when they are brought about, and do not exclude it for good: new oil ends “the leg is
    /// bled”. A procedure that brings one of them about names this one under `ends:`.
    #[serde(default, deserialize_with = "texts")]
    pub ended_by: Vec<Text>,
    /// The services that ask for it under `hand_back:`, by id; `every` where all of them do.
    #[serde(default, deserialize_with = "texts")]
    pub hand_back: Vec<Text>,
    /// Values, such as oil.dry_fill, that are right only while it holds: a step that sets one is done only then.
    #[serde(default, deserialize_with = "texts")]
    pub only_then: Vec<Text>,
    /// Values, such as oil.refill, that are wrong while it holds.
    #[serde(default, deserialize_with = "texts")]
    pub not_then: Vec<Text>,
    /// Words that are not so while it holds, such as: wheel off the ground. A step that says one is done only when it
    /// does not.
    #[serde(default, deserialize_with = "texts")]
    pub not_said: Vec<Text>,
    /// The word it stands for in the state of a measured value, such as spring: out.
    #[serde(default, deserialize_with = "by_key")]
    #[schemars(with = "Named<Text>")]
    pub state: Vec<(Text, Text)>,
}

fn works_schema(_: &mut SchemaGenerator) -> Schema {
    let words: Vec<&str> = WORKS.iter().map(|(word, _)| *word).collect();
    json_schema!({"type": "string", "enum": words})
}

/// `procedures/conditions.yaml`.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Conditions {
    /// Its file; `None` where the shop has none.
    #[serde(skip)]
    pub file: Option<FileId>,
    /// Each condition by its id.
    #[serde(rename = "conditions", deserialize_with = "by_id")]
    #[schemars(with = "Named<Condition>")]
    pub list: Vec<Condition>,
    /// What holds when a job begins, for every service.
    #[serde(default, deserialize_with = "texts")]
    pub start: Vec<Text>,
    /// What must hold when a job is handed back, for every service.
    #[serde(default, deserialize_with = "texts")]
    pub hand_back: Vec<Text>,
}

fn by_key<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<(Text, Text)>, D::Error> {
    let Named(mut words) = Named::<Text>::deserialize(input)?;
    words.retain(|(_, word)| !word.text.is_empty());
    Ok(words)
}

fn by_id<'de, D: Deserializer<'de>>(input: D) -> Result<Vec<Condition>, D::Error> {
    let sentence = |text: &str| text.trim().trim_end_matches('.').to_owned();
    let Named(entries) = Named::<Condition>::deserialize(input)?;
    let conditions = entries.into_iter().map(|(id, condition)| Condition {
        says: sentence(if condition.says.is_empty() { &id.text } else { &condition.says }),
        otherwise: condition.otherwise.as_deref().map(sentence),
        id,
        ..condition
    });
    Ok(conditions.collect())
}

/// Reads the conditions.
pub(crate) fn read_conditions(root: &Node, file: FileId) -> Conditions {
    Conditions { file: Some(file), ..from_tree(root) }
}
