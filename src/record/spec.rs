//! Forks, families and oils: a head, the sources named once, and the values by group.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::head::{RecordKind, Text, check_id, text_entry};
use super::review::{Review, read_reviews};
use crate::catalogue::{Attribute, Catalogue, Field, FieldId, Owner, Per, attribute, state_part};
use crate::diagnostic::{Finding, Severity, rules};
use crate::draft::PLACEHOLDERS;
use crate::quantity::{Value, Wanted, read_value};
use crate::syntax::yaml::{Node, Tree};
use crate::text::{FileId, Files, Span};

/// What kind of source a value rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SourceKind {
    /// The maker's own sheet or manual.
    MakerSheet,
    /// Measured in the shop.
    Measured,
    /// What the trade does, without a published source.
    CommonPractice,
    /// An estimate.
    Estimate,
}

impl SourceKind {
    /// The kinds and their ids.
    pub const ALL: [(&'static str, SourceKind, &'static str); 4] = [
        ("maker-sheet", SourceKind::MakerSheet, "maker's sheet"),
        ("measured", SourceKind::Measured, "measured in the shop"),
        ("common-practice", SourceKind::CommonPractice, "common practice"),
        ("estimate", SourceKind::Estimate, "estimate"),
    ];

    /// The word as sources write it.
    pub fn id(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind, _)| *kind == self).map_or("", |(id, _, _)| id)
    }

    /// What a page calls it.
    pub fn title(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind, _)| *kind == self).map_or("", |(_, _, title)| title)
    }
}

/// A source a record names.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceNote {
    /// The id values point at.
    pub id: Text,
    /// Its kind.
    pub kind: SourceKind,
    /// What it is.
    pub title: String,
    /// When, as written.
    pub date: Option<String>,
    /// By whom.
    pub by: Option<String>,
}

/// A machine a fork is fitted to, with the years it covers.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Who made the machine.
    pub maker: String,
    /// The model.
    pub model: String,
    /// First and last year.
    pub years: (u16, u16),
    /// Where it is written.
    pub span: Span,
}

/// A finding that is let stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Accept {
    /// The finding's code.
    pub finding: Text,
    /// Why.
    pub reason: String,
    /// Who answers for it.
    pub by: String,
    /// Where the name stands.
    pub by_span: Span,
    /// The last day it stands, as written.
    pub until: Option<Text>,
}

/// A part of a state or an attribute, read.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// The value; `None` when it cannot be read.
    pub value: Option<Value>,
    /// As written.
    pub text: Text,
}

/// One value as the shop wrote it, for one leg or for both.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The value; `None` when it cannot be read, and a finding has said so.
    pub value: Option<Value>,
    /// As written.
    pub text: String,
    /// Where the value stands.
    pub span: Span,
    /// The sources it names; empty: the record's own default.
    pub sources: Vec<Text>,
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
#[derive(Debug, Clone, PartialEq)]
pub enum Sides {
    /// One figure.
    Each(Arc<Entry>),
    /// Left and right, as seen from the saddle.
    Legs(Arc<Entry>, Arc<Entry>),
}

/// A value's line in a record.
#[derive(Debug, Clone, PartialEq)]
pub struct SpecLine {
    /// Which value.
    pub field: FieldId,
    /// The key.
    pub key_span: Span,
    /// Key and value.
    pub span: Span,
    /// What was written.
    pub sides: Sides,
}

/// A fork, a family or an oil.
#[derive(Debug, Clone, PartialEq)]
pub struct SpecRecord {
    /// Fork, family or oil.
    pub kind: RecordKind,
    /// Its id: its file's name.
    pub id: Text,
    /// Its file.
    pub file: FileId,
    /// Forks and oils: who made it.
    pub maker: String,
    /// Forks: the model; families: the title; oils: the product.
    pub model: String,
    /// Oils: the text on the bottle.
    pub label: Option<Text>,
    /// A draft is published as a marked page, without a card.
    pub draft: bool,
    /// The family it belongs to.
    pub family: Option<Text>,
    /// Where it is fitted.
    pub machines: Vec<Machine>,
    /// Whether a machine was written, readable or not.
    pub names_machine: bool,
    /// What it has chosen.
    pub choices: BTreeMap<String, Text>,
    /// The sources it names.
    pub sources: Vec<Arc<SourceNote>>,
    /// Where a value comes from when it says nothing.
    pub source: Option<Text>,
    /// Free text.
    pub notes: Option<String>,
    /// The values.
    pub values: Vec<SpecLine>,
    /// Who reviewed which values, in the order written.
    pub reviewed: Vec<Review>,
    /// Where the words of a template still stand for what the record should say.
    pub placeholders: Vec<Text>,
}

