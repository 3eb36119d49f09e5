//! Procedures, cautions and services.

use super::head::{Text, check_id, text_entry};
use super::spec::read;
use crate::catalogue::When;
use crate::diagnostic::Finding;
use crate::quantity::{Dimension, Kind, Quantity, Value, Wanted};
use crate::source::{FileId, Files, Span, markdown, markdown::Body, yaml, yaml::Node};

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
    /// How long it takes.
    pub time: Option<Quantity>,
    /// Tools it needs.
    pub tools: Vec<Text>,
    /// Consumables it uses.
    pub consumables: Vec<Text>,
    /// Its text and steps.
    pub body: Body,
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
    /// The procedures in order.
    pub procedures: Vec<Text>,
    /// What it is good for.
    pub notes: Option<String>,
}

/// Splits a Markdown record into its head and where its body begins.
fn head(file: FileId, text: &str, what: &str, findings: &mut Vec<Finding>) -> Option<(Node, usize)> {
    let Some((front, body)) = markdown::split(text) else {
        let end = text.find('\n').unwrap_or(text.len());
        findings.push(
            Finding::error(
                "front-matter",
                Span::new(file, 0, end),
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
    let procedure = Procedure {
        id,
        file,
        title: root.text_of("title").unwrap_or_default().to_owned(),
        phase: root.text_of("phase").unwrap_or_default().to_owned(),
        applies: applies(&root),
        time: time(&root, text, findings),
        tools: list(&root, "tools"),
        consumables: list(&root, "consumables"),
        body,
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
            Finding::error("caution-empty", id.span, "this caution says nothing")
                .bench("the hazard would stand on the card without a word on how to avoid it")
                .instead("write the hazard, what it does, and how to avoid it"),
        );
    }
    let signal = root.text_of("signal").and_then(|word| Signal::ALL.iter().find(|(id, _)| *id == word));
    let caution = Caution {
        id,
        title: root.text_of("title").unwrap_or_default().to_owned(),
        signal: signal.map_or(Signal::Warning, |(_, signal)| *signal),
        body,
    };
    Some((root, caution))
}

/// Reads a service.
pub(crate) fn read_service(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Service {
    Service {
        id: check_id(root, file, files, findings),
        file,
        title: root.text_of("title").unwrap_or_default().to_owned(),
        applies: applies(root),
        time: time(root, &files.get(file).text, findings),
        procedures: list(root, "procedures"),
        notes: text_entry(root, "notes").map(|text| text.text),
    }
}

fn applies(root: &Node) -> When {
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
fn list(root: &Node, key: &str) -> Vec<Text> {
    let Some(node) = root.get(key) else { return Vec::new() };
    let items = if node.text().is_some() { std::slice::from_ref(node) } else { node.items() };
    let text = |item: &Node| item.text().map(|text| Text { text: text.to_owned(), span: item.span });
    items.iter().filter_map(text).collect()
}

fn time(root: &Node, text: &str, findings: &mut Vec<Finding>) -> Option<Quantity> {
    let node = root.get("time")?;
    let kind = Kind::Quantity(Dimension::Time);
    let wanted = Wanted { kind: &kind, units: &[], title: "Time", example: "20 min" };
    match read(&wanted, node, text, findings) {
        Some(Value::Quantity(quantity)) => Some(quantity),
        _ => None,
    }
}
