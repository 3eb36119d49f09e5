//! Valving: shim stacks of a fork's pistons, as found and as changed.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;

use super::front::quantity;
use super::id::check_id;
use super::legs::OnLegs;
use super::text::{Text, loose_schema, read_apart, words};
use super::value::read;
use crate::diagnostic::Finding;
use crate::quantity::{Dimension, FieldSpec, Kind, Quantity, Size, Value};
use crate::syntax::from_tree;
use crate::syntax::yaml::{Node, Tree};
use crate::text::{FileId, Files, Span};

/// The shim stacks of a fork.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Valving {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    pub id: Text,
    /// What it is called, in a few words.
    pub title: String,
    /// The fork, by id.
    pub fork: Text,
    /// The day the stacks were taken down, in quotes: "2026-02-11".
    #[schemars(schema_with = "loose_schema")]
    pub date: Text,
    /// Why it was changed, or what it was taken down for.
    pub why: String,
    /// Who took it down: a sign, such as bench 2.
    pub done_by: Option<String>,
    /// Each piston with its stacks.
    pub stacks: Vec<Stack>,
    /// Anything else worth knowing.
    pub notes: Option<String>,
}

/// A piston with its stack.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct Stack {
    /// The piston: where it sits and how it is told from others.
    pub piston: Text,
    /// Which leg it was taken from; left out where both legs have the same.
    #[serde(default)]
    pub leg: OnLegs,
    /// Which stroke its stack damps.
    pub damps: Damps,
    /// As found, or as the maker delivers it.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "arrangement_schema")]
    pub baseline: Arrangement,
    /// As changed; left out where it went together as found.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "arrangement_schema")]
    pub changed: Option<Arrangement>,
}

/// Which stroke a stack damps.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Damps {
    /// The leg goes in.
    #[default]
    Compression,
    /// The leg comes out.
    Rebound,
    /// Oil comes back: a check valve.
    Check,
}

/// The words as sources write them, and as pages do.
const STROKES: [(&str, Damps); 3] =
    [("compression", Damps::Compression), ("rebound", Damps::Rebound), ("check", Damps::Check)];

words!(Damps, STROKES, Damps::Compression);

impl Damps {
    /// The word for it.
    pub fn word(self) -> &'static str {
        STROKES.iter().find(|(_, damps)| *damps == self).map_or("", |(word, _)| word)
    }
}

/// A stack as it is put together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Arrangement {
    /// Where it is written.
    pub span: Span,
    /// The shims in order, the one on the piston's face first.
    pub shims: Vec<Shim>,
    /// The bleed: a hole, or the flat of a needle.
    pub bleed: Option<Quantity>,
    /// How far the stack can lift before it bends.
    pub float: Option<Quantity>,
    /// The disc that the stack bends over.
    pub clamp: Option<Quantity>,
}

/// Shims of one size that lie on each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Shim {
    /// Diameter and thickness; `None` where it cannot be read.
    pub size: Option<Size>,
    /// As written.
    pub text: Text,
    /// How many.
    pub count: u32,
}

impl Shim {
    /// How many, and their size, as they are told: `3 × ⌀ 21 × 0.15 mm`.
    pub fn told(&self) -> String {
        let size = self.size.as_ref().map_or_else(|| self.text.text.clone(), told);
        format!("{}\u{a0}× ⌀\u{a0}{size}", self.count)
    }
}

fn told(size: &Size) -> String {
    let parts: Vec<String> = size.parts.iter().map(|part| part.shown()).collect();
    format!("{}\u{a0}{}", parts.join("\u{a0}×\u{a0}"), size.unit.symbol)
}

impl Stack {
    /// The stack that is in the leg now: as changed, or as found where it went together as it was.
    pub fn fitted(&self) -> &Arrangement {
        self.changed.as_ref().unwrap_or(&self.baseline)
    }

