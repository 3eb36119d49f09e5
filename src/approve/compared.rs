//! Comparing what a fork takes over from its family with one of the fork's own sources: what there is to compare.

use std::sync::Arc;

use super::record::record;
use super::request::{NotRecorded, tame};
use crate::check::CheckedFork;
use crate::diagnostic::did_you_mean;
use crate::pipeline::Checked;
use crate::quantity::write_value;
use crate::record::{Entry, RecordKind, Sides, SourceNote, SpecLine, SpecRecord};
use crate::resolve::Shop;
use crate::review::{CHOICE, Comparison, compared_with, lines};
use crate::words::{lower, one_of};

/// A value to be compared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToCompare {
    /// Its key.
    pub key: String,
    /// What a person calls it.
    pub title: String,
    /// Its figure, left and right where they differ, with what else is said that changes it.
    pub figure: String,
    /// Where the family has it from.
    pub source: String,
    /// It can hurt somebody.
    pub safety: bool,
    /// It was compared, and has changed since.
    pub changed: bool,
}

/// What a fork takes over from its family and nobody compared, as it is, with the fork's own source: what can hurt
/// somebody first, then in the catalogue's order.
///
/// # Errors
/// There is no such fork, or it has no such source.
pub fn to_compare(checked: &Checked, id: &str, source: &str) -> Result<Vec<ToCompare>, NotRecorded> {
    let record = record(&checked.shop, id)?;
    comparable(record, source)?;
    let Some(fork) = checked.fork(&record.id.text) else { return Ok(Vec::new()) };
    let open = lines(fork).into_iter().filter(|(field, _)| fork.is_uncompared(*field));
    let values = open.map(|(id, (line, from))| {
        let field = checked.shop.catalogue.field(id);
        ToCompare {
            key: field.key.clone(),
            title: field.title.clone(),
            figure: figure_of(line),
            source: sources(line, from),
            safety: field.safety,
            changed: matches!(fork.inherited.values.get(&id), Some(Comparison::Overtaken(_))),
        }
    });
    // What decides which values and steps there are comes first.
    let mut out: Vec<ToCompare> = choices(&checked.shop, fork).into_iter().chain(values).collect();
    // A stable sort: within each half the catalogue's order stays.
    out.sort_by_key(|value| !value.safety);
    Ok(out)
}

/// The choices that a fork takes over and nobody compared. Each decides which steps are printed, so it can hurt.
fn choices(shop: &Shop, fork: &CheckedFork) -> Vec<ToCompare> {
    let open: Vec<&str> = fork.inherited.open_choices().collect();
    let all = shop.catalogue.choices.iter().filter(|choice| open.contains(&choice.key.as_str()));
    all.filter_map(|choice| {
        let option = fork.choices.get(&choice.key)?;
        Some(ToCompare {
            key: format!("{CHOICE}{}", choice.key),
            title: choice.title.clone(),
            figure: with_title(option, shop.catalogue.option_title(&choice.key, option)),
            source: String::new(),
            safety: true,
            changed: matches!(fork.inherited.choices.get(&choice.key), Some(Comparison::Overtaken(_))),
        })
    })
    .collect()
}

/// An option with its words, where they say more than its id.
pub fn with_title(option: &str, title: &str) -> String {
    match lower(title) {
        title if title == option.replace('-', " ") => option.to_owned(),
        title => format!("{option}: {title}"),
    }
}

/// The source of a fork with which its inherited values can be compared.
pub(super) fn comparable<'r>(
    record: &'r SpecRecord,
    source: &str,
) -> Result<Option<&'r Arc<SourceNote>>, NotRecorded> {
    let refuse = |why: String| Err(NotRecorded::Sentence(why));
    let name = format!("{} `{}`", record.kind.word(), record.id.text);
    if record.kind != RecordKind::Fork {
        return refuse(format!("the {name} takes nothing over: only a fork is compared with its own sheet"));
    }
    if record.family.is_none() {
        return refuse(format!("the {name} has no family, so there is nothing to compare"));
    }
    if compared_with(record, source).is_some() {
        return Ok(record.source_note(source));
    }
    if let Some(note) = record.source_note(source) {
        return refuse(format!(
            "`{source}` is {}: compare with the maker's sheet of this fork, or with what was measured on it",
            note.kind.title()
        ));
    }
    let ids: Vec<&str> = record.sources.iter().map(|note| note.id.text.as_str()).collect();
    let can: Vec<&str> = ids.into_iter().filter(|id| compared_with(record, id).is_some()).collect();
    let hint = did_you_mean(source, can.iter().copied(), || match can.as_slice() {
        [] => "name its sheet under `sources:` first".to_owned(),
        can => format!("name {}", one_of(can)),
    });
    refuse(format!("the {name} has no source `{}`: {hint}", tame(source)))
}

/// How many values that a fork takes over can hurt somebody and were not compared, with the choices.
pub(super) fn not_compared(checked: &Checked, record: &SpecRecord) -> usize {
    let fork = (record.kind == RecordKind::Fork).then(|| checked.fork(&record.id.text)).flatten();
    let safety = |field| checked.shop.catalogue.field(field).safety;
    fork.map_or(0, |fork| {
        let values = fork.inherited.values.keys();
        let values = values.filter(|field| safety(**field) && fork.is_uncompared(**field)).count();
        values + fork.inherited.open_choices().count()
    })
}

/// A value as its record says it, with the attributes that change it.
pub fn figure_of(line: &SpecLine) -> String {
    match &line.sides {
        Sides::Each(entry) => said(entry),
        Sides::Legs(left, right) => format!("left {}, right {}", said(left), said(right)),
    }
}

fn said(entry: &Entry) -> String {
    let value = entry.value.as_ref().map_or_else(|| entry.text.clone(), write_value);
    let named = entry.attributes.iter().chain(&entry.state).filter(|(key, _)| *key != "sequence");
    let named: Vec<&str> = named.map(|(_, named)| named.text.text.as_str()).collect();
    let named = if named.is_empty() { String::new() } else { format!(" ({})", named.join(", ")) };
    format!("{value}{named}").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The titles of a value's sources.
fn sources(line: &SpecLine, from: &SpecRecord) -> String {
    let entry = match &line.sides {
        Sides::Each(entry) | Sides::Legs(entry, _) => entry,
    };
    let ids = if entry.sources.is_empty() { from.source.as_slice() } else { &entry.sources };
    let titles = ids.iter().filter_map(|id| from.source_note(&id.text)).map(|note| note.title.as_str());
    titles.collect::<Vec<_>>().join("; ")
}
