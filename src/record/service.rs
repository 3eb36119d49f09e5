//! Services: procedures in order, for some kinds of fork.

use super::front::{TIME, quantity};
use super::id::check_id;
use super::legs::OnLegs;
use super::text::{Text, applies, list, text_entry};
use crate::catalogue::When;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Quantity;
use crate::syntax::yaml::Node;
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
#[derive(Debug, Clone, PartialEq)]
pub struct Service {
    /// Its id.
    pub id: Text,
    /// Its file.
    pub file: FileId,
    /// What it is called.
    pub title: String,
    /// The forks it is for.
    pub applies: When,
    /// How long it takes.
    pub time: Option<Quantity>,
    /// Every procedure it names, in order.
    pub procedures: Vec<Text>,
    /// Its list: procedures, and choices among them by what the fork is.
    pub entries: Vec<ServiceEntry>,
    /// What holds when it begins, besides what holds for every service.
    pub start: Vec<Text>,
    /// What must hold when it is handed back, besides what must for every service.
    pub hand_back: Vec<Text>,
    /// Whether it answers for the whole fork: every safety-critical value set, every part measured.
    pub whole: bool,
    /// What it is good for.
    pub notes: Option<String>,
}

/// Reads a service.
pub(crate) fn read_service(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Service {
    let entries = entries(root, findings);
    Service {
        id: check_id(root, file, files, findings),
        file,
        title: root.text_of("title").unwrap_or_default().to_owned(),
        applies: applies(root),
        time: quantity(root, "time", TIME, &files.get(file).text, findings),
        procedures: entries.iter().flat_map(|entry| entry.options.iter().cloned()).collect(),
        entries,
        start: list(root, "start"),
        hand_back: list(root, "hand_back"),
        whole: root.text_of("covers") == Some("whole-fork"),
        notes: text_entry(root, "notes").map(|text| text.text),
    }
}

/// The most procedures that a service may name. Its order is proved for every fork, step by step.
const MOST_PROCEDURES: usize = 300;

/// The keys an entry of a service's list may choose procedures with.
const PICKS: [(&str, Pick); 3] =
    [("do", Pick::This), ("one_of", Pick::OneOf), ("where_fitted", Pick::WhereFitted)];

fn too_many(span: Span) -> Finding {
    rules::TOO_MUCH
        .at(span, format!("more than {MOST_PROCEDURES} procedures stand in one service"))
        .bench("the rest was not read, and would be missing from the page")
        .instead("look at what made the file, or split the service")
}

fn entries(root: &Node, findings: &mut Vec<Finding>) -> Vec<ServiceEntry> {
    let mut out = Vec::new();
    for item in root.get("procedures").map_or(&[][..], Node::items) {
        let count: usize = out.iter().map(|entry: &ServiceEntry| entry.options.len()).sum();
        if count >= MOST_PROCEDURES {
            findings.push(too_many(item.span));
            break;
        }
        if let Some(text) = item.text() {
            let options = vec![Text { text: text.to_owned(), span: item.span }];
            out.push(ServiceEntry { pick: Pick::This, options, legs: None });
            continue;
        }
        let mut given = PICKS.iter().filter_map(|(key, pick)| Some((*pick, item.entry(key)?)));
        match (given.next(), given.next()) {
            (Some((pick, entry)), None) => {
                let mut options = match entry.value.text() {
                    Some(one) => vec![Text { text: one.to_owned(), span: entry.value.span }],
                    None => list(item, &entry.key),
                };
                let too_long = options.len() > MOST_PROCEDURES;
                options.truncate(MOST_PROCEDURES);
                // A list of another shape has been refused by the schema.
                if !options.is_empty() {
                    out.push(ServiceEntry { pick, options, legs: OnLegs::of(item) });
                }
                if too_long {
                    findings.push(too_many(item.span));
                    break;
                }
            }
            _ => findings.push(
                rules::WRONG_SHAPE
                    .at(item.span, "this entry does not say which procedures it means")
                    .bench("the work it stands for would be missing from the card")
                    .instead("write a procedure's id, or one of `do:`, `one_of:` and `where_fitted:`"),
            ),
        }
    }
    out
}
