//! Procedures, cautions and services.

use super::head::{Text, check_id, text_entry};
use super::spec::read;
use crate::catalogue::When;
use crate::diagnostic::{Finding, rules};
use crate::draft::STEP_PLACEHOLDERS;
use crate::quantity::{Dimension, Kind, Quantity, Value, Wanted};
use crate::syntax::{markdown, markdown::Body, yaml, yaml::Node};
use crate::text::{FileId, Files, Span};

/// The phases of a job, in order.
pub const PHASES: [(&str, &str); 8] = [
    ("intake", "Intake"),
    ("strip", "Strip"),
    ("inspect", "Inspect"),
    ("rebuild", "Rebuild"),
    ("fill", "Fill"),
    ("set", "Set"),
    ("check", "Check"),
    ("hand-back", "Hand back"),
];

/// The signal words of ANSI Z535.6 and ISO 3864, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Will kill or seriously injure if not avoided.
    Danger,
    /// Could kill or seriously injure.
    Warning,
    /// Could injure slightly or moderately.
    Caution,
    /// Damage to things, not to people.
    Notice,
}

impl Signal {
    /// The words as sources write them.
    pub const ALL: [(&'static str, Signal); 4] = [
        ("danger", Signal::Danger),
        ("warning", Signal::Warning),
        ("caution", Signal::Caution),
        ("notice", Signal::Notice),
    ];

    /// The word as it is printed.
    pub fn word(self) -> &'static str {
        match self {
            Signal::Danger => "DANGER",
            Signal::Warning => "WARNING",
            Signal::Caution => "CAUTION",
            Signal::Notice => "NOTICE",
        }
    }
}

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
    pub phase: String,
    /// The forks it is for.
    pub applies: When,
    /// Values of the part it is about, as keys: it is done on the legs whose record does not say `not fitted`
    /// of every one; on all where none is named.
    pub fitted: Vec<Text>,
    /// How long hands are on it.
    pub time: Option<Quantity>,
    /// How long it rests, drips or settles by itself: other work goes on meanwhile.
    pub waiting: Option<Quantity>,
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

/// The legs that a procedure is done on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum OnLegs {
    /// Both, one after the other.
    #[default]
    Both,
    /// The one with the spring; both where both have one.
    Spring,
    /// The one with the damper; both where both have one.
    Damper,
    /// The left one, as seen from the saddle.
    Left,
    /// The right one.
    Right,
}

