//! Forks, families and oils: a head, the sources named once, and the values by group.

use borsh::{BorshDeserialize, BorshSerialize};
use std::collections::BTreeMap;
use std::sync::Arc;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;

use super::build::{Build, BuildHead};
use super::entry::{Accept, Sides, poisoned, sides};
use super::id::check_id;
use super::kind::RecordKind;
use super::machine::{Machine, MachineHead, machines};
use super::part::{Part, PartHead, parts};
use super::picture::PictureNote;
use super::review::{Review, reviews};
use super::source::{SourceNote, sources};
use super::spring::{SpringHead, Stock};
use super::status::Status;
use super::template::PLACEHOLDERS;
use super::text::{Named, Placed, Text, texts};
use crate::catalogue::{Catalogue, FieldId, Owner};
use crate::diagnostic::Finding;
use crate::syntax::from_tree;
use crate::syntax::yaml::{Entry, Node, Tree};
use crate::text::{FileId, Files, Span};

/// A value's line in a record.
#[derive(Debug, Clone, PartialEq, BorshSerialize, BorshDeserialize)]
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
#[derive(Debug, Clone, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct SpecRecord {
    /// Fork, family or oil.
    pub kind: RecordKind,
    /// Its id: its file's name.
    pub id: Text,
    /// Its file.
    pub file: FileId,
    /// Who made it; families: whose forks they are, where that is said.
    pub maker: String,
    /// Forks: the model; families: the title; oils: the product.
    pub model: String,
    /// Oils: the text on the bottle.
    pub label: Option<Text>,
    /// A draft is published as a marked page, without a card.
    pub draft: bool,
    /// The family it belongs to.
    pub family: Option<Text>,
    /// The ids it had before; reviews and printed cards of these are its own.
    pub was: Vec<Text>,
    /// Parts that are ordered by number, beside those that values tell of.
    pub parts: Vec<Part>,
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
    /// Pictures beside it.
    pub pictures: Vec<PictureNote>,
    /// The values.
    pub values: Vec<SpecLine>,
    /// Findings on the head that are let stand.
    pub accept: Vec<Accept>,
    /// Who reviewed which values, in the order written.
    pub reviewed: Vec<Review>,
    /// Where the words of a template still stand for what the record should say.
    pub placeholders: Vec<Text>,
    /// What only springs or builds say.
    pub beside: Beside,
}

/// What only records of one kind say, beside what all of them say.
#[derive(Debug, Clone, Default, PartialEq, BorshSerialize, BorshDeserialize)]
pub enum Beside {
    /// Nothing.
    #[default]
    Nothing,
    /// A spring: what lies on the shelf.
    Spring(Stock),
    /// A build: over which fork, for which machine, and why.
    Build(Box<Build>),
}

impl SpecRecord {
    /// Maker and model in one line.
    pub fn title(&self) -> String {
        if self.kind == RecordKind::Family {
            return self.model.clone();
        }
        format!("{} {}", self.maker, self.model).trim().to_owned()
    }

    /// What it says as a build; `None` for every other record.
    pub fn build(&self) -> Option<&Build> {
        match &self.beside {
            Beside::Build(build) => Some(build),
            _ => None,
        }
    }

    /// Kind and id, as reports name it: `fork tarn-41`.
    pub fn name(&self) -> String {
        format!("{} {}", self.kind.word(), self.id.text)
    }

    /// The name it has and those that it had.
    pub fn names(&self) -> impl Iterator<Item = String> {
        let former = self.was.iter().map(|id| format!("{} {}", self.kind.word(), id.text));
        std::iter::once(self.name()).chain(former)
    }

    /// The source of an id.
    pub fn source_note(&self, id: &str) -> Option<&Arc<SourceNote>> {
        self.sources.iter().find(|source| source.id.text == id)
    }
}

/// What a fork's record says besides its values and what every such record says.
#[derive(Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ForkHead {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    #[serde(rename = "id")]
    _id: String,
    /// Who made the fork.
    maker: String,
    /// The fork's model.
    model: String,
    /// The family record whose values this model shares.
    family: Option<Text>,
    /// The machines it is fitted to.
    #[serde(default)]
    machines: Vec<Placed<MachineHead>>,
    /// A finding on what stands here, not at a value, that is let stand.
    #[serde(default)]
    #[schemars(schema_with = "acceptances")]
    accept: Vec<Accept>,
}

