//! Forks, families and oils: a head, the sources named once, and the values by group.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::entry::{Sides, poisoned, sides};
use super::id::check_id;
use super::kind::RecordKind;
use super::machine::{Machine, machines};
use super::review::{Review, read_reviews};
use super::source::{SourceNote, sources};
use super::template::PLACEHOLDERS;
use super::text::{Text, text_entry};
use crate::catalogue::{Catalogue, FieldId, Owner};
use crate::diagnostic::Finding;
use crate::syntax::yaml::{Node, Tree};
use crate::text::{FileId, Files, Span};

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

/// The field that a misspelt key most likely stands for.
fn meant(catalogue: &Catalogue, owner: Owner, key: &str) -> Option<FieldId> {
    let known = catalogue.iter().map(|(_, field)| field).filter(|field| field.of == owner);
    catalogue.find(crate::diagnostic::nearest(key, known.map(|field| field.key.as_str()))?)
}
