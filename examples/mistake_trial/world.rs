//! The demo shop in memory, with its trees and what the untouched shop is told.

use std::collections::BTreeMap;
use std::path::Path;

use benchleaf::Checked;
use benchleaf::catalogue::{Choices, Field, FieldId};
use benchleaf::check_shop_on;
use benchleaf::date::AsOf;
use benchleaf::diagnostic::Finding;
use benchleaf::record::{Entry, Sides, SpecLine, SpecRecord};
use benchleaf::syntax::markdown;
use benchleaf::syntax::yaml::{self, Node};
use benchleaf::text::{Files, Folder, Memory, Source, Span, last_commit};

use crate::mistake::{Change, Mistake};

/// Which shop mistakes are made in.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Reviewed {
    /// The demo shop.
    Yes,
    /// The same without its reviews.
    No,
    /// The same without its reviews and in words of its own, so that no text is known as the library's.
    OwnWords,
}

/// A shop and what is said of it before any mistake is made.
pub struct World {
    pub memory: Memory,
    pub day: Option<AsOf>,
    pub checked: Checked,
    /// What the untouched shop is told, without its places.
    pub known: BTreeMap<String, usize>,
    trees: BTreeMap<String, Node>,
}

/// What is said, without the line it is said at.
pub fn said(files: &Files, finding: &Finding) -> String {
    let path = &files.get(finding.span.file).path;
    format!("{} {:?} {path} {}", finding.code(), finding.severity, finding.message)
}

/// A line of a record, one for each figure it gives.
pub struct Line<'w> {
    pub record: &'w SpecRecord,
    pub choices: &'w Choices,
    pub line: &'w SpecLine,
    pub entry: &'w Entry,
    pub field: &'w Field,
    pub id: FieldId,
}

impl World {
    /// The shop in a folder.
    pub fn read(folder: &Path, as_it_is: Reviewed) -> World {
        let reviewed = as_it_is == Reviewed::Yes;
        let source = Folder { root: folder.to_path_buf() };
        let paths = source.list().0;
        let texts = paths.into_iter().filter_map(|path| {
            let text = String::from_utf8(source.read(&path).ok()?).ok()?;
            let reviews = path.starts_with("specs/review") || path.starts_with("procedures/review");
            if !reviewed && reviews {
                return None;
            }
            let text = if reviewed { text } else { without_reviews(&text) };
            let own = as_it_is == Reviewed::OwnWords && path.starts_with("procedures/");
            Some((path, if own { in_own_words(&text) } else { text }))
        });
        let memory = Memory::new(texts);
        let day = last_commit(folder).map(|day| AsOf { settled: false, ..day });
        let checked = check_shop_on(&memory, day);
        let mut known = BTreeMap::new();
        for finding in &checked.findings {
            *known.entry(said(&checked.files, finding)).or_default() += 1;
        }
        let trees = checked.files.iter().filter_map(|(id, file)| {
            let text = match file.path.ends_with(".md") {
                true => &file.text[markdown::split(&file.text)?.0],
                false => file.text.as_str(),
            };
            Some((file.path.clone(), yaml::read(id, text, &mut Vec::new())?))
        });
        let trees = trees.collect();
        World { memory, day, checked, known, trees }
    }

    pub fn path(&self, span: Span) -> &str {
        &self.checked.files.get(span.file).path
    }

    /// The whole text of the file that something stands in.
    pub fn file(&self, span: Span) -> &str {
        &self.checked.files.get(span.file).text
    }

    pub fn text(&self, span: Span) -> &str {
        self.file(span).get(span.range()).unwrap_or_default()
    }

    /// The tree of a record or of a head.
    pub fn tree(&self, span: Span) -> Option<&Node> {
        self.trees.get(self.path(span))
    }

    /// Something else in the place of a span.
    pub fn change(&self, span: Span, text: impl Into<String>) -> Change {
        let path = self.path(span).to_owned();
        Change { path, range: span.range(), text: text.into(), place: span.range() }
    }