fn acceptances(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"$ref": "#/$defs/accept"})
}

/// The same of a family.
#[derive(Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FamilyHead {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    #[serde(rename = "id")]
    _id: String,
    /// What the family is called.
    title: String,
    /// Who makes the forks of this family.
    #[serde(default)]
    maker: String,
}

/// The same of an oil.
#[derive(Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct OilHead {
    /// The record's id: lower case letters, digits and hyphens; the file has the same name.
    #[serde(rename = "id")]
    _id: String,
    /// Who makes the oil.
    maker: String,
    /// What it is called.
    product: String,
    /// What the bottle says. A "weight" is no viscosity.
    label: Option<Text>,
    /// A draft is published as a marked page.
    #[serde(default)]
    status: Status,
}

/// What forks and families both say besides.
#[derive(Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ChoicesHead {
    /// A draft is published as a marked page, without a card.
    #[serde(default)]
    status: Status,
    /// What makes up the fork.
    #[serde(default)]
    #[schemars(schema_with = "choices_schema")]
    choices: Named<Text>,
    /// Parts that are ordered by number, beside those that values tell of: kits, bolts, whole assemblies. A fork has
    /// those of its family too; one of the same title takes its place.
    #[serde(default)]
    parts: Vec<Placed<PartHead>>,
    /// Pictures of the shop's own, shown on the fork's page.
    #[serde(default)]
    pictures: Vec<PictureNote>,
}

/// The `$comment` of the part of a schema that lists the choices of the catalogue.
pub(crate) const CHOICES_OF_THE_CATALOGUE: &str = "the choices of the catalogue";

fn choices_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"$comment": CHOICES_OF_THE_CATALOGUE})
}

/// What forks, families and oils all say besides their values.
#[derive(Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SharedHead {
    /// Where values come from, each named once.
    #[serde(default, deserialize_with = "sources")]
    #[schemars(with = "Named<SourceNote>")]
    sources: Vec<Arc<SourceNote>>,
    /// The source of every value that names none.
    source: Option<Text>,
    /// Anything else worth knowing.
    notes: Option<String>,
    /// Ids that this record had before. Its reviews and the cards printed under them stay its own.
    #[serde(default, deserialize_with = "texts")]
    was: Vec<Text>,
    /// Who reviewed which values, and when. Written by `benchleaf approve`, not by hand.
    #[serde(default, deserialize_with = "reviews")]
    #[schemars(extend("type" = ["array", "null"]))]
    reviewed: Vec<Review>,
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
    let text = &files.get(file).text;
    let mut record = head(kind, root, (file, text), findings);
    record.id = check_id(root, file, files, findings);
    left_over(root, &mut record.placeholders);
    let owner = match kind {
        RecordKind::Oil => Owner::Oil,
        RecordKind::Spring => Owner::Spring,
        _ => Owner::Fork,
    };
    let near_misses = values(&mut record, root, owner, text, catalogue, findings);
    // A group that is no mapping has been said; nothing of it is to be called missing as well.
    for group in root.entries().iter().filter(|group| !matches!(group.value.value, Tree::Map(_))) {
        for (field, _) in catalogue.of(owner).filter(|(_, field)| field.group == group.key) {
            record.values.push(unreadable(field, group));
        }
    }
    // A misspelt key has been said; what it stands for is not to be called missing as well.
    for (field, entry) in near_misses {
        if record.values.iter().all(|line| line.field != field) {
            record.values.push(unreadable(field, entry));
        }
    }
    record
}

