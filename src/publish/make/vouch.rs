//! What pages and cards say of reviews: who vouches, what changed since, and what nobody has looked at.

use std::collections::{BTreeMap, BTreeSet};

use super::Book;
use super::show::{count, fork_href, oil_href, value_href};
use super::told::Told;
use crate::catalogue::{Field, FieldId};
use crate::check::{CheckedFork, doubt::is_at};
use crate::date::Date;
use crate::publish::view::{Link, ReviewRow, Row, UnreviewedRow, VouchView};
use crate::record::SpecLine;
use crate::review::{CHOICES, MACHINES, RecordReview, Standing, Vouch, lines};

/// What stands beside a number on which `check` has a finding open.
pub const IN_DOUBT: &str = "IN DOUBT";

/// The longest name a card has room for, in letters.
const LONGEST_NAME: usize = 36;

/// How a card marks a value that can hurt somebody and that nobody vouches for as it is: in the word of the pages
/// and of the review list. In a shop that does not review nothing is marked, and an estimate is marked as one.
pub fn card_mark(book: &Book, fork: &CheckedFork, field: &Field, estimate: bool) -> &'static str {
    if !book.reviewed || !field.safety || estimate {
        return "";
    }
    word(fork.review.of(&field.key), true)
}

/// `CHANGED` since it was reviewed, `UNREVIEWED` where nobody ever has and it can hurt somebody; else empty.
fn word(standing: &Standing, safety: bool) -> &'static str {
    match standing {
        Standing::Reviewed(_) => "",
        Standing::Changed(_) | Standing::Disputed(..) => "CHANGED",
        Standing::Never if safety => "UNREVIEWED",
        Standing::Never => "",
    }
}

/// The values of a fork on which `check` has a finding open, reviewed or not.
pub fn doubted(book: &Book, fork: &CheckedFork) -> BTreeSet<FieldId> {
    let record = &fork.record;
    let family = fork.family.as_ref().map(|family| family.file);
    // Most forks have nothing open; their lines are not gone through.
    if ![Some(record.file), family].iter().flatten().any(|file| book.doubts.contains_key(file)) {
        return BTreeSet::new();
    }
    let open = |line: &SpecLine| {
        let here = book.doubts.get(&line.span.file).map_or(&[][..], Vec::as_slice);
        here.iter().any(|finding| is_at(finding, line, Some(&fork.id)))
    };
    lines(fork).into_iter().filter(|(_, (line, _))| open(line)).map(|(id, _)| id).collect()
}

/// What the page to work from says at its head where numbers are in doubt.
pub fn doubt(book: &Book, told: &Told<'_>) -> String {
    let names: Vec<String> = told.doubted().map(|id| book.shop.catalogue.field(id).title.clone()).collect();
    if names.is_empty() { String::new() } else { format!("{}: ask before you use it.", names.join(", ")) }
}

/// What stands beside "Review" on a card.
pub fn on_card(book: &Book, fork: &CheckedFork) -> String {
    let review = &fork.review;
    let mut last: Option<&Vouch> = None;
    let mut changed: Option<Date> = None;
    let mut open = false;
    for (key, standing) in &review.values {
        match standing {
            Standing::Reviewed(vouch) => last = last.max(Some(vouch)),
            Standing::Changed(vouch) | Standing::Disputed(vouch, _) => {
                changed = changed.max(Some(vouch.date))
            }
            Standing::Never => open |= is_safety(book, key),
        }
    }
    match (last, changed) {
        (None, None) => "none recorded".to_owned(),
        (_, Some(day)) => format!("CHANGED since {}", unbroken(day)),
        (Some(vouch), None) => {
            let name: String = vouch.by.chars().take(LONGEST_NAME).collect();
            let cut = if name.len() < vouch.by.len() { "…" } else { "" };
            let part = if open { "in part, " } else { "" };
            format!("{part}{name}{cut} {}", unbroken(vouch.date))
        }
    }
}

