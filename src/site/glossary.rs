//! The trade's words, from the list beside this file.

use std::cell::Cell;
use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::view::Term;

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

/// The linked terms by their first letter, a small one, each with its place in the list; the longest first.
static BY_LETTER: LazyLock<BTreeMap<u8, Vec<(usize, String)>>> = LazyLock::new(|| {
    let mut by: BTreeMap<u8, Vec<(usize, String)>> = BTreeMap::new();
    for (at, term) in LINKED.iter().enumerate() {
        let word = term.term.to_ascii_lowercase();
        by.entry(word.as_bytes().first().copied().unwrap_or_default()).or_default().push((at, word));
    }
    for terms in by.values_mut() {
        terms.sort_by_key(|(_, word)| std::cmp::Reverse(word.len()));
    }
    by
});

/// The terms that a page has linked already: each is linked where it first appears.
#[derive(Debug, Default)]
pub struct Linked(Cell<u64>);

impl Linked {
    /// Which terms those are, one bit each.
    pub fn bits(&self) -> u64 {
        self.0.get()
    }

    /// Takes these terms for linked.
    pub fn set(&self, bits: u64) {
        self.0.set(bits);
    }

    /// Splits a text at the terms that appear in it for the first time: pieces in order, each with the id of
    /// its term or none.
    pub fn split<'t>(&self, text: &'t str) -> Vec<(&'t str, Option<&'static str>)> {
        let mut out = Vec::new();
        let mut done = 0;
        let mut at = 0;
        let bytes = text.as_bytes();
        while at < bytes.len() {
            let begins = is_letter(bytes[at]) && (at == 0 || !is_letter(bytes[at - 1]));
            let Some((n, end)) = begins.then(|| self.term_at(bytes, at)).flatten() else {
                at += 1;
                continue;
            };
            if at > done {
                out.push((&text[done..at], None));
            }
            out.push((&text[at..end], Some(LINKED[n].id.as_str())));
            self.0.set(self.0.get() | 1 << n);
            (done, at) = (end, end);
        }
        if done < text.len() {
            out.push((&text[done..], None));
        }
        out
    }

    /// The longest term, not yet linked, that stands here as a word of its own, and where it ends. Terms are ASCII,
    /// so that both ends are ends of letters.
    fn term_at(&self, text: &[u8], at: usize) -> Option<(usize, usize)> {
        let terms = BY_LETTER.get(&text[at].to_ascii_lowercase())?;
        terms.iter().find_map(|(n, word)| {
            let end = at + word.len();
            let fits = self.0.get() >> n & 1 == 0
                && text.get(at..end).is_some_and(|here| here.eq_ignore_ascii_case(word.as_bytes()))
                && !text.get(end).is_some_and(|byte| is_letter(*byte));
            fits.then_some((*n, end))
        })
    }
}

/// Whether a byte is part of a word.
fn is_letter(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte == b'-' || byte >= 0x80
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
        assert!(NOT_LINKED.iter().all(|id| ids.iter().any(|other| other == id)), "{ids:?}");
        assert_eq!(ids.iter().collect::<std::collections::BTreeSet<_>>().len(), ids.len(), "each id once");
        assert!(LINKED.len() < 64 && LINKED.iter().all(|term| term.term.is_ascii()), "one bit each, ASCII");
    }
}
