//! What pages and cards say of reviews: who vouches, what changed since, and what nobody has looked at.

use std::collections::BTreeMap;

use super::doubt::IN_DOUBT;
use super::lookups::Book;
use super::view::{Link, Row, VouchView};
use crate::catalogue::{Field, FieldId};
use crate::check::CheckedFork;
use crate::date::Date;
use crate::review::{BUILT, CHOICES, MACHINES, PARTS, RecordReview, Standing, Vouch};
use crate::words::{count, lower};

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
        // A sign of its own stands beside what nobody compared.
        Standing::Reviewed(_) | Standing::NotCompared => "",
        Standing::Changed(_) | Standing::Disputed(..) => "CHANGED",
        Standing::Never if safety => "UNREVIEWED",
        Standing::Never => "",
    }
}

/// What stands beside "Review" on a card. Where it holds in part, it says of how many values it does not.
pub fn on_card(book: &Book, fork: &CheckedFork) -> String {
    let review = &fork.review;
    let mut last: Option<&Vouch> = None;
    let mut changed: Option<Date> = None;
    let (mut own, mut family, mut compared) = (Vec::new(), Vec::new(), 0);
    for (key, standing) in &review.values {
        match standing {
            Standing::Reviewed(vouch) => last = last.max(Some(vouch)),
            Standing::Changed(vouch) | Standing::Disputed(vouch, _) => {
                changed = changed.max(Some(vouch.date))
            }
            Standing::NotCompared => compared += 1,
            Standing::Never if !is_safety(book, key) => {}
            Standing::Never if is_inherited(book, fork, key) => family.push(key.as_str()),
            Standing::Never => own.push(key.as_str()),
        }
    }
    let compared = (compared > 0).then(|| format!("{compared}\u{a0}not compared"));
    let never = [(&own, "UNREVIEWED"), (&family, "of the family UNREVIEWED")];
    let open: Vec<String> =
        never.into_iter().filter_map(|(keys, what)| named(book, keys, what)).chain(compared).collect();
    match (last, changed) {
        (None, None) => "none recorded".to_owned(),
        (_, Some(day)) => format!("CHANGED since {}", unbroken(day)),
        (Some(vouch), None) => {
            let name: String = vouch.by.chars().take(LONGEST_NAME).collect();
            let cut = if name.len() < vouch.by.len() { "…" } else { "" };
            let part =
                if open.is_empty() { String::new() } else { format!("in part ({}), ", open.join(", ")) };
            format!("{part}{name}{cut} {}", unbroken(vouch.date))
        }
    }
}

/// How many values nobody has reviewed; which ones, where they are few. A card marks each at its number as well.
fn named(book: &Book, keys: &[&str], what: &str) -> Option<String> {
    (!keys.is_empty()).then(|| format!("{}\u{a0}{what}{}", keys.len(), which(book, keys)))
}

/// `: upper clamp, axle` where they are few; else empty.
fn which(book: &Book, keys: &[&str]) -> String {
    let short = |key: &&str| {
        let id = book.shop.catalogue.find(key)?;
        Some(lower(&book.shop.catalogue.field(id).short))
    };
    let names: Vec<String> = keys.iter().filter_map(short).collect();
    if names.is_empty() || names.len() > FEW { String::new() } else { format!(": {}", names.join(", ")) }
}

/// Up to how many values are named beside their count.
const FEW: usize = 3;

/// Whether the fork takes a value over from its family.
fn is_inherited(book: &Book, fork: &CheckedFork, key: &str) -> bool {
    book.shop.catalogue.find(key).is_some_and(|id| fork.inherited.values.contains_key(&id))
}