/// A day that is not broken at the end of a line.
fn unbroken(day: Date) -> String {
    day.to_string().replace('-', "\u{2011}")
}

/// What the page to work from says at its head where safety-critical values lack a review: the word of the marks
/// beside the values, and one sentence.
pub fn warning(book: &Book, fork: &CheckedFork) -> (String, String) {
    warn(book, &fork.review)
}

fn warn(book: &Book, review: &RecordReview) -> (String, String) {
    if !book.reviewed {
        return Default::default();
    }
    let safety =
        || review.values.iter().filter(|(key, _)| is_safety(book, key)).map(|(_, standing)| standing);
    let never = safety().filter(|standing| **standing == Standing::Never).count();
    let open = safety().filter(|standing| !standing.is_reviewed()).count();
    let word = if open > never { "CHANGED" } else { "UNREVIEWED" };
    let sentence = match (open - never, never) {
        (0, 0) => return Default::default(),
        (0, n) => {
            format!("{} nobody has reviewed.", count(n, "safety-critical value", "safety-critical values"))
        }
        (n, 0) => {
            format!(
                "{} changed since the last review.",
                count(n, "safety-critical value", "safety-critical values")
            )
        }
        (n, m) => {
            format!("Safety-critical values: {n} changed since the last review, {m} nobody has reviewed.")
        }
    };
    (word.to_owned(), sentence)
}

fn is_safety(book: &Book, key: &str) -> bool {
    book.shop.catalogue.find(key).is_some_and(|id| book.shop.catalogue.field(id).safety)
}

/// Marks the lines of a page, and says who vouches for each.
pub fn mark(book: &Book, review: &RecordReview, rows: &mut [Row]) {
    for row in rows {
        if row.figures.iter().any(|figure| figure.doubt) {
            row.mark = IN_DOUBT.to_owned();
        }
        if !book.reviewed {
            continue;
        }
        let standing = review.of(&row.key);
        row.review = sentence(standing);
        if !row.mark.is_empty() {
            continue;
        }
        row.mark = word(standing, row.safety).to_owned();
    }
}

/// How a value stands, as one sentence.
pub fn sentence(standing: &Standing) -> String {
    let who = |vouch: &Vouch| {
        let family = if vouch.family.is_some() { ", in its family" } else { "" };
        format!("{} reviewed it on {}{family}", vouch.by, vouch.date)
    };
    match standing {
        Standing::Reviewed(vouch) => format!("{}.", who(vouch)),
        Standing::Changed(vouch) => format!("Changed since {}.", who(vouch)),
        Standing::Disputed(one, other) => {
            format!("{} and {} reviewed it on {} and saw different things.", one.by, other.by, one.date)
        }
        Standing::Never => "Nobody has reviewed it.".to_owned(),
    }
}

/// The part of a fork's or oil's page that says who vouches. `page` is the record's own page.
pub fn view(book: &Book, review: &RecordReview, page: &str) -> VouchView {
    let mut by: BTreeMap<(Date, &str, bool), usize> = BTreeMap::new();
    let (word, warning) = warn(book, review);
    let mut out = VouchView { used: book.reviewed, word, warning, ..VouchView::default() };
    for (key, standing) in &review.values {
        match standing {
            Standing::Reviewed(vouch) => {
                *by.entry((vouch.date, &vouch.by, vouch.family.is_some())).or_default() += 1;
            }
            Standing::Changed(_) | Standing::Disputed(..) => {
                out.changed.push((link(book, page, key), sentence(standing)));
            }
            Standing::Never if is_safety(book, key) => out.never.push(link(book, page, key)),
            Standing::Never => {}
        }
    }
    for gone in &review.gone {
        let Vouch { by, date, .. } = &gone.vouch;
        let text = format!("Gone since {by} reviewed it on {date}.");
        out.changed.push((Link::new(page, title(book, &gone.key)), text));
    }
    let one = |((date, by, family), n): ((Date, &str, bool), usize)| {
        let family = if family { " of its family" } else { "" };
        format!("{by}, {date}: {}{family}.", count(n, "value", "values"))
    };
    out.by = by.into_iter().rev().map(one).collect();
    out
}