    /// The same; the mistake is about more than what was changed.
    pub fn within(&self, place: Span, span: Span, text: impl Into<String>) -> Change {
        Change { place: place.range(), ..self.change(span, text) }
    }

    /// The choices of a fork; of a family the choices of the first fork that belongs to it.
    fn choices(&self, record: &SpecRecord) -> Option<&Choices> {
        let of_fork = self.checked.fork(&record.id.text);
        let member = || {
            let belongs = |family: &SpecRecord| family.id.text == record.id.text;
            self.checked.forks.iter().find(|fork| fork.family.as_deref().is_some_and(belongs))
        };
        of_fork.or_else(member).map(|fork| &fork.choices)
    }

    /// Whether a mistake is in the record of a draft alone, which has no card.
    pub fn is_draft(&self, mistake: &Mistake) -> bool {
        let draft = |path: &str| {
            let mut forks = self.checked.shop.forks.iter();
            forks.any(|fork| fork.draft && self.checked.files.get(fork.file).path == path)
        };
        mistake.changes.iter().all(|change| draft(&change.path))
    }

    /// Every figure of forks and families.
    pub fn lines(&self) -> Vec<Line<'_>> {
        let shop = &self.checked.shop;
        let records = shop.forks.iter().chain(shop.families.iter());
        records.flat_map(|record| self.lines_of(record)).collect()
    }

    /// Every figure of one record.
    pub fn lines_of<'w>(&'w self, record: &'w SpecRecord) -> Vec<Line<'w>> {
        let Some(choices) = self.choices(record) else { return Vec::new() };
        let mut out = Vec::new();
        for line in &record.values {
            let (id, field) = (line.field, self.checked.shop.catalogue.field(line.field));
            let entries: Vec<&Entry> = match &line.sides {
                Sides::Each(entry) => vec![entry],
                Sides::Legs(left, right) => vec![left, right],
            };
            out.extend(entries.into_iter().map(|entry| Line { record, choices, line, entry, field, id }));
        }
        out
    }

    /// The value of a line in its tree, with its parts.
    pub fn node(&self, line: &Line<'_>) -> Option<&Node> {
        self.tree(line.line.span)?.get(&line.field.group)?.get(&line.field.name)
    }
}

/// A record without its reviews.
fn without_reviews(text: &str) -> String {
    let mut inside = false;
    let mut out = String::new();
    for line in text.split_inclusive('\n') {
        if !line.starts_with([' ', '\n', '#']) {
            inside = line.starts_with("reviewed:");
        }
        if !inside {
            out.push_str(line);
        }
    }
    out
}

/// A text in other words, that say the same: each sentence and each clause reads otherwise than in the library.
fn in_own_words(text: &str) -> String {
    let line = |line: &str| match line.trim_start().starts_with("id:") {
        true => line.to_owned(),
        false => line.replace(" the ", " this ").replace(" a ", " one ").replace(" and ", " and then "),
    };
    text.split_inclusive('\n').map(line).collect()
}

/// An entry of a mapping or an item of a list, taken out with what parts it from the next.
pub fn taken_out(text: &str, start: usize, end: usize) -> std::ops::Range<usize> {
    let before = text[..start].trim_end_matches([' ', '\n']);
    let after = &text[end..];
    let flow = before.ends_with(['{', '[', ',']);
    if flow {
        let next = after.trim_start_matches([' ', '\n']);
        if let Some(rest) = next.strip_prefix(',') {
            let rest = rest.trim_start_matches(' ');
            return start..text.len() - rest.len();
        }
        let from = before.strip_suffix(',').map_or(start, str::len);
        return from..end;
    }
    let from = text[..start].rfind('\n').map_or(0, |at| at + 1);
    let to = after.find('\n').map_or(text.len(), |at| end + at + 1);
    from..to
}
