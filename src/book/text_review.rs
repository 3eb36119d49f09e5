//! What pages and cards say of the reviews of procedures, cautions, conditions and services: one line a sheet.

use std::collections::BTreeSet;

use super::links::procedure_href;
use super::lookups::Book;
use super::view::Link;
use super::vouch::sentence;
use crate::date::Date;
use crate::plan::Plan;
use crate::resolve::ResolvedFork;
use crate::review::{Standing, TextKey, TextKind};
use crate::syntax::Scheme;
use crate::words::{capital, count};

/// How the texts of a sheet stand: how many changed since they were reviewed and since when, and how many nobody has
/// reviewed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Count {
    changed: usize,
    since: Option<Date>,
    never: usize,
}

/// The texts that a service of a fork is made of: itself, its procedures, their cautions and conditions.
fn texts_of<'p>(plan: &Plan<'p>, fork: &ResolvedFork, book: &Book<'_>) -> BTreeSet<(TextKind, &'p str)> {
    let mut out = BTreeSet::from([(TextKind::Service, plan.service.id.text.as_str())]);
    for procedure in &plan.procedures {
        out.insert((TextKind::Procedure, &procedure.id.text));
        let named = procedure.needs.iter().chain(&procedure.brings).chain(&procedure.ends);
        out.extend(named.map(|id| (TextKind::Condition, id.text.as_str())));
        let cautions = procedure.body.references.iter().filter(|link| link.scheme == Scheme::Caution);
        let given = cautions.filter(|link| {
            book.shop.caution(&link.target).is_some_and(|caution| caution.applies.holds(&fork.choices))
        });
        out.extend(given.map(|link| (TextKind::Caution, link.target.as_str())));
    }
    out
}

/// Forks of one kind have the same texts in a service, and count them once.
fn counted(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> Count {
    let Some(kind) = book.plans.kind(fork) else { return counted_now(book, fork, plan) };
    let (changed, since, never) = book.memo.text_counts.or_make((kind, plan.service.into()), || {
        let Count { changed, since, never } = counted_now(book, fork, plan);
        (changed, since, never)
    });
    Count { changed, since, never }
}

fn counted_now(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> Count {
    let mut out = Count::default();
    let standings =
        texts_of(plan, fork, book).into_iter().filter_map(|(kind, id)| book.text_reviews.of(kind, id));
    for text in standings {
        match &text.standing {
            Standing::Changed(_) if !text.changed_the_work() => {}
            Standing::Changed(vouch) | Standing::Disputed(vouch, _) => {
                out.changed += 1;
                out.since = out.since.max(Some(vouch.date));
            }
            Standing::Never => out.never += 1,
            Standing::Reviewed(_) | Standing::NotCompared => {}
        }
    }
    out
}

/// What stands behind the review of the values on a card; empty where every text is reviewed as it is, or the shop
/// reviews no texts.
pub fn on_card(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> String {
    let Count { changed, since, never } = counted(book, fork, plan);
    match (changed, since, never) {
        (0, _, 0) => String::new(),
        (0, _, _) => "; steps UNREVIEWED".to_owned(),
        (_, Some(day), _) => format!("; steps CHANGED since {}", day.to_string().replace('-', "\u{2011}")),
        (_, None, _) => "; steps CHANGED".to_owned(),
    }
}

/// What the page to work from says of its texts: `CHANGED` or `UNREVIEWED`, and one sentence. Empty where every text
/// is reviewed as it is, or the shop reviews no texts.
pub fn warning(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> (String, String) {
    let texts = |n: usize| count(n, "procedure, caution or condition", "procedures, cautions and conditions");
    let Count { changed, never, .. } = counted(book, fork, plan);
    let (word, sentence) = match (changed, never) {
        (0, 0) => return Default::default(),
        (0, n) => ("UNREVIEWED", format!("{} nobody has reviewed.", texts(n))),
        (n, 0) => ("CHANGED", format!("{} changed since the last review.", texts(n))),
        (n, m) => {
            ("CHANGED", format!("{} changed since the last review, {m} nobody has reviewed.", texts(n)))
        }
    };
    (word.to_owned(), sentence)
}

/// How one text stands, as one sentence; empty in a shop that reviews no texts.
pub fn of_text(book: &Book, kind: TextKind, id: &str) -> String {
    book.text_reviews.of(kind, id).map_or_else(String::new, |text| sentence(&text.standing))
}

/// Every text that changed since it was reviewed or that nobody has reviewed: its link, what changed, and who
/// reviewed it last.
pub fn open<'s>(book: &Book<'s>) -> impl Iterator<Item = (Link, String, String)> + use<'s> {
    let reviews = book.text_reviews;
    let shop = book.shop;
    reviews.texts.iter().filter(|(_, text)| !text.standing.is_reviewed()).map(move |((kind, id), text)| {
        let title = match kind {
            TextKind::Procedure => shop.procedure(id).map(|one| one.title.clone()),
            TextKind::Caution => shop.caution(id).map(|one| one.title.clone()),
            TextKind::Service => shop.service(id).map(|one| one.title.clone()),
            TextKind::Condition => {
                shop.conditions.list.iter().find(|one| one.id.text == *id).map(|one| one.says.clone())
            }
        };
        let what: Vec<String> = text.changes.iter().map(|change| change.what.replace('`', "")).collect();
        let title = capital(&title.unwrap_or_else(|| id.clone()));
        (Link::new(href(&(*kind, id.clone())), title), capital(&what.join("; ")), sentence(&text.standing))
    })
}

/// Where a text can be read; the list of procedures where it has no page of its own.
fn href((kind, id): &TextKey) -> String {
    match kind {
        TextKind::Procedure => procedure_href(id),
        TextKind::Caution => format!("cautions.html#{id}"),
        TextKind::Condition | TextKind::Service => "procedures/index.html".to_owned(),
    }
}
