//! The trade's words, from the list beside this file.

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
