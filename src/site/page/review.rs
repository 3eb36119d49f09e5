//! What is published but needs eyes.

use rayon::prelude::*;
use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::inherited::taken_over;
use crate::book::links::{fork_href, oil_href, value_href};
use crate::book::unknown::{Open, open_points};
use crate::book::view::Link;
use crate::book::vouch::{is_safety, link, sentence, title};
use crate::book::{Book, figure, keys, text_review};
use crate::catalogue::Owner;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Places, Severity, rules};
use crate::record::RecordKind;
use crate::resolve::{Resolved, Side};
use crate::review::{RecordReview, Standing};
use crate::words::{capital, count};
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A value that is an open point.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ReviewRow {
    /// The record it is in.
    pub record: Link,
    /// The value's line.
    pub value: Link,
    /// The value.
    pub text: String,
    /// Why it is listed; may be empty.
    pub why: String,
    /// Who answers for it; may be empty.
    pub by: String,
}

/// A warning or note of the run.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct FindingRow {
    /// `warning` or `note`.
    pub severity: String,
    /// The rule's code.
    pub code: String,
    /// File and line.
    pub place: String,
    /// What is wrong.
    pub message: String,
    /// What it does at the bench; may be empty.
    pub bench: String,
    /// What to write instead, as HTML: what stands in a source as code; may be empty.
    pub instead_html: String,
}

/// A fork with safety-critical values that nobody has reviewed.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct UnreviewedRow {
    /// The fork.
    pub record: Link,
    /// The first of the values.
    pub first: Link,
    /// How many there are, in words.
    pub values: String,
    /// How many of them rest on a single source, in words; may be empty.
    pub single: String,
}

/// The review list, `review.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ReviewView {
    /// Forks and oils that are drafts.
    pub drafts: Vec<Link>,
    /// Values that changed since they were reviewed, safety-critical ones first.
    pub changed: Vec<ReviewRow>,
    /// Procedures, cautions, conditions and services that changed since they were reviewed, or that nobody has
    /// reviewed. None in a shop that reviews no texts.
    pub texts: Vec<ReviewRow>,
    /// Safety-critical values that rest on an estimate.
    pub critical_estimates: Vec<ReviewRow>,
    /// Published forks with safety-critical values that nobody has reviewed, the most first.
    pub unreviewed: Vec<UnreviewedRow>,
    /// What the sources of forks do not say, safety-critical values first.
    pub unknown: Vec<ReviewRow>,
    /// Published forks with values of their family that nobody compared with a sheet of the very fork, the most first.
    pub taken_over: Vec<UnreviewedRow>,
    /// Other values that rest on an estimate.
    pub estimates: Vec<ReviewRow>,
    /// Findings that were let stand.
    pub accepted: Vec<ReviewRow>,
    /// Warnings and notes.
    pub findings: Vec<FindingRow>,
}

/// The page.
pub struct ReviewPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [ReviewPage; 1] {
    [ReviewPage]
}

impl<'s> Page<'s> for ReviewPage {
    type View = ReviewView;

    const TEMPLATE: &'static str = "review";

    fn path(&self) -> String {
        "review.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ReviewView, TemplateProblem> {
        Ok(review(desk.book))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &ReviewView) -> Heading {
        Heading::new("Review list", "Open points of what is published.")
    }
}

/// The review list.
fn review(book: &Book) -> ReviewView {
    let shop = book.shop;
    let mut view =
        ReviewView {
            changed: changed(book),
            unreviewed: unreviewed(book),
            unknown: unknown(book),
            texts: texts(book),
            taken_over: not_compared(book),
            ..ReviewView::default()
        };
    for record in shop.forks.iter().filter(|record| record.draft) {
        view.drafts.push(Link::new(fork_href(&record.id.text), record.title()));
    }
    for record in shop.oils.iter().filter(|record| record.draft) {
        view.drafts.push(Link::new(oil_href(&record.id.text), record.title()));
    }
    let guessed: Vec<Guessed> = book.forks.par_iter().map(|fork| guessed(book, fork)).collect();
    for of_fork in guessed {
        view.accepted.extend(of_fork.accepted);
        view.critical_estimates.extend(of_fork.critical);
        view.estimates.extend(of_fork.others);
    }
    view.findings = findings(book);
    view
}

/// What of a fork rests on an estimate, and what was let stand.
#[derive(Default)]
struct Guessed {
    accepted: Vec<ReviewRow>,
    critical: Vec<ReviewRow>,
    others: Vec<ReviewRow>,
}