    /// All that is in the leg now, in one line: another stack is another line, however it is written.
    pub fn told(&self) -> String {
        let now = self.fitted();
        let length = |name: &str, of: &Option<Quantity>| {
            of.as_ref().map(|one| format!("{name} {}", one.main().shown()))
        };
        let beside = [("bleed", &now.bleed), ("float", &now.float), ("clamp", &now.clamp)];
        let leg = OnLegs::ALL.iter().find(|(_, legs)| *legs == self.leg).map_or("", |(word, _)| word);
        let head = [plain(&self.piston.text), leg.to_owned(), self.damps.word().to_owned()];
        let shims = now.shims.iter().map(Shim::told);
        let all =
            head.into_iter().chain(shims).chain(beside.into_iter().filter_map(|(name, of)| length(name, of)));
        all.collect::<Vec<_>>().join("; ")
    }
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn arrangement_schema(_: &mut SchemaGenerator) -> Schema {
    let count = json_schema!({"type": "integer", "minimum": 1, "maximum": 40, "description": "How many lie on each other. Left out: one."});
    let size = json_schema!({"type": "string", "minLength": 1, "description": "Diameter and thickness, such as 17 × 0.15 mm."});
    let shim = json_schema!({
        "type": ["string", "object"], "minLength": 1, "required": ["size"],
        "properties": {"size": size, "count": count}, "additionalProperties": false,
    });
    let length =
        |help: &str| json_schema!({"type": "string", "$comment": super::text::A_VALUE, "description": help});
    json_schema!({
        "type": "object",
        "required": ["shims"],
        "properties": {
            "shims": {"type": "array", "minItems": 1, "items": shim, "description": "The shims in order, the one on the piston's face first."},
            "bleed": length("The bleed: the diameter of its hole."),
            "float": length("How far the stack can lift before it bends."),
            "clamp": length("The diameter of the disc that the stack bends over."),
        },
        "additionalProperties": false,
    })
}

/// Reads a valving.
pub(crate) fn read_valving(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Valving {
    let text = &files.get(file).text;
    let mut valving: Valving = from_tree(root);
    valving.id = check_id(root, file, files, findings);
    let written = match root.get("stacks").map(|node| &node.value) {
        Some(Tree::List(items)) => items.as_slice(),
        _ => &[],
    };
    for (stack, node) in valving.stacks.iter_mut().zip(written) {
        if let Some(node) = node.get("baseline") {
            stack.baseline = arrangement(node, text, findings);
        }
        stack.changed = node.get("changed").map(|node| arrangement(node, text, findings));
    }
    valving
}

fn arrangement(node: &Node, text: &str, findings: &mut Vec<Finding>) -> Arrangement {
    let mut length = |key: &str, title: &'static str| {
        quantity(node, key, (Dimension::Length, title, "1.2 mm"), text, findings)
    };
    let (bleed, float, clamp) =
        (length("bleed", "Bleed"), length("float", "Float"), length("clamp", "Clamp"));
    let shims = match node.get("shims").map(|node| &node.value) {
        Some(Tree::List(items)) => items.iter().filter_map(|item| shim(item, text, findings)).collect(),
        _ => Vec::new(),
    };
    Arrangement { span: node.span, shims, bleed, float, clamp }
}

fn shim(node: &Node, text: &str, findings: &mut Vec<Finding>) -> Option<Shim> {
    let written = match &node.value {
        Tree::Map(_) => node.get("size")?,
        _ => node,
    };
    let kind = Kind::Size(2);
    let spec = FieldSpec { kind: &kind, units: &[], title: "Shim", example: "17 × 0.15 mm", bands: &[] };
    let size = match read(&spec, written, text, findings) {
        Some(Value::Size(size)) => Some(size),
        _ => None,
    };
    let count = node.get("count").and_then(Node::text).and_then(|count| count.parse().ok()).unwrap_or(1);
    Some(Shim { size, text: Text { text: written.text()?.to_owned(), span: written.span }, count })
}