impl SpecRecord {
    /// Maker and model in one line.
    pub fn title(&self) -> String {
        format!("{} {}", self.maker, self.model).trim().to_owned()
    }

    /// Kind and id, as reports name it: `fork tarn-41`.
    pub fn name(&self) -> String {
        format!("{} {}", self.kind.word(), self.id.text)
    }

    /// The source of an id.
    pub fn source_note(&self, id: &str) -> Option<&Arc<SourceNote>> {
        self.sources.iter().find(|source| source.id.text == id)
    }
}

/// A tool or a consumable.
#[derive(Debug, Clone, PartialEq)]
pub struct Tool {
    /// Its id.
    pub id: Text,
    /// What it is called.
    pub title: String,
    /// Used up by the job.
    pub consumable: bool,
    /// What for.
    pub use_for: String,
    /// Its size.
    pub size: Option<String>,
    /// How it is counted.
    pub unit: Option<String>,
    /// The value of the fork that says its size, by key.
    pub sized_by: Option<Text>,
    /// How many a leg takes, where that is known beforehand.
    pub each_leg: Option<u32>,
    /// Words by which steps speak of it, besides its title.
    pub called: Vec<Text>,
    /// Worn through the whole procedure, so that no step need name it.
    pub worn: bool,
    /// Free text.
    pub notes: Option<String>,
}

/// Reads a tool or consumable.
pub(crate) fn read_tool(root: &Node, file: FileId, files: &Files, findings: &mut Vec<Finding>) -> Tool {
    let own = |key: &str| root.text_of(key).map(str::to_owned);
    Tool {
        id: check_id(root, file, files, findings),
        title: own("title").unwrap_or_default(),
        consumable: root.text_of("kind") == Some("consumable"),
        use_for: own("use").unwrap_or_default(),
        size: own("size"),
        unit: own("unit"),
        sized_by: text_entry(root, "sized_by"),
        each_leg: root.text_of("each_leg").and_then(|count| count.parse().ok()),
        called: super::procedure::list(root, "called"),
        worn: root.text_of("worn") == Some("true"),
        notes: own("notes"),
    }
}

/// Reads a fork, family or oil. What the schema refused is left out here without another word.
pub(crate) fn read_spec(
    kind: RecordKind,
    root: &Node,
    file: FileId,
    files: &Files,
    catalogue: &Catalogue,
    findings: &mut Vec<Finding>,
) -> SpecRecord {
    let own = |key: &str| root.text_of(key).map(str::to_owned);
    let title = own(match kind {
        RecordKind::Family => "title",
        RecordKind::Oil => "product",
        _ => "model",
    });
    let owner = if kind == RecordKind::Oil { Owner::Oil } else { Owner::Fork };
    let mut record = SpecRecord {
        kind,
        id: check_id(root, file, files, findings),
        file,
        maker: own("maker").unwrap_or_default(),
        model: title.unwrap_or_default(),
        label: text_entry(root, "label"),
        draft: root.text_of("status") == Some("draft"),
        family: if kind == RecordKind::Fork { text_entry(root, "family") } else { None },
        machines: machines(root, findings),
        names_machine: root
            .get("machines")
            .is_some_and(|node| !matches!(&node.value, Tree::List(list) if list.is_empty())),
        choices: BTreeMap::new(),
        sources: sources(root),
        source: text_entry(root, "source"),
        notes: own("notes"),
        values: Vec::new(),
        reviewed: read_reviews(root),
        placeholders: Vec::new(),
    };
    left_over(root, &mut record.placeholders);
    for entry in root.get("choices").map_or(&[][..], Node::entries) {
        if let Some(text) = entry.value.text() {
            record.choices.insert(entry.key.clone(), Text { text: text.to_owned(), span: entry.value.span });
        }
    }
    let text = &files.get(file).text;
    let mut near_misses: Vec<(FieldId, &crate::syntax::yaml::Entry)> = Vec::new();
    for group in root.entries() {
        for entry in group.value.entries() {
            let key = format!("{}.{}", group.key, entry.key);
            let Some(id) = catalogue.find(&key).filter(|id| catalogue.field(*id).of == owner) else {
                // These two hold names of their own, not fields.
                if !["sources", "choices", "reviewed"].contains(&group.key.as_str()) {
                    near_misses.extend(meant(catalogue, owner, &key).map(|id| (id, entry)));
                }
                continue;
            };
            let field = catalogue.field(id);
            let span = Span { start: entry.key_span.start, ..entry.value.span };
            let sides = sides(field, &entry.value, text, findings);
            record.values.push(SpecLine { field: id, key_span: entry.key_span, span, sides });
        }
    }
    // A group that is no mapping has been said; nothing of it is to be called missing as well.
    for group in root.entries().iter().filter(|group| !matches!(group.value.value, Tree::Map(_))) {
        for (field, _) in catalogue.of(owner).filter(|(_, field)| field.group == group.key) {
            let span = Span { start: group.key_span.start, ..group.value.span };
            let sides = Sides::Each(Arc::new(poisoned(&group.value)));
            record.values.push(SpecLine { field, key_span: group.key_span, span, sides });
        }
    }
    // A misspelt key has been said; what it stands for is not to be called missing as well.
    for (field, entry) in near_misses {
        if record.values.iter().all(|line| line.field != field) {
            let span = Span { start: entry.key_span.start, ..entry.value.span };
            let sides = Sides::Each(Arc::new(poisoned(&entry.value)));
            record.values.push(SpecLine { field, key_span: entry.key_span, span, sides });
        }
    }
    record
}