/// The record without its id and its values.
fn head(
    kind: RecordKind,
    root: &Node,
    (file, text): (FileId, &str),
    findings: &mut Vec<Finding>,
) -> SpecRecord {
    let SharedHead { sources, source, notes, was, reviewed } = from_tree(root);
    let mut record = SpecRecord {
        kind,
        id: Text::default(),
        file,
        maker: String::new(),
        model: String::new(),
        label: None,
        draft: false,
        family: None,
        was,
        parts: Vec::new(),
        machines: Vec::new(),
        names_machine: false,
        choices: BTreeMap::new(),
        sources,
        source,
        notes,
        pictures: Vec::new(),
        values: Vec::new(),
        accept: Vec::new(),
        reviewed,
        placeholders: Vec::new(),
        beside: Beside::Nothing,
    };
    of_kind(&mut record, root, text, findings);
    if matches!(kind, RecordKind::Fork | RecordKind::Family) {
        let ChoicesHead { status, choices: Named(choices), parts: written, pictures } = from_tree(root);
        record.parts = parts(written);
        record.pictures = pictures.into_iter().filter(|note| !note.file.text.is_empty()).collect();
        record.draft = status == Status::Draft;
        let made = choices.into_iter().filter(|(_, option)| !option.text.is_empty());
        record.choices = made.map(|(choice, option)| (choice.text, option)).collect();
    }
    record
}

/// What a record of its kind alone says at its head.
fn of_kind(record: &mut SpecRecord, root: &Node, text: &str, findings: &mut Vec<Finding>) {
    match record.kind {
        RecordKind::Oil => {
            let OilHead { maker, product, label, status, .. } = from_tree(root);
            (record.maker, record.model, record.label) = (maker, product, label);
            record.draft = status == Status::Draft;
        }
        RecordKind::Spring => {
            let head: SpringHead = from_tree(root);
            (record.maker, record.model) = (head.maker.clone(), head.marking.clone());
            record.draft = head.status == Status::Draft;
            record.beside = Beside::Spring(head.stock());
        }
        RecordKind::Build => {
            let head: BuildHead = from_tree(root);
            record.draft = head.status == Status::Draft;
            // Its fork is in machines; the build is for one of them.
            record.names_machine = true;
            record.beside = Beside::Build(Box::new(head.build(root, text, findings)));
        }
        RecordKind::Family => {
            let FamilyHead { title, maker, .. } = from_tree(root);
            (record.model, record.maker) = (title, maker);
        }
        _ => {
            let ForkHead { maker, model, family, machines: written, accept, .. } = from_tree(root);
            record.accept = accept.into_iter().filter(Accept::is_whole).collect();
            (record.maker, record.model, record.family) = (maker, model, family);
            record.names_machine = root
                .get("machines")
                .is_some_and(|node| !matches!(&node.value, Tree::List(list) if list.is_empty()));
            record.machines = machines(written, findings);
        }
    }
}

/// Reads the values by group. Gives the entries that look like a field of a misspelt name.
fn values<'n>(
    record: &mut SpecRecord,
    root: &'n Node,
    owner: Owner,
    text: &str,
    catalogue: &Catalogue,
    findings: &mut Vec<Finding>,
) -> Vec<(FieldId, &'n Entry)> {
    let mut near_misses = Vec::new();
    for group in root.entries() {
        for entry in group.value.entries() {
            let key = format!("{}.{}", group.key, entry.key);
            let Some(id) = catalogue.find(&key).filter(|id| catalogue.field(*id).of == owner) else {
                // These hold names of their own, not fields.
                if !["sources", "choices", "reviewed", "changes", "machine"].contains(&group.key.as_str()) {
                    near_misses.extend(meant(catalogue, owner, &key).map(|id| (id, entry)));
                }
                continue;
            };
            let span = Span { start: entry.key_span.start, ..entry.value.span };
            let sides = sides(catalogue.field(id), &entry.value, text, findings);
            record.values.push(SpecLine { field: id, key_span: entry.key_span, span, sides });
        }
    }
    near_misses
}

/// A value of which nothing can be read.
fn unreadable(field: FieldId, entry: &Entry) -> SpecLine {
    let span = Span { start: entry.key_span.start, ..entry.value.span };
    SpecLine { field, key_span: entry.key_span, span, sides: Sides::Each(Arc::new(poisoned(&entry.value))) }
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
    let fields = catalogue.iter().map(|(_, field)| field).filter(|field| field.of == owner);
    catalogue.find(crate::diagnostic::nearest(key, fields.map(|field| field.key.as_str()))?)
}