impl OnLegs {
    /// The words as sources write them.
    pub const ALL: [(&'static str, OnLegs); 5] = [
        ("both", OnLegs::Both),
        ("spring", OnLegs::Spring),
        ("damper", OnLegs::Damper),
        ("left", OnLegs::Left),
        ("right", OnLegs::Right),
    ];

    fn of(node: &Node) -> Option<OnLegs> {
        let word = node.text_of("legs")?;
        OnLegs::ALL.iter().find(|(id, _)| *id == word).map(|(_, legs)| *legs)
    }
}

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

/// A caution.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// Its id.
    pub id: Text,
    /// What it is called.
    pub title: String,
    /// How grave it is.
    pub signal: Signal,
    /// The forks that have the hazard at all; on the others a step that names it goes without.
    pub applies: When,
    /// Hazard, consequence and how to avoid it.
    pub body: Body,
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

/// Splits a Markdown record into its head and where its body begins.
fn head(file: FileId, text: &str, what: &str, findings: &mut Vec<Finding>) -> Option<(Node, usize)> {
    let Some((front, body)) = markdown::split(text) else {
        let end = text.find('\n').unwrap_or(text.len());
        findings.push(
            rules::FRONT_MATTER.at(Span::new(file, 0, end),
                format!("this {what} does not begin with a head between two `---` lines"),
            )
            .bench(
                "without a head nothing knows which fork it is for, and it would be missing from every card",
            )
            .instead("begin with `---`, then `id:` and `title:`, then `---`"),
        );
        return None;
    };
    Some((yaml::read(file, &text[front], findings)?, body))
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
        phase: root.text_of("phase").unwrap_or_default().to_owned(),
        applies: applies(&root),
        fitted: list(&root, "fitted"),
        time: time(&root, "time", text, findings),
        waiting: time(&root, "waiting", text, findings),
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

/// Reads a caution.
pub(crate) fn read_caution(
    file: FileId,
    files: &Files,
    findings: &mut Vec<Finding>,
) -> Option<(Node, Caution)> {
    let text = &files.get(file).text;
    let (root, from) = head(file, text, "caution", findings)?;
    let id = check_id(&root, file, files, findings);
    let body = markdown::read(file, text, from, findings);
    if body.parts.is_empty() {
        findings.push(
            rules::CAUTION_EMPTY
                .at(id.span, "this caution says nothing")
                .bench("the hazard would stand on the card without a word on how to avoid it")
                .instead("write the hazard, what it does, and how to avoid it"),
        );
    }
    let signal = root.text_of("signal").and_then(|word| Signal::ALL.iter().find(|(id, _)| *id == word));
    let caution = Caution {
        id,
        title: root.text_of("title").unwrap_or_default().to_owned(),
        signal: signal.map_or(Signal::Warning, |(_, signal)| *signal),
        applies: applies(&root),
        body,
    };
    Some((root, caution))
}

/// Reads a service.
pub(crate) fn read_service(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Service {
    let entries = entries(root, findings);
    Service {
        id: check_id(root, file, files, findings),
        file,
        title: root.text_of("title").unwrap_or_default().to_owned(),
        applies: applies(root),
        time: time(root, "time", &files.get(file).text, findings),
        procedures: entries.iter().flat_map(|entry| entry.options.iter().cloned()).collect(),
        entries,
        start: list(root, "start"),
        hand_back: list(root, "hand_back"),
        whole: root.text_of("covers") == Some("whole-fork"),
        notes: text_entry(root, "notes").map(|text| text.text),
    }
}

/// The keys an entry of a service's list may choose procedures with.
const PICKS: [(&str, Pick); 3] =
    [("do", Pick::This), ("one_of", Pick::OneOf), ("where_fitted", Pick::WhereFitted)];

fn entries(root: &Node, findings: &mut Vec<Finding>) -> Vec<ServiceEntry> {
    let mut out = Vec::new();
    for item in root.get("procedures").map_or(&[][..], Node::items) {
        if let Some(text) = item.text() {
            let options = vec![Text { text: text.to_owned(), span: item.span }];
            out.push(ServiceEntry { pick: Pick::This, options, legs: None });
            continue;
        }
        let mut given = PICKS.iter().filter_map(|(key, pick)| Some((*pick, item.entry(key)?)));
        match (given.next(), given.next()) {
            (Some((pick, entry)), None) => {
                let options = match entry.value.text() {
                    Some(one) => vec![Text { text: one.to_owned(), span: entry.value.span }],
                    None => list(item, &entry.key),
                };
                // A list of another shape has been refused by the schema.
                if !options.is_empty() {
                    out.push(ServiceEntry { pick, options, legs: OnLegs::of(item) });
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

pub(super) fn applies(root: &Node) -> When {
    let maps = root.get("for").map_or(&[][..], Node::items).iter().map(|all| {
        all.entries()
            .iter()
            .map(|entry| {
                let options = match entry.value.text() {
                    Some(one) => vec![one.to_owned()],
                    None => entry.value.items().iter().filter_map(Node::text).map(str::to_owned).collect(),
                };
                (entry.key.clone(), options)
            })
            .collect()
    });
    When(maps.collect())
}

/// The ids of a list. One that stands alone, which the schema refuses, is still taken for a reference.
pub(super) fn list(root: &Node, key: &str) -> Vec<Text> {
    let Some(node) = root.get(key) else { return Vec::new() };
    let items = if node.text().is_some() { std::slice::from_ref(node) } else { node.items() };
    let text = |item: &Node| item.text().map(|text| Text { text: text.to_owned(), span: item.span });
    items.iter().filter_map(text).collect()
}

fn time(root: &Node, key: &str, text: &str, findings: &mut Vec<Finding>) -> Option<Quantity> {
    let node = root.get(key)?;
    let kind = Kind::Quantity(Dimension::Time);
    let wanted = Wanted { kind: &kind, units: &[], title: "Time", example: "20 min", bands: &[] };
    match read(&wanted, node, text, findings) {
        Some(Value::Quantity(quantity)) => Some(quantity),
        _ => None,
    }
}
