//! Procedures, and the phases of a job they belong to.

use super::front::{POURS, TIME, head, quantity};
use super::id::check_id;
use super::legs::OnLegs;
use super::template::STEP_PLACEHOLDERS;
use super::text::{Text, applies, list};
use crate::catalogue::When;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Quantity;
use crate::record::Phase;
use crate::syntax::{markdown, markdown::Body, yaml::Node};
use crate::text::{FileId, Files, Span};

/// A procedure.
#[derive(Debug, Clone, PartialEq)]
pub struct Procedure {
    /// Its id.
    pub id: Text,
    /// Its file.
    pub file: FileId,
    /// What it is called.
    pub title: String,
    /// Which part of the job it belongs to.
    pub phase: Option<Phase>,
    /// The forks it is for.
    pub applies: When,
    /// Values of the part it is about, as keys: it is done on the legs whose record does not say `not fitted`
    /// of every one; on all where none is named.
    pub fitted: Vec<Text>,
    /// How long hands are on it.
    pub time: Option<Quantity>,
    /// How long it rests, drips or settles by itself: other work goes on meanwhile.
    pub waiting: Option<Quantity>,
    /// What it pours into each leg beside the amounts of the record: a rinse, what is drawn off again.
    pub pours: Option<Quantity>,
    /// Tools it needs.
    pub tools: Vec<Text>,
    /// Consumables it uses.
    pub consumables: Vec<Text>,
    /// The legs it is done on.
    pub legs: OnLegs,
    /// Conditions that must hold before it.
    pub needs: Vec<Text>,
    /// Conditions that hold after it.
    pub brings: Vec<Text>,
    /// Conditions that no longer hold after it.
    pub ends: Vec<Text>,
    /// Intervals that begin anew with it, as keys of values: `intervals.oil`.
    pub renews: Vec<Text>,
    /// Its text and steps.
    pub body: Body,
    /// Where the words of a template still stand for a step or its reason.
    pub placeholders: Vec<Span>,
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
        title: root.text_of("title").unwrap_or_default().to_owned(),
        phase: root.text_of("phase").and_then(Phase::of),
        applies: applies(&root),
        fitted: list(&root, "fitted"),
        time: quantity(&root, "time", TIME, text, findings),
        waiting: quantity(&root, "waiting", TIME, text, findings),
        pours: quantity(&root, "pours", POURS, text, findings),
        tools: list(&root, "tools"),
        consumables: list(&root, "consumables"),
        legs: OnLegs::of(&root).unwrap_or_default(),
        needs: list(&root, "needs"),
        brings: list(&root, "brings"),
        ends: list(&root, "ends"),
        renews: list(&root, "renews"),
        body,
        placeholders: STEP_PLACEHOLDERS
            .iter()
            .filter_map(|words| text.find(words).map(|at| Span::new(file, at, at + words.len())))
            .collect(),
    };
    Some((root, procedure))
}