fn title(book: &Book, key: &str) -> String {
    match key {
        CHOICES => "Kind of fork".to_owned(),
        MACHINES => "The machines it is fitted to".to_owned(),
        key => {
            let id: Option<FieldId> = book.shop.catalogue.find(key);
            id.map_or_else(|| key.to_owned(), |id| book.shop.catalogue.field(id).title.clone())
        }
    }
}

fn link(book: &Book, page: &str, key: &str) -> Link {
    let anchor = match key {
        CHOICES => "made-of",
        MACHINES => "main",
        key => key,
    };
    Link::new(format!("{page}#{anchor}"), title(book, key))
}

/// What changed since it was reviewed, in every fork and oil: what can hurt somebody first.
pub fn changed(book: &Book) -> Vec<ReviewRow> {
    let mut out: Vec<(bool, ReviewRow)> = Vec::new();
    let mut add = |record: Link, page: &str, review: &RecordReview, text: &dyn Fn(&str) -> String| {
        for (key, standing) in &review.values {
            if matches!(standing, Standing::Changed(_) | Standing::Disputed(..)) {
                out.push((
                    !is_safety(book, key),
                    ReviewRow {
                        record: record.clone(),
                        value: link(book, page, key),
                        text: text(key),
                        why: sentence(standing),
                        by: String::new(),
                    },
                ));
            }
        }
    };
    for fork in book.forks {
        let page = fork_href(&fork.id);
        let text = |key: &str| {
            let id = book.shop.catalogue.find(key);
            let figures = id.map(|id| super::show::figures(book.shop, fork, id)).unwrap_or_default();
            figures.into_iter().map(|figure| figure.main).collect::<Vec<_>>().join("; ")
        };
        add(Link::new(page.clone(), fork.record.title()), &page, &fork.review, &text);
    }
    for oil in book.oils {
        let page = oil_href(&oil.record.id.text);
        add(Link::new(page.clone(), oil.record.title()), &page, &oil.review, &|_| String::new());
    }
    // A stable sort: within each half the order of forks stays.
    out.sort_by_key(|(harmless, _)| *harmless);
    out.into_iter().map(|(_, row)| row).collect()
}

/// Published forks with safety-critical values that nobody has reviewed, the most first.
pub fn unreviewed(book: &Book) -> Vec<UnreviewedRow> {
    if !book.reviewed {
        return Vec::new();
    }
    let mut out: Vec<(usize, UnreviewedRow)> = Vec::new();
    for fork in book.forks.iter().filter(|fork| !fork.record.draft) {
        let never: Vec<&str> = fork
            .review
            .values
            .iter()
            .filter(|(key, standing)| **standing == Standing::Never && is_safety(book, key))
            .map(|(key, _)| key.as_str())
            // These stand above, and nobody can review them.
            .filter(|key| !fork.any(book.shop, key).is_some_and(|value| value.is_estimate()))
            .collect();
        let single = never.iter().filter(|key| one_source(book, fork, key)).count();
        let Some(first) = never.first() else { continue };
        let row = UnreviewedRow {
            record: Link::new(format!("{}#review", fork_href(&fork.id)), fork.record.title()),
            first: Link::new(value_href(&fork.id, first), title(book, first)),
            values: count(never.len(), "safety-critical value", "safety-critical values"),
            single: if single == 0 { String::new() } else { format!("{single} from a single source") },
        };
        out.push((never.len(), row));
    }
    out.sort_by_key(|(n, _)| std::cmp::Reverse(*n));
    out.into_iter().map(|(_, row)| row).collect()
}

fn one_source(book: &Book, fork: &CheckedFork, key: &str) -> bool {
    let value = fork.any(book.shop, key);
    value.is_some_and(|value| value.sources.iter().all(|source| source.id.text == value.sources[0].id.text))
}
