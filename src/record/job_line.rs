//! A line of a job: one value as it was read, on each leg or once, and what was said of it.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use super::text::{Text, words};
use super::value::read;
use crate::catalogue::{Catalogue, FieldId};
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::quantity::Value;
use crate::syntax::yaml::{Node, Tree};
use crate::text::Span;

/// What became of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It went back.
    Keep,
    /// It went back, and is looked at again.
    Watch,
    /// A new one went in.
    Replace,
}

/// The words as sources write them.
const VERDICTS: [(&str, Verdict); 3] =
    [("keep", Verdict::Keep), ("watch", Verdict::Watch), ("replace", Verdict::Replace)];

words!(Verdict, VERDICTS, Verdict::Keep);

impl Verdict {
    /// The word as a record writes it.
    pub fn word(self) -> &'static str {
        VERDICTS.iter().find(|row| row.1 == self).map_or("", |row| row.0)
    }
}

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub struct JobReading {
    /// 0 for the left leg, 1 for the right; `None` where it is read once.
    pub leg: Option<usize>,
    /// What was read; `None` where it cannot be read as a value, or was not read.
    pub value: Option<Value>,
    /// As written; empty where it was not read, and only a reason or a verdict is given.
    pub text: Text,
    /// It was kept as it was typed, and is no value.
    pub typed: bool,
    /// What became of the part on this leg.
    pub verdict: Option<Verdict>,
    /// Why.
    pub why: Option<Text>,
}

impl JobReading {
    /// Whether something was read: not a reason or a verdict alone.
    pub fn is_read(&self) -> bool {
        !self.text.text.is_empty()
    }
}

/// A value of the catalogue as a job read it.
#[derive(Debug, Clone, PartialEq)]
pub struct JobLine {
    /// Which value.
    pub field: FieldId,
    /// Its key's place.
    pub key_span: Span,
    /// One reading, or one for each leg that was read, left first.
    pub readings: Vec<JobReading>,
    /// The target as it was printed: for both legs, or left and right.
    pub targets: [Option<Text>; 2],
    /// The wrench, by id.
    pub wrench: Option<Text>,
    /// A sag's three readings: leg extended, settled from below, settled from above; as written.
    pub settled: [Option<Text>; 3],
}

/// The keys of a sag's three readings.
const SETTLED: [&str; 3] = ["extended", "below", "above"];

impl JobLine {
    /// The reading of a leg, or the one for both.
    pub fn on(&self, leg: usize) -> Option<&JobReading> {
        self.readings.iter().find(|reading| reading.leg.is_none_or(|at| at == leg))
    }
}

/// The shape of a line.
pub(super) fn readings_schema(generator: &mut SchemaGenerator) -> Schema {
    let verdict = Verdict::json_schema(generator);
    let text = json_schema!({"type": ["string", "integer"]});
    let by_leg = json_schema!({
        "type": ["string", "integer", "object"],
        "properties": {"left": text, "right": text},
        "additionalProperties": false,
    });
    let one = json_schema!({
        "type": ["string", "integer", "object"],
        "properties": {"value": text, "typed": text, "verdict": verdict, "why": {"type": "string"}},
        "additionalProperties": false,
    });
    json_schema!({
        "type": "object",
        "additionalProperties": {
            "type": ["string", "integer", "object"],
            "properties": {
                "value": text, "typed": text, "left": one, "right": one, "target": by_leg,
                "wrench": {"type": "string"}, "verdict": verdict, "why": {"type": "string"},
                "extended": text, "below": text, "above": text,
            },
            "additionalProperties": false,
        },
    })
}

/// The lines below `found:` or `left:`.
pub(super) fn lines(
    node: Option<&Node>,
    text: &str,
    catalogue: &Catalogue,
    findings: &mut Vec<Finding>,
) -> Vec<JobLine> {
    let entries = node.map_or(&[][..], |node| node.entries());
    // A shop has many jobs, and each of them many lines: none takes more room than it needs.
    let mut out = Vec::with_capacity(entries.len());
    for entry in entries {
        let Some(field) = catalogue.find(&entry.key) else {
            let keys = || catalogue.iter().map(|(_, field)| field.key.as_str());
            let hint = did_you_mean(&entry.key, keys(), || "use a key of the field reference".to_owned());
            findings.push(
                rules::UNKNOWN_KEY
                    .at(entry.key_span, format!("no value is called `{}`", entry.key))
                    .bench("what was read here would be held against nothing")
                    .instead(hint),
            );
            continue;
        };
        out.push(line(field, entry.key_span, &entry.value, text, catalogue, findings));
    }
    out
}

fn line(
    field: FieldId,
    key_span: Span,
    node: &Node,
    text: &str,
    catalogue: &Catalogue,
    findings: &mut Vec<Finding>,
) -> JobLine {
    let legs = [node.get("left"), node.get("right")];
    let mut readings = Vec::new();
    for (leg, side) in legs.into_iter().enumerate() {
        readings.extend(side.and_then(|side| reading(field, Some(leg), side, text, catalogue, findings)));
    }
    if readings.is_empty() {
        readings.extend(reading(field, None, node, text, catalogue, findings));
    }
    // What is said of the line is said of each leg that does not say its own.
    let verdict = node.get("verdict").and_then(verdict);
    let why = node.get("why").and_then(placed);
    for reading in &mut readings {
        reading.verdict = reading.verdict.or(verdict);
        reading.why = reading.why.take().or_else(|| why.clone());
    }
    readings.shrink_to_fit();
    let target = node.get("target");
    let printed = |side: &str| target.and_then(|target| target.get(side).or(Some(target))).and_then(placed);
    JobLine {
        field,
        key_span,
        readings,
        targets: [printed("left"), printed("right")],
        wrench: node.get("wrench").and_then(placed),
        settled: SETTLED.map(|key| node.get(key).and_then(placed)),
    }
}

fn verdict(node: &Node) -> Option<Verdict> {
    use super::text::Word;
    Verdict::of(node.text()?)
}

fn placed(node: &Node) -> Option<Text> {
    Some(Text { text: node.text()?.to_owned(), span: node.span })
}

fn reading(
    field: FieldId,
    leg: Option<usize>,
    node: &Node,
    text: &str,
    catalogue: &Catalogue,
    findings: &mut Vec<Finding>,
) -> Option<JobReading> {
    let typed = node.get("typed");
    let said = (node.get("verdict").and_then(verdict), node.get("why").and_then(placed));
    let scalar = match &node.value {
        Tree::Map(_) => typed.or_else(|| node.get("value")),
        _ => Some(node),
    };
    let written = scalar.and_then(placed).filter(|written| !written.text.is_empty());
    let value = match (typed, scalar) {
        (None, Some(scalar)) if written.is_some() => {
            read(&catalogue.field(field).spec(), scalar, text, findings)
        }
        _ => None,
    };
    // A reason or a verdict alone says what became of a part that was not read.
    if written.is_none() && said == (None, None) {
        return None;
    }
    Some(JobReading {
        leg,
        value,
        typed: typed.is_some() && written.is_some(),
        text: written.unwrap_or_else(|| Text { text: String::new(), span: node.span }),
        verdict: said.0,
        why: said.1,
    })
}