fn guessed(book: &Book, fork: &CheckedFork) -> Guessed {
    let shop = book.shop;
    let mut out = Guessed::default();
    let record = Link::new(fork_href(&fork.id), fork.record.title());
    for (id, field) in shop.catalogue.of(Owner::Fork) {
        // Most values are no estimate and nobody let a finding on them stand: no figure is made of them.
        let here = Side::BOTH.into_iter().filter_map(|side| fork.on(side, id));
        if !here.into_iter().any(|value| value.is_estimate() || !value.entry.accept.is_empty()) {
            continue;
        }
        for figure in figure::figures(shop, fork, id) {
            let side = if figure.side.is_empty() { String::new() } else { format!(", {}", figure.side) };
            let row = ReviewRow {
                record: record.clone(),
                value: Link::new(value_href(&fork.id, &field.key), format!("{}{side}", field.title)),
                text: figure.main.clone(),
                ..ReviewRow::default()
            };
            out.accepted.extend(figure.accepted.iter().map(|accepted| ReviewRow {
                why: format!("{}. {}", accepted.finding, accepted.reason),
                by: accepted.by.clone(),
                ..row.clone()
            }));
            match (figure.estimate, field.safety) {
                (true, true) => out.critical.push(row),
                (true, false) => out.others.push(row),
                (false, _) => {}
            }
        }
    }
    out
}

/// The warnings and notes. What is found in a job tells of a machine and its rider, and is never published. That a
/// calibration ran out hangs on the day: a page does not know on which it is read, and gives the last day beside each
/// instrument.
fn findings(book: &Book) -> Vec<FindingRow> {
    let mut places = Places::new(book.files);
    let is_of_a_job = |finding: &&Finding| {
        RecordKind::of(&book.files.get(finding.span.file).path) == Some(RecordKind::Job)
    };
    let sentence = |text: &str| {
        if text.is_empty() { String::new() } else { format!("{}.", capital(text)) }
    };
    let told = book.findings.iter().filter(|finding| finding.severity != Severity::Error);
    let row = |finding: &Finding| {
        let (start, _) = places.ends(finding.span);
        FindingRow {
            severity: finding.severity.word().to_owned(),
            code: finding.code().to_owned(),
            place: format!("{}:{}", places.path(finding.span.file), start.line),
            message: sentence(&keys::plain(book.shop, &finding.message)),
            bench: sentence(&keys::plain(book.shop, &finding.bench)),
            instead_html: keys::as_code(&sentence(&finding.instead)),
        }
    };
    let hangs_on_the_day = |finding: &&Finding| finding.rule == &rules::CALIBRATION_OVER;
    told.filter(|finding| !is_of_a_job(finding) && !hangs_on_the_day(finding)).map(row).collect()
}

/// The texts that are not reviewed as they are.
fn texts(book: &Book) -> Vec<ReviewRow> {
    let of_text = |(text, what, who): (Link, String, String)| ReviewRow {
        record: text.clone(),
        value: text,
        why: what,
        by: who,
        ..ReviewRow::default()
    };
    text_review::open(book).map(of_text).collect()
}

/// What the sources of forks do not say: what can hurt somebody first.
fn unknown(book: &Book) -> Vec<ReviewRow> {
    let of_fork = |fork: &CheckedFork| {
        let row = |open: Open| {
            let field = book.shop.catalogue.field(open.field);
            let side = if open.side.is_empty() { String::new() } else { format!(", {}", open.side) };
            let (why, by) = open.instead;
            let row = ReviewRow {
                record: Link::new(fork_href(&fork.id), fork.record.title()),
                value: Link::new(value_href(&fork.id, &field.key), format!("{}{side}", field.title)),
                text: open.what,
                why,
                by,
            };
            (!field.safety, row)
        };
        open_points(book.shop, fork).into_iter().map(row).collect::<Vec<_>>()
    };
    let mut out: Vec<(bool, ReviewRow)> = book.forks.par_iter().flat_map_iter(of_fork).collect();
    out.sort_by_key(|(harmless, _)| *harmless);
    out.into_iter().map(|(_, row)| row).collect()
}

/// What changed since it was reviewed, in every fork and oil: what can hurt somebody first.
fn changed(book: &Book) -> Vec<ReviewRow> {
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
            let figures = id.map(|id| figure::figures(book.shop, fork, id)).unwrap_or_default();
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
fn unreviewed(book: &Book) -> Vec<UnreviewedRow> {
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
            .filter(|key| !value_of(book, fork, key).is_some_and(|value| value.is_estimate()))
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

/// Published forks with values that they take over and nobody compared with a sheet of the very fork, the most first.
fn not_compared(book: &Book) -> Vec<UnreviewedRow> {
    let mut out: Vec<(usize, UnreviewedRow)> = Vec::new();
    for fork in book.forks.iter().filter(|fork| !fork.record.draft) {
        let page = fork_href(&fork.id);
        let over = taken_over(book, fork, &page);
        let Some(first) = over.values.first().cloned() else { continue };
        let row = UnreviewedRow {
            record: Link::new(format!("{page}#taken-over"), fork.record.title()),
            first,
            values: count(over.values.len(), "value", "values"),
            single: String::new(),
        };
        out.push((over.values.len(), row));
    }
    out.sort_by_key(|(n, _)| std::cmp::Reverse(*n));
    out.into_iter().map(|(_, row)| row).collect()
}

fn value_of<'f>(book: &Book, fork: &'f CheckedFork, key: &str) -> Option<&'f Resolved> {
    book.shop.catalogue.find(key).and_then(|field| fork.any(field))
}

fn one_source(book: &Book, fork: &CheckedFork, key: &str) -> bool {
    value_of(book, fork, key)
        .is_some_and(|value| value.sources.iter().all(|source| source.id.text == value.sources[0].id.text))
}