/// A day that is not broken at the end of a line.
pub fn unbroken(day: Date) -> String {
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
    let of_safety = || review.values.iter().filter(|(key, _)| is_safety(book, key));
    let safety = || of_safety().map(|(_, standing)| standing);
    let unseen: Vec<&str> = of_safety()
        .filter(|(_, standing)| **standing == Standing::Never)
        .map(|(key, _)| key.as_str())
        .collect();
    let never = unseen.len();
    // What nobody compared has a sign and a sentence of its own.
    let is_open = |standing: &&Standing| !standing.is_reviewed() && **standing != Standing::NotCompared;
    let open = safety().filter(is_open).count();
    let word = if open > never { "CHANGED" } else { "UNREVIEWED" };
    let sentence = match (open - never, never) {
        (0, 0) => return Default::default(),
        (0, n) => {
            let what = count(n, "safety-critical value", "safety-critical values");
            format!("{what} nobody has reviewed{}.", which(book, &unseen))
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

/// Whether a value can hurt somebody.
pub fn is_safety(book: &Book, key: &str) -> bool {
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
        match &vouch.compared {
            Some(source) => format!("{} compared it with “{source}” on {}", vouch.by, vouch.date),
            None => format!("{} reviewed it on {}{family}", vouch.by, vouch.date),
        }
    };
    match standing {
        Standing::Reviewed(vouch) => format!("{}.", who(vouch)),
        Standing::Changed(vouch) => format!("Changed since {}.", who(vouch)),
        Standing::NotCompared => {
            "Reviewed in its family; nobody compared it with a sheet of this fork.".to_owned()
        }
        Standing::Disputed(first, second) => {
            format!("{} and {} reviewed it on {} and saw different things.", first.by, second.by, first.date)
        }
        Standing::Never => "Nobody has reviewed it.".to_owned(),
    }
}

/// The part of a fork's or oil's page that says who vouches. `page` is the record's own page.
pub fn view(book: &Book, review: &RecordReview, page: &str) -> VouchView {
    let mut by: BTreeMap<(Date, &str, &str), usize> = BTreeMap::new();
    let (word, warning) = warn(book, review);
    let mut out = VouchView { used: book.reviewed, word, warning, ..VouchView::default() };
    for (key, standing) in &review.values {
        match standing {
            Standing::Reviewed(vouch) => {
                let of = match (&vouch.compared, &vouch.family) {
                    (Some(_), _) => " of its family, compared with its own sheet",
                    (None, Some(_)) => " of its family",
                    (None, None) => "",
                };
                *by.entry((vouch.date, &vouch.by, of)).or_default() += 1;
            }
            Standing::Changed(_) | Standing::Disputed(..) => {
                out.changed.push((link(book, page, key), sentence(standing)));
            }
            Standing::Never if is_safety(book, key) => out.never.push(link(book, page, key)),
            // They are listed with all that is taken over.
            Standing::NotCompared | Standing::Never => {}
        }
    }
    for gone in &review.gone {
        let Vouch { by, date, .. } = &gone.vouch;
        let text = format!("Gone since {by} reviewed it on {date}.");
        out.changed.push((Link::new(page, title(book, &gone.key)), text));
    }
    let line_of = |((date, by, of), n): ((Date, &str, &str), usize)| {
        format!("{by}, {date}: {}{of}.", count(n, "value", "values"))
    };
    out.by = by.into_iter().rev().map(line_of).collect();
    out
}

/// What a reviewed value is called.
pub fn title(book: &Book, key: &str) -> String {
    match key {
        CHOICES => "Kind of fork".to_owned(),
        BUILT => "The fork it is over, and what is fitted".to_owned(),
        MACHINES => "The machines it is fitted to".to_owned(),
        PARTS => "Parts by number".to_owned(),
        key => {
            let id: Option<FieldId> = book.shop.catalogue.find(key);
            id.map_or_else(|| key.to_owned(), |id| book.shop.catalogue.field(id).title.clone())
        }
    }
}

/// The link to a value on its record's page.
pub fn link(book: &Book, page: &str, key: &str) -> Link {
    let anchor = match key {
        CHOICES => "made-of",
        MACHINES => "main",
        BUILT => "build",
        key => key,
    };
    Link::new(format!("{page}#{anchor}"), title(book, key))
}
