//! One value of a record as the shop wrote it: the figure for each leg or for both, its state, its sources, what is
//! let stand.

use borsh::{BorshDeserialize, BorshSerialize};
use std::collections::BTreeMap;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::Deserialize;

use super::text::Text;
use super::value::read;
use crate::catalogue::{Attribute, Field, Per, attribute, by_another_word, state_part};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{FieldSpec, Value};
use crate::syntax::from_tree;
use crate::syntax::yaml::{Node, Tree};
use crate::text::Span;

/// A finding that is let stand.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize)]
#[serde(deny_unknown_fields)]
pub struct Accept {
    /// The finding's code.
    pub finding: Text,
    /// Why it may stand.
    pub reason: String,
    /// Who answers for it: one of the shop's approvers, where it names them.
    pub by: Text,
    /// The last day it stands, in quotes: "2027-03-31". Left out: until it is taken back.
    pub until: Option<Text>,
}

impl Accept {
    /// Whether it says all that it must.
    pub(super) fn is_whole(&self) -> bool {
        [&self.finding.text, &self.reason, &self.by.text].iter().all(|text| !text.is_empty())
    }
}

/// What is done in the place of a figure that nobody knows.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize)]
#[serde(deny_unknown_fields)]
pub struct Instead {
    /// What is done at the bench, in one sentence and without a figure. Steps and cards print it where the number
    /// would stand.
    #[serde(rename = "do")]
    pub what: Text,
    /// Who answers for it: one of the shop's approvers, where it names them.
    pub by: Text,
}

/// What another source says of a value than the one that counts.
#[derive(Debug, Clone, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct AlsoSaid {
    /// The source, by its id.
    pub source: Text,
    /// What it says; `None` when it cannot be read.
    pub value: Option<Value>,
    /// As written.
    pub text: Text,
}

/// A part of a state or an attribute, read.
#[derive(Debug, Clone, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Named {
    /// The value; `None` when it cannot be read.
    pub value: Option<Value>,
    /// As written.
    pub text: Text,
}

impl Named {
    /// Whether it says something: it can be read, and is not `unknown`.
    pub fn is_known(&self) -> bool {
        self.value.as_ref().is_some_and(|value| *value != Value::Unknown)
    }
}

/// One value as the shop wrote it, for one leg or for both.
#[derive(Debug, Clone, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Entry {
    /// The value; `None` when it cannot be read, and a finding has said so.
    pub value: Option<Value>,
    /// As written.
    pub text: String,
    /// Where the value stands.
    pub span: Span,
    /// The sources it names; empty: the record's own default.
    pub sources: Vec<Text>,
    /// What other sources say, each its own figure. It is compared and shown, and never set.
    pub also_said: Vec<AlsoSaid>,
    /// What is done where the value is unknown.
    pub instead: Option<Instead>,
    /// What the shop says about it.
    pub note: Option<String>,
    /// Findings let stand.
    pub accept: Vec<Accept>,
    /// The state it is measured in.
    pub state: BTreeMap<String, Named>,
    /// What else is said: thread, sequence and so on.
    pub attributes: BTreeMap<String, Named>,
}

/// A value for both legs alike, or for each.
#[derive(Debug, Clone, PartialEq, BorshSerialize, BorshDeserialize)]
pub enum Sides {
    /// One figure.
    Each(Arc<Entry>),
    /// Left and right, as seen from the saddle.
    Legs(Arc<Entry>, Arc<Entry>),
}

impl Sides {
    /// The figures, left first; one where both legs share it.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        let (left, right) = match self {
            Sides::Each(entry) => (entry, None),
            Sides::Legs(left, right) => (left, Some(right)),
        };
        std::iter::once(left).chain(right).map(AsRef::as_ref)
    }
}

/// What the parts of a mapping say for both sides, unless a side says its own.
#[derive(Default, Clone)]
struct Shared {
    sources: Vec<Text>,
    also_said: Vec<AlsoSaid>,
    instead: Option<Instead>,
    note: Option<String>,
    accept: Vec<Accept>,
    state: BTreeMap<String, Named>,
    attributes: BTreeMap<String, Named>,
}

