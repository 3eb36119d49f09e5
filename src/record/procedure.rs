//! Procedures, and the phases of a job they belong to.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;

use super::constant::Constant;
use super::front::{POURS, TIME, head, quantity};
use super::id::check_id;
use super::legs::OnLegs;
use super::template::STEP_PLACEHOLDERS;
use super::text::{Text, Word, applies_schema, read_apart, texts, value_schema, word};
use crate::catalogue::When;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Quantity;
use crate::record::Phase;
use crate::syntax::{from_tree, markdown, markdown::Body, yaml::Node};
use crate::text::{FileId, Files, Span};

/// A procedure.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Procedure {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    pub id: Text,
    /// Its file.
    #[serde(skip)]
    pub file: FileId,
    /// The ids it had before; reviews, kept links and old jobs of these are its own.
    #[serde(default, deserialize_with = "texts")]
    pub was: Vec<Text>,
    /// What it is called.
    pub title: String,
    /// Which part of the job it belongs to.
    #[serde(default, deserialize_with = "word")]
    #[schemars(schema_with = "phase_schema")]
    pub phase: Option<Phase>,
    /// The forks it is for: any of these; inside one, all must hold. Left out: every fork.
    #[serde(rename = "for", default)]
    #[schemars(schema_with = "applies_schema")]
    pub applies: When,
    /// Values of the part it is about, such as torque.handlebar: it is done only where the record does not say `not
    /// fitted`.
    #[serde(default, deserialize_with = "texts")]
    pub fitted: Vec<Text>,
    /// How long hands are on it, such as 20 min.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub time: Option<Quantity>,
    /// How long it rests, drips or settles by itself, such as 10 min. Not part of `time`.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub waiting: Option<Quantity>,
    /// Oil it pours into each leg beside what the record gives, such as a rinse of 100 mL.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub pours: Option<Quantity>,
    /// Tools it needs, by id.
    #[serde(default, deserialize_with = "texts")]
    pub tools: Vec<Text>,
    /// Consumables it uses, by id.
    #[serde(default, deserialize_with = "texts")]
    pub consumables: Vec<Text>,
    /// The legs it is done on. Left out: both.
    #[serde(default)]
    pub legs: OnLegs,
    /// Conditions that must hold before it, by id.
    #[serde(default, deserialize_with = "texts")]
    pub needs: Vec<Text>,
    /// Conditions that hold after it, by id.
    #[serde(default, deserialize_with = "texts")]
    pub brings: Vec<Text>,
    /// Conditions that no longer hold after it, by id.
    #[serde(default, deserialize_with = "texts")]
    pub ends: Vec<Text>,
    /// Intervals that begin anew with it, such as intervals.oil.
    #[serde(default, deserialize_with = "texts")]
    pub renews: Vec<Text>,
    /// What somebody signs for when it is done, beside its boxes on the card, such as: lever pumped firm, tag off.
    pub sign_off: Option<String>,
    /// A few words that stand at its first line on the card: what the whole procedure must not be left without, such as:
    /// afterwards let the balance chamber down first.
    pub on_card: Option<String>,
    /// Torques that were set before and are tried again here, each with a tick of its own on the card, such as
    /// torque.axle.
    #[serde(default, deserialize_with = "texts")]
    pub again: Vec<Text>,
    /// Numbers in its text that are the same on every fork, each with why. Every other one is linked.
    #[serde(default)]
    pub constants: Vec<Constant>,
    /// Its text and steps.
    #[serde(skip)]
    pub body: Body,
    /// Where the words of a template still stand for a step or its reason.
    #[serde(skip)]
    pub placeholders: Vec<Span>,
}

impl Word for Phase {
    fn of(word: &str) -> Option<Phase> {
        Phase::of(word)
    }
}

fn phase_schema(_: &mut SchemaGenerator) -> Schema {
    let phases: Vec<&str> = Phase::ALL.into_iter().map(Phase::id).collect();
    json_schema!({"type": "string", "enum": phases})
}

/// Reads a procedure. The tree is handed back so that the schema can be asked about it.
pub(crate) fn read_procedure(
    file: FileId,
    files: &Files,
    findings: &mut Vec<Finding>,
) -> Option<(Node, Procedure)> {
    let text = &files.get(file).text;
    let (root, from) = head(file, text, "procedure", findings)?;
    let id = check_id(&root, file, files, findings);
    let body = markdown::read(file, text, from, findings);
    if body.steps().next().is_none() {
        findings.push(
            rules::PROCEDURE_WITHOUT_STEPS
                .at(id.span, "this procedure has no numbered step")
                .bench("the card would have nothing to do and nothing to tick")
                .instead("write each step as an item of a numbered list: `1. Tighten the cap.`"),
        );
    }
    let procedure = Procedure {
        id,
        file,
        time: quantity(&root, "time", TIME, text, findings),
        waiting: quantity(&root, "waiting", TIME, text, findings),
        pours: quantity(&root, "pours", POURS, text, findings),
        body,
        placeholders: STEP_PLACEHOLDERS
            .iter()
            .filter_map(|words| text.find(words).map(|at| Span::new(file, at, at + words.len())))
            .collect(),
        ..from_tree(&root)
    };
    Some((root, procedure))
}