/// The words of a template that still stand in a record, and blanks where words belong.
fn left_over(node: &Node, out: &mut Vec<Text>) {
    match &node.value {
        Tree::Scalar { text, .. } => {
            let words = text.trim();
            if PLACEHOLDERS.contains(&words) || is_blank(words) {
                out.push(Text { text: words.to_owned(), span: node.span });
            }
        }
        Tree::List(items) => items.iter().for_each(|item| left_over(item, out)),
        Tree::Map(entries) => entries.iter().for_each(|entry| left_over(&entry.value, out)),
    }
}

/// Whether nothing but dots was written.
fn is_blank(words: &str) -> bool {
    !words.is_empty() && words.chars().all(|letter| matches!(letter, '…' | '.'))
}

fn sources(root: &Node) -> Vec<Arc<SourceNote>> {
    let list = root.get("sources").map_or(&[][..], Node::entries);
    let read = list.iter().map(|entry| {
        let own = |key: &str| entry.value.text_of(key).map(str::to_owned);
        let kind = entry.value.text_of("kind");
        SourceNote {
            id: Text { text: entry.key.clone(), span: entry.key_span },
            kind: SourceKind::ALL
                .iter()
                .find(|(id, _, _)| Some(*id) == kind)
                // A kind that is missing or misspelt has been said; nothing else is to follow from it.
                .map_or(SourceKind::MakerSheet, |(_, kind, _)| *kind),
            title: own("title").unwrap_or_default(),
            date: own("date"),
            by: own("by"),
        }
    });
    read.map(Arc::new).collect()
}

fn machines(root: &Node, findings: &mut Vec<Finding>) -> Vec<Machine> {
    let mut out = Vec::new();
    for item in root.get("machines").map_or(&[][..], Node::items) {
        let (Some(maker), Some(model), Some(years)) =
            (item.text_of("maker"), item.text_of("model"), item.get("years"))
        else {
            continue;
        };
        let written = years.text().unwrap_or_default();
        match read_years(written) {
            Some(range) => out.push(Machine {
                maker: maker.to_owned(),
                model: model.to_owned(),
                years: range,
                span: item.span,
            }),
            None => findings.push(
                rules::YEARS_UNREADABLE
                    .at(years.span, format!("`{written}` is no year or range of years"))
                    .bench("the wrong model year brings the wrong numbers")
                    .instead("write one year, such as `\"2018\"`, or first and last, such as `2016..2019`"),
            ),
        }
    }
    out
}

/// Reads `2018` or `2016..2019`, 1900 to 2199, first not after last.
pub(crate) fn read_years(text: &str) -> Option<(u16, u16)> {
    let year = |text: &str| {
        let text = text.trim();
        let digits = text.len() == 4 && text.bytes().all(|b| b.is_ascii_digit());
        text.parse::<u16>().ok().filter(|year| digits && (1900..2200).contains(year))
    };
    let (first, last) = text.split_once("..").unwrap_or((text, text));
    let (first, last) = (year(first)?, year(last)?);
    (first <= last).then_some((first, last))
}

/// What the parts of a mapping say for both sides, unless a side says its own.
#[derive(Default, Clone)]
struct Shared {
    sources: Vec<Text>,
    note: Option<String>,
    accept: Vec<Accept>,
    state: BTreeMap<String, Named>,
    attributes: BTreeMap<String, Named>,
}

