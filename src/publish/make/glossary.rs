//! The trade's words, from the list beside this file.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::sync::LazyLock;

use crate::publish::view::Term;

const TERMS: &str = include_str!("glossary.txt");

/// The terms by name. The list holds one a line: term, a colon, what it means.
pub fn terms() -> Vec<Term> {
    let mut terms: Vec<Term> = TERMS
        .lines()
        .filter_map(|line| line.split_once(": "))
        .map(|(term, means)| Term {
            id: term.to_lowercase().replace(' ', "-"),
            term: term.to_owned(),
            means: means.to_owned(),
        })
        .collect();
    terms.sort_by(|a, b| a.id.cmp(&b.id));
    terms
}

/// Terms that are also everyday words of a workshop: a link at "check it with a level" would mislead.
const NOT_LINKED: [&str; 5] = ["collapsed", "level", "refill", "state", "stroke"];

static LINKED: LazyLock<Vec<Term>> =
    LazyLock::new(|| terms().into_iter().filter(|term| !NOT_LINKED.contains(&term.id.as_str())).collect());

/// The terms that a page has linked already: each is linked where it first appears.
#[derive(Debug, Default)]
pub struct Linked(RefCell<BTreeSet<&'static str>>);

impl Linked {
    /// Splits a text at the terms that appear in it for the first time: pieces in order, each with the id of
    /// its term or none.
    pub fn split<'t>(&self, text: &'t str) -> Vec<(&'t str, Option<&'static str>)> {
        let mut seen = self.0.borrow_mut();
        let mut out = Vec::new();
        let mut rest = text;
        loop {
            let lower = rest.to_ascii_lowercase();
            let first = LINKED
                .iter()
                .filter(|term| !seen.contains(term.id.as_str()))
                .filter_map(|term| Some((word_at(&lower, &term.term.to_ascii_lowercase())?, term)))
                // The earliest, and of two that begin together the longer.
                .min_by_key(|(at, term)| (*at, std::cmp::Reverse(term.term.len())));
            let Some((at, term)) = first else { break };
            let end = at + term.term.len();
            if at > 0 {
                out.push((&rest[..at], None));
            }
            out.push((&rest[at..end], Some(term.id.as_str())));
            seen.insert(&term.id);
            rest = &rest[end..];
        }
        if !rest.is_empty() {
            out.push((rest, None));
        }
        out
    }
}

/// Where a word stands as a word of its own, in bytes. Lowering ASCII letters alone keeps every place.
fn word_at(text: &str, word: &str) -> Option<usize> {
    let letter = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-' || byte >= 0x80;
    let mut from = 0;
    while let Some(found) = text.get(from..).and_then(|rest| rest.find(word)) {
        let (start, end) = (from + found, from + found + word.len());
        let before = start.checked_sub(1).and_then(|at| text.as_bytes().get(at));
        let after = text.as_bytes().get(end);
        if !before.is_some_and(|byte| letter(*byte)) && !after.is_some_and(|byte| letter(*byte)) {
            return Some(start);
        }
        from = end;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_term_is_linked_once_and_only_as_a_whole_word() {
        let linked = Linked::default();
        let first = linked.split("Captive caps: hold the cap, not the CAP.");
        assert_eq!(
            first,
            [("Captive caps: hold the ", None), ("cap", Some("cap")), (", not the CAP.", None)]
        );
        assert_eq!(linked.split("The cap again."), [("The cap again.", None)]);
    }

    #[test]
    fn every_term_that_is_not_linked_is_a_term() {
        let ids: Vec<String> = terms().into_iter().map(|term| term.id).collect();
        assert!(NOT_LINKED.iter().all(|id| ids.iter().any(|known| known == id)), "{ids:?}");
        assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len(), "each id once");
    }
}
