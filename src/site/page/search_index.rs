//! The search index as a script.

use serde::Serialize;

use super::kind::{File, Subject};
use crate::book::Book;
use crate::book::figure::build_line;
use crate::book::links::{
    complaint_href, fork_href, oil_href, procedure_href, sequence_href, spring_href, valving_href,
};
use crate::catalogue::key;
use crate::check::CheckedFork;
use crate::quantity::Quantity;
use crate::record::Phase;
use crate::site::desk::Desk;
use crate::site::glossary::terms;
use crate::site::stack::{CardAt, Stack};
use crate::site::templates::TemplateProblem;

/// A machine with its fork in the search index, `assets/search-index.js`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SearchEntry {
    /// Maker and model of the machine; empty for a fork without machines.
    pub m: String,
    /// First year, 0 where there is none.
    pub a: u16,
    /// Last year, 0 where there is none.
    pub b: u16,
    /// What can be seen on the machine where another fork was fitted in the same years.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub s: String,
    /// Maker and model of the fork.
    pub f: String,
    /// The fork's id: its page is `forks/ID.html`.
    pub i: String,
    /// The kind of fork, as its place among the kinds.
    pub k: usize,
    /// Whether it is a draft, 0 or 1.
    pub d: u8,
}

/// Any other page or part of a page in the search index.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct PageEntry {
    /// What it is called.
    pub t: String,
    /// What it is: `Procedure`, `Oil`, …
    pub k: String,
    /// Other words it is found by.
    pub w: String,
    /// Where it stands, from the site's top folder.
    pub p: String,
}

/// What the search looks through.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Searched {
    /// Machines with their forks.
    pub forks: Vec<SearchEntry>,
    /// The kinds of fork there are, each in words.
    pub kinds: Vec<String>,
    /// All other pages.
    pub pages: Vec<PageEntry>,
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
    let mut searched = Searched::default();
    for fork in book.forks.iter().filter(|fork| fork.record.build().is_none()) {
        let record = &fork.record;
        let words = kind_words(book, fork);
        let known = searched.kinds.iter().position(|kind| *kind == words);
        let k = known.unwrap_or_else(|| {
            searched.kinds.push(words);
            searched.kinds.len() - 1
        });
        let entry = SearchEntry {
            f: record.title(),
            i: record.id.text.clone(),
            k,
            d: u8::from(record.draft),
            ..SearchEntry::default()
        };
        if record.machines.is_empty() {
            searched.forks.push(entry.clone());
        }
        for machine in &record.machines {
            let (a, b) = machine.years;
            let m = format!("{} {}", machine.maker, machine.model);
            searched.forks.push(SearchEntry { m, a, b, s: machine.seen.clone(), ..entry.clone() });
        }
    }
    searched.pages = pages(book);
    index_script(searched)
}

/// What else an option is called: choice, option, words.
const ALSO: [(&str, &str, &str); 6] = [
    ("orientation", "inverted", "upside down"),
    ("orientation", "conventional", "right way up"),
    ("springing", "air", "air fork air spring fork"),
    ("legs", "spring-left", "split legs separate function"),
    ("legs", "spring-right", "split legs separate function"),
    ("cartridge_backing", "gas", "pressurized nitrogen"),
];

/// What a person calls this kind of fork: its choices, and the size of its stanchions.
fn kind_words(book: &Book, fork: &CheckedFork) -> String {
    let catalogue = &book.shop.catalogue;
    let mut words = vec!["fork".to_owned()];
    for choice in &catalogue.choices {
        let Some(option) = fork.choices.get(&choice.key) else { continue };
        words.push(catalogue.option_title(&choice.key, option).to_lowercase());
        let also = ALSO.iter().filter(|(key, known, _)| *key == choice.key && *known == option);
        words.extend(also.map(|(.., also)| (*also).to_owned()));
    }
    let size = fork.any(key::TUBES_STANCHION_DIAMETER).and_then(|size| size.quantity()).map(Quantity::canonical);
    // Typed with and without the space before the unit.
    words.extend(size.map(|size| format!("{size} {}", size.replace(' ', ""))));
    words.join(" ")
}

/// Every page that is not about one fork, and every entry of the lists.
fn pages(book: &Book) -> Vec<PageEntry> {
    let shop = book.shop;
    let entry = |kind: &str, title: &str, words: String, path: String| PageEntry {
        t: title.to_owned(),
        k: kind.to_owned(),
        w: words,
        p: path,
    };
    let mut out: Vec<PageEntry> = Vec::new();
    out.extend(shop.complaints.iter().map(|complaint| {
        entry("Complaint", &complaint.title, complaint.says.join(" "), complaint_href(&complaint.id.text))
    }));
    out.extend(shop.procedures.iter().map(|procedure| {
        let phase = procedure.phase.map_or("", Phase::title).to_owned();
        entry("Procedure", &procedure.title, phase, procedure_href(&procedure.id.text))
    }));
    out.extend(shop.services.iter().map(|service| {
        let words = service.notes.clone().unwrap_or_default();
        entry("Service", &service.title, words, sequence_href(&service.id.text))
    }));
    out.extend(shop.oils.iter().map(|oil| entry("Oil", &oil.title(), "oil".to_owned(), oil_href(&oil.id.text))));
    out.extend(shop.forks.iter().filter_map(|record| {
        let build = record.build()?;
        Some(entry("Build", &record.title(), build_line(build), fork_href(&record.id.text)))
    }));
    out.extend(shop.springs.iter().map(|spring| {
        entry("Spring", &spring.title(), "spring stock".to_owned(), spring_href(&spring.id.text))
    }));
    out.extend(shop.valvings.iter().map(|valving| {
        entry("Valving", &valving.title, "shims stack piston".to_owned(), valving_href(&valving.id.text))
    }));
    out.extend(shop.tools.iter().map(|tool| {
        let kind = if tool.consumable { "Consumable" } else { "Tool" };
        entry(kind, &tool.title, tool.called.iter().map(|word| word.text.as_str()).collect::<Vec<_>>().join(" "), format!("tools.html#{}", tool.id.text))
    }));
    out.extend(shop.cautions.iter().map(|caution| {
        let words = caution.signal.word().to_owned();
        entry("Caution", &caution.title, words, format!("cautions.html#{}", caution.id.text))
    }));
    out.extend(terms().into_iter().map(|term| {
        entry("Glossary", &term.term, String::new(), format!("glossary.html#{}", term.id))
    }));
    out.sort();
    out
}

/// The script that hands these to the page's search, forks in the order of their machines.
pub fn index_script(mut searched: Searched) -> String {
    searched.forks.sort_by(|x, y| (&x.m, x.a, &x.i).cmp(&(&y.m, y.a, &y.i)));
    let mut out = String::new();
    list("benchleafKinds", &searched.kinds, &mut out);
    list("benchleafPages", &searched.pages, &mut out);
    list("benchleafIndex", &searched.forks, &mut out);
    out
}

/// A list of the window, one entry a line.
fn list<T: Serialize>(name: &str, entries: &[T], out: &mut String) {
    out.push_str(&format!("window.{name}=[\n"));
    for entry in entries {
        // Strings and small whole numbers: nothing here that JSON cannot hold.
        if let Ok(text) = serde_json::to_string(entry) {
            out.push_str(&text);
            out.push_str(",\n");
        }
    }
    out.push_str("];\n");
}
