//! The search index as a script.

use serde::Serialize;

use super::kind::{File, Subject};
use crate::book::Book;
use crate::site::desk::Desk;
use crate::site::stack::{CardAt, Stack};
use crate::site::templates::TemplateProblem;

/// One entry of the search index, `assets/search-index.js`, which is a list of such entries.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SearchEntry {
    /// Maker and model of the machine; empty for a fork without machines.
    pub m: String,
    /// First year, 0 where there is none.
    pub a: u16,
    /// Last year, 0 where there is none.
    pub b: u16,
    /// Maker and model of the fork.
    pub f: String,
    /// The fork's id: its page is `forks/ID.html`.
    pub i: String,
}

/// The script.
pub struct SearchIndex;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [SearchIndex; 1] {
    [SearchIndex]
}

impl<'s> File<'s> for SearchIndex {
    fn path(&self) -> String {
        "assets/search-index.js".to_owned()
    }

    fn kind(&self) -> &'static str {
        "asset"
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Shop
    }

    fn cards(&self, _: &Stack<'s>) -> Vec<CardAt<'s>> {
        Vec::new()
    }

    fn render(&self, desk: &Desk<'_, 's>) -> Result<Vec<u8>, TemplateProblem> {
        Ok(search_index(desk.book).into_bytes())
    }
}

/// The search index as a script: it works from a file, where nothing can be fetched.
fn search_index(book: &Book) -> String {
    let mut entries: Vec<SearchEntry> = Vec::new();
    for record in &book.shop.forks {
        let entry = SearchEntry { f: record.title(), i: record.id.text.clone(), ..SearchEntry::default() };
        if record.machines.is_empty() {
            entries.push(entry.clone());
        }
        for machine in &record.machines {
            let (a, b) = machine.years;
            entries.push(SearchEntry {
                m: format!("{} {}", machine.maker, machine.model),
                a,
                b,
                ..entry.clone()
            });
        }
    }
    index_script(entries)
}

/// The script that hands these entries to the page's search, in the order of their machines.
pub fn index_script(mut entries: Vec<SearchEntry>) -> String {
    entries.sort_by(|x, y| (&x.m, x.a, &x.i).cmp(&(&y.m, y.a, &y.i)));
    let mut out = String::from("window.benchleafIndex=[\n");
    for entry in &entries {
        // Strings and small whole numbers: nothing here that JSON cannot hold.
        if let Ok(text) = serde_json::to_string(entry) {
            out.push_str(&text);
            out.push_str(",\n");
        }
    }
    out.push_str("];\n");
    out
}
