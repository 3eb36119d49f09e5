//! Services: procedures in order, for some kinds of fork.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer};

use super::front::{TIME, quantity};
use super::id::check_id;
use super::legs::OnLegs;
use super::text::{Text, applies_schema, read_apart, texts, value_schema, word, words};
use crate::catalogue::When;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Quantity;
use crate::syntax::{from_tree, yaml::Node};
use crate::text::{FileId, Files, Span};

/// How an entry of a service's list becomes procedures for one fork.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pick {
    /// This procedure, for every fork of the service.
    This,
    /// The first of these that is for the fork; there must be one.
    OneOf,
    /// Every one of these that is for the fork; there may be none.
    WhereFitted,
}

/// One entry of a service's list.
#[derive(Debug, Clone, PartialEq)]
pub struct ServiceEntry {
    /// How it becomes procedures.
    pub pick: Pick,
    /// The procedures named, in order; never empty.
    pub options: Vec<Text>,
    /// The legs it is done on, where the service says so.
    pub legs: Option<OnLegs>,
}

/// A service: procedures in order, for some kinds of fork.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    pub id: Text,
    /// Its file.
    #[serde(skip)]
    pub file: FileId,
    /// What it is called.
    pub title: String,
    /// The forks it is for: any of these; inside one, all must hold. Left out: every fork.
    #[serde(rename = "for", default)]
    #[schemars(schema_with = "applies_schema")]
    pub applies: When,
    /// How long it takes, such as 3 h.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub time: Option<Quantity>,
    /// Which part of the fork it answers for: whole-fork means that every safety-critical value is set and every part
    /// measured. Left out: only what its steps touch.
    #[serde(rename = "covers", default, deserialize_with = "is_whole")]
    #[schemars(with = "Covers")]
    pub whole: bool,
    /// Conditions that hold when it begins, besides those for every service.
    #[serde(default, deserialize_with = "texts")]
    pub start: Vec<Text>,
    /// Conditions that must hold at hand-back, besides those for every service.
    #[serde(default, deserialize_with = "texts")]
    pub hand_back: Vec<Text>,
    /// The procedures in order: an id, or a choice by what the fork is.
    #[serde(rename = "procedures", deserialize_with = "read_apart")]
    #[schemars(with = "Vec<EntryHead>", length(min = 1))]
    pub entries: Vec<ServiceEntry>,
    /// Every procedure it names, in order.
    #[serde(skip)]
    pub procedures: Vec<Text>,
    /// What it is good for.
    pub notes: Option<String>,
}

/// How much of the fork a service answers for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Covers {
    WholeFork,
    ItsSteps,
}

/// The words as sources write them; its steps alone are meant where nothing is written.
const COVERS: [(&str, Covers); 1] = [("whole-fork", Covers::WholeFork)];

words!(Covers, COVERS, Covers::ItsSteps);

fn is_whole<'de, D: Deserializer<'de>>(input: D) -> Result<bool, D::Error> {
    Covers::deserialize(input).map(|covers| covers == Covers::WholeFork)
}

/// An entry of a service's list that is no id alone. The reader sees to it that exactly one way to choose is given.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline, extend("type" = ["string", "object"]))]
struct EntryHead {
    /// A procedure, by id.
    #[serde(rename = "do")]
    this: Option<Text>,
    /// The first of these whose `for:` fits the fork; one must.
    #[serde(default, deserialize_with = "texts")]
    one_of: Vec<Text>,
    /// Every one of these whose `for:` fits the fork; none need.
    #[serde(default, deserialize_with = "texts")]
    where_fitted: Vec<Text>,
    /// The legs it is done on. Left out: both.
    #[serde(default, deserialize_with = "word")]
    #[schemars(with = "OnLegs")]
    legs: Option<OnLegs>,
}

/// Reads a service.
pub(crate) fn read_service(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Service {
    let entries = entries(root, findings);
    Service {
        id: check_id(root, file, files, findings),
        file,
        time: quantity(root, "time", TIME, &files.get(file).text, findings),
        procedures: entries.iter().flat_map(|entry| entry.options.iter().cloned()).collect(),
        entries,
        ..from_tree(root)
    }
}

/// The most procedures that a service may name. Its order is proved for every fork, step by step.
const MOST_PROCEDURES: usize = 300;

fn too_many(span: Span) -> Finding {
    rules::TOO_MUCH
        .at(span, format!("more than {MOST_PROCEDURES} procedures stand in one service"))
        .bench("the rest was not read, and would be missing from the page")
        .instead("look at what made the file, or split the service")
}

fn entries(root: &Node, findings: &mut Vec<Finding>) -> Vec<ServiceEntry> {
    let mut entries: Vec<ServiceEntry> = Vec::new();
    let mut named = 0;
    for item in root.get("procedures").map_or(&[][..], Node::items) {
        if named >= MOST_PROCEDURES {
            findings.push(too_many(item.span));
            break;
        }
        let Some(mut entry) = entry(item, findings) else { continue };
        named += entry.options.len();
        let too_long = entry.options.len() > MOST_PROCEDURES;
        entry.options.truncate(MOST_PROCEDURES);
        entries.push(entry);
        if too_long {
            findings.push(too_many(item.span));
            break;
        }
    }
    entries
}

/// One entry; `None` where it names no procedure, which has been said.
fn entry(item: &Node, findings: &mut Vec<Finding>) -> Option<ServiceEntry> {
    if let Some(id) = item.text() {
        let options = vec![Text { text: id.to_owned(), span: item.span }];
        return Some(ServiceEntry { pick: Pick::This, options, legs: None });
    }
    if ["do", "one_of", "where_fitted"].iter().filter(|key| item.get(key).is_some()).count() != 1 {
        findings.push(
            rules::WRONG_SHAPE
                .at(item.span, "this entry does not say which procedures it means")
                .bench("the work it stands for would be missing from the card")
                .instead("write a procedure's id, or one of `do:`, `one_of:` and `where_fitted:`"),
        );
        return None;
    }
    let EntryHead { this, one_of, where_fitted, legs } = from_tree(item);
    let ways = [(Pick::This, Vec::from_iter(this)), (Pick::OneOf, one_of), (Pick::WhereFitted, where_fitted)];
    // A list of another shape has been refused by the schema.
    let (pick, options) = ways.into_iter().find(|(_, options)| !options.is_empty())?;
    Some(ServiceEntry { pick, options, legs })
}