fn sides(field: &Field, node: &Node, text: &str, findings: &mut Vec<Finding>) -> Sides {
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

/// The field that a misspelt key most likely stands for.
fn meant(catalogue: &Catalogue, owner: Owner, key: &str) -> Option<FieldId> {
    let known = catalogue.iter().map(|(_, field)| field).filter(|field| field.of == owner);
    catalogue.find(crate::diagnostic::nearest(key, known.map(|field| field.key.as_str()))?)
}

/// A value that cannot be read, which a finding has said: it is there, and nothing is to be said of it.
fn poisoned(node: &Node) -> Entry {
    Entry {
        value: None,
        text: String::new(),
        span: node.span,
        sources: Vec::new(),
        note: None,
        accept: Vec::new(),
        state: BTreeMap::new(),
        attributes: BTreeMap::new(),
    }
}

fn entry(field: &Field, node: &Node, text: &str, base: Shared, findings: &mut Vec<Finding>) -> Entry {
    let (scalar, own) = match &node.value {
        Tree::Map(_) => match node.get("value") {
            Some(value) => (value, shared(field, node, text, base, findings)),
            None => return poisoned(node),
        },
        _ => (node, base),
    };
    let Some(written) = scalar.text() else { return poisoned(scalar) };
    let value = read(&field.wanted(), scalar, text, findings);
    Entry {
        value,
        text: written.to_owned(),
        span: scalar.span,
        sources: own.sources,
        note: own.note,
        accept: own.accept,
        state: own.state,
        attributes: own.attributes,
    }
}

fn shared(field: &Field, node: &Node, text: &str, mut out: Shared, findings: &mut Vec<Finding>) -> Shared {
    for part in node.entries() {
        match part.key.as_str() {
            "source" => out.sources = texts(&part.value),
            "note" => out.note = part.value.text().map(str::to_owned),
            "accept" => {
                let items = if part.value.items().is_empty() {
                    std::slice::from_ref(&part.value)
                } else {
                    part.value.items()
                };
                out.accept = items
                    .iter()
                    .filter_map(|item| {
                        Some(Accept {
                            finding: text_entry(item, "finding")?,
                            reason: item.text_of("reason")?.to_owned(),
                            by: item.text_of("by")?.to_owned(),
                            by_span: item.get("by")?.span,
                            until: text_entry(item, "until"),
                        })
                    })
                    .collect();
            }
            "state" => {
                out.state = BTreeMap::new();
                for part in part.value.entries() {
                    if !field.state.contains(&part.key) {
                        continue;
                    }
                    if let Some(named) =
                        state_part(&part.key).and_then(|known| named(known, &part.value, text, findings))
                    {
                        out.state.insert(part.key.clone(), named);
                    }
                }
            }
            key if field.attributes.iter().any(|known| known == key) => {
                if let Some(named) =
                    attribute(key).and_then(|known| named(known, &part.value, text, findings))
                {
                    out.attributes.insert(key.to_owned(), named);
                }
            }
            _ => {}
        }
    }
    out
}

fn named(known: &Attribute, node: &Node, text: &str, findings: &mut Vec<Finding>) -> Option<Named> {
    let Tree::Scalar { text: written, .. } = &node.value else { return None };
    let wanted =
        Wanted { kind: &known.kind, units: &[], title: known.title, example: known.example, bands: &[] };
    let value = read(&wanted, node, text, findings);
    Some(Named { value, text: Text { text: written.clone(), span: node.span } })
}

fn texts(node: &Node) -> Vec<Text> {
    let one = |node: &Node| node.text().map(|text| Text { text: text.to_owned(), span: node.span });
    match &node.value {
        Tree::List(items) => items.iter().filter_map(one).collect(),
        _ => one(node).into_iter().collect(),
    }
}

/// Reads a scalar as a value and turns the reader's troubles into findings at their places.
pub(crate) fn read(
    wanted: &Wanted<'_>,
    node: &Node,
    text: &str,
    findings: &mut Vec<Finding>,
) -> Option<Value> {
    let Tree::Scalar { text: written, plain } = &node.value else { return None };
    // A number without quotes where a word is due has been refused by the schema already.
    let (value, troubles) = read_value(written, wanted);
    // `true` is the one word that every reader takes alike.
    let truth = matches!(&value, Some(Value::Choice(_))) && matches!(written.as_str(), "true" | "false");
    if *plain && !truth && value.is_some() && crate::syntax::yaml::other_readers_differ(written) {
        findings.push(
            rules::YAML_OTHER_READERS
                .at(node.span, format!("another YAML reader may take `{written}` for something else"))
                .bench("what an editor or another tool shows may differ from what is printed here")
                .instead(format!("put it in quotes: `\"{written}\"`")),
        );
    }
    for trouble in troubles {
        let span = node.part(trouble.range.clone(), text);
        findings.push(
            trouble
                .rule
                .graded(trouble.severity, span, trouble.message)
                .bench(trouble.bench)
                .instead(trouble.instead),
        );
    }
    debug_assert!(value.is_some() || findings.iter().any(|f| f.severity == Severity::Error));
    value
}