pub(super) fn sides(field: &Field, node: &Node, text: &str, findings: &mut Vec<Finding>) -> Sides {
    match (node.get("left"), node.get("right")) {
        (Some(_), Some(_)) if field.per != Per::Leg => {
            findings.push(
                rules::WRONG_SHAPE
                    .at(node.span, format!("`{}` is one figure for the whole fork", field.name))
                    .bench("the figure for the right leg would be dropped without a word")
                    .instead("write one value, without `left:` and `right:`"),
            );
            Sides::Each(Arc::new(poisoned(node)))
        }
        (Some(left), Some(right)) => {
            if let Some(whole) = node.entries().iter().find(|entry| entry.key == "value") {
                findings.push(
                    rules::WRONG_SHAPE
                        .at(whole.key_span, "a value for both legs stands beside one for each")
                        .bench("which of them is meant cannot be told")
                        .instead("keep `value:`, or `left:` and `right:`"),
                );
            }
            let both = shared(field, node, text, Shared::default(), findings);
            let left = entry(field, left, text, both.clone(), findings);
            let right = entry(field, right, text, both, findings);
            Sides::Legs(Arc::new(left), Arc::new(right))
        }
        // The schema has said that the other side is missing.
        (Some(_), None) | (None, Some(_)) => Sides::Each(Arc::new(poisoned(node))),
        (None, None) => Sides::Each(Arc::new(entry(field, node, text, Shared::default(), findings))),
    }
}

/// A value that cannot be read, which a finding has said: it is there, and nothing is to be said of it.
pub(super) fn poisoned(node: &Node) -> Entry {
    Entry {
        value: None,
        text: String::new(),
        span: node.span,
        sources: Vec::new(),
        also_said: Vec::new(),
        instead: None,
        note: None,
        accept: Vec::new(),
        state: BTreeMap::new(),
        attributes: BTreeMap::new(),
    }
}

fn entry(field: &Field, node: &Node, text: &str, base: Shared, findings: &mut Vec<Finding>) -> Entry {
    let (scalar, parts) = match &node.value {
        Tree::Map(_) => match node.get("value") {
            Some(value) => (value, shared(field, node, text, base, findings)),
            None => return poisoned(node),
        },
        _ => (node, base),
    };
    let Some(written) = scalar.text() else { return poisoned(scalar) };
    let value = read(&field.spec(), scalar, text, findings);
    Entry {
        value,
        text: written.to_owned(),
        span: scalar.span,
        sources: parts.sources,
        also_said: parts.also_said,
        instead: parts.instead,
        note: parts.note,
        accept: parts.accept,
        state: parts.state,
        attributes: parts.attributes,
    }
}

fn shared(field: &Field, node: &Node, text: &str, mut out: Shared, findings: &mut Vec<Finding>) -> Shared {
    for part in node.entries() {
        match part.key.as_str() {
            "source" => {
                out.sources = from_tree(&part.value);
                out.sources.retain(|source| !source.text.is_empty());
            }
            "also_said" => out.also_said = also_said(field, &part.value, text, findings),
            // The schema has refused one that lacks a key.
            "instead" => {
                let instead: Instead = from_tree(&part.value);
                out.instead =
                    (!instead.what.text.is_empty() && !instead.by.text.is_empty()).then_some(instead);
            }
            "note" => out.note = part.value.text().map(str::to_owned),
            "accept" => {
                out.accept = from_tree(&part.value);
                // The schema has refused one that lacks a key.
                out.accept.retain(Accept::is_whole);
            }
            "state" => {
                out.state = BTreeMap::new();
                for part in part.value.entries() {
                    if !field.state.contains(&part.key) {
                        continue;
                    }
                    if let Some(named) =
                        state_part(&part.key).and_then(|kind| named(kind, &part.value, text, findings))
                    {
                        out.state.insert(part.key.clone(), named);
                    }
                }
            }
            key if field.attributes.iter().any(|name| name == key) => {
                if let Some(named) = attribute(key).and_then(|kind| named(kind, &part.value, text, findings))
                {
                    out.attributes.insert(key.to_owned(), named);
                }
            }
            _ => {}
        }
    }
    out
}

/// What other sources say, each read as the value itself is.
fn also_said(field: &Field, node: &Node, text: &str, findings: &mut Vec<Finding>) -> Vec<AlsoSaid> {
    let said = node.entries().iter().filter_map(|part| {
        let written = part.value.text()?.to_owned();
        Some(AlsoSaid {
            source: Text { text: part.key.clone(), span: part.key_span },
            value: read(&field.spec(), &part.value, text, findings),
            text: Text { text: written, span: part.value.span },
        })
    });
    said.collect()
}

fn named(kind: &Attribute, node: &Node, text: &str, findings: &mut Vec<Finding>) -> Option<Named> {
    let Tree::Scalar { text: written, .. } = &node.value else { return None };
    let wanted =
        FieldSpec { kind: &kind.kind, units: &[], title: kind.title, example: kind.example, bands: &[] };
    let before = findings.len();
    let value = read(&wanted, node, text, findings);
    // What the trade says for one of the options is told by that option.
    if let Some(instead) = by_another_word(kind.key, written).filter(|_| findings.len() > before) {
        let refused = findings.drain(before..).map(|finding| finding.instead(instead)).collect::<Vec<_>>();
        findings.extend(refused);
    }
    Some(Named { value, text: Text { text: written.clone(), span: node.span } })
}
