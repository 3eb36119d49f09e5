//! What stands on a card today and is no part of its code: who vouches for it, what changed since, what is in doubt,
//! what nobody compared.

use super::hang::hang_card;
use super::make::{all_lines, content};
use super::view::CardLine;
use crate::book::Book;
use crate::book::doubt::IN_DOUBT;
use crate::check::CheckedFork;

/// The marks of the card of a fork and the service in this place among its own, a sentence each: its review first.
pub fn marks<'s>(book: &Book<'s>, fork: &'s CheckedFork, n: usize) -> Vec<String> {
    let texts = book.texts(fork);
    let plan = &book.plans.of(fork)[n];
    let (view, lines) = (content(book, &texts, plan, n), all_lines(book, &texts, plan));
    told(&view.review, &view.signs, &lines.iter().collect::<Vec<_>>())
}

/// The marks of a fork's hang card.
pub fn hang_marks<'s>(book: &Book<'s>, fork: &'s CheckedFork) -> Vec<String> {
    let view = hang_card(book, fork).view;
    told(view.review.trim_start_matches("reviewed "), &view.signs, &view.lines().collect::<Vec<_>>())
}

fn told(review: &str, signs: &str, lines: &[&CardLine]) -> Vec<String> {
    let titles = |is: &dyn Fn(&CardLine) -> bool| {
        lines.iter().filter(|line| is(line)).map(|line| line.title.as_str()).collect::<Vec<_>>()
    };
    let mut out = vec![format!("review: {}", plain(review))];
    for mark in ["CHANGED", "UNREVIEWED"] {
        out.extend(named(mark, titles(&|line| line.mark == mark)));
    }
    out.extend(named(IN_DOUBT, titles(&|line| line.doubt)));
    if !signs.is_empty() {
        out.push(plain(signs));
    }
    out
}

/// A mark with the labels that carry it, each once.
fn named(mark: &str, mut labels: Vec<&str>) -> Option<String> {
    labels.dedup();
    (!labels.is_empty()).then(|| format!("{mark}: {}", labels.join(", ")))
}

/// With the hyphens and blanks of a keyboard, to be found and copied.
fn plain(text: &str) -> String {
    text.replace('\u{2011}', "-").replace('\u{a0}', " ")
}
