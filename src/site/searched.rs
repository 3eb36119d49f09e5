//! What the search looks through: every fork with its machines, its pages and its values, every other page and every
//! entry of the lists, and what else things are called.

use std::collections::BTreeSet;

use serde::Serialize;

use super::glossary::terms;
use super::names::names;
use super::page::rule::{codes, rule_href};
use super::stack::Stack;
use crate::book::Book;
use crate::book::figure::build_line;
use crate::book::links::{
    card_href, complaint_href, fork_complaints_href, fork_href, oil_href, procedure_href, sequence_href,
    service_href, spring_href, value_href, valving_href,
};
use crate::catalogue::{Owner, key};
use crate::check::CheckedFork;
use crate::quantity::Quantity;
use crate::record::{Phase, Sides, SpecRecord};
use crate::review::HANG;
use crate::syntax::markdown::{Body, Part};

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
    /// Which of the pages of a fork it has, as their numbers among the parts.
    pub c: Vec<usize>,
}

/// A kind of fork.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct KindEntry {
    /// What a person calls it.
    pub w: String,
    /// Which values its forks have, as their numbers among the parts.
    pub v: Vec<usize>,
}

/// A page of a fork, or a place on its page.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct PartEntry {
    /// What it is called.
    pub t: String,
    /// What it is asked for by, with bars between.
    pub w: String,
    /// Where it stands, with `{}` for the fork's id.
    pub p: String,
    /// Which forks have it: `card` and `value` those that name its number, empty all.
    pub of: &'static str,
    /// Its number.
    pub n: usize,
}

/// Any other page or part of a page in the search index.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct PageEntry {
    /// What it is called.
    pub t: String,
    /// What it is: `Procedure`, `Oil`, …
    pub k: String,
    /// What else it is called, with bars between.
    pub w: String,
    /// Other words it is found by.
    pub b: String,
    /// Where it stands, from the site's top folder.
    pub p: String,
}

/// What the search looks through.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Searched {
    /// Machines with their forks, in the order of the machines.
    pub forks: Vec<SearchEntry>,
    /// The kinds of fork there are, each in words.
    pub kinds: Vec<KindEntry>,
    /// The pages of a fork, and the places on its page.
    pub parts: Vec<PartEntry>,
    /// All other pages.
    pub pages: Vec<PageEntry>,
    /// What else a thing is called, what it is called here, and whether that is said: 0 or 1.
    pub words: Vec<(&'static str, &'static str, u8)>,
}

/// All of it.
pub fn searched(book: &Book, stack: &Stack) -> Searched {
    let mut searched = Searched { parts: parts(book), ..Searched::default() };
    for fork in book.forks.iter().filter(|fork| fork.record.build().is_none()) {
        let record = &fork.record;
        let kind = KindEntry { w: kind_words(book, fork), v: values(book, fork, &searched.parts) };
        let known = searched.kinds.iter().position(|other| other.w == kind.w);
        let k = known.unwrap_or(searched.kinds.len());
        match searched.kinds.get_mut(k) {
            Some(known) => known.v.extend(kind.v.iter().filter(|n| !known.v.contains(n)).collect::<Vec<_>>()),
            None => searched.kinds.push(kind),
        }
        let entry = SearchEntry {
            f: record.title(),
            i: record.id.text.clone(),
            k,
            d: u8::from(record.draft),
            c: pages_of(book, stack, fork, &searched.parts),
            ..SearchEntry::default()
        };
        searched.forks.extend(machines(record, &entry));
    }
    searched.forks.sort_by(|x, y| (&x.m, x.a, &x.i).cmp(&(&y.m, y.a, &y.i)));
    searched.pages = pages(book);
    searched.words = names().into_iter().map(|name| (name.other, name.ours, u8::from(name.same))).collect();
    searched
}

/// A fork once for each of its machines, or once.
fn machines(record: &SpecRecord, entry: &SearchEntry) -> Vec<SearchEntry> {
    if record.machines.is_empty() {
        return vec![entry.clone()];
    }
    let on = record.machines.iter().map(|machine| {
        let (a, b) = machine.years;
        let m = format!("{} {}", machine.maker, machine.model);
        SearchEntry { m, a, b, s: machine.seen.clone(), ..entry.clone() }
    });
    on.collect()
}

/// Stands for the fork's id.
const ANY: &str = "{}";

/// The pages of a fork, and the places on its page.
fn parts(book: &Book) -> Vec<PartEntry> {
    let mut out: Vec<PartEntry> = Vec::new();
    let mut add = |t: String, w: String, p: String, of: &'static str| {
        let n = out.len();
        out.push(PartEntry { t, w, p, of, n });
    };
    for service in &book.shop.services {
        let (id, title) = (&service.id.text, &service.title);
        add(title.clone(), title.clone(), service_href(ANY, id), "card");
        add(format!("Job card, {title}"), format!("{title} card|job card"), card_href(ANY, id), "card");
    }
    add("Hang card".to_owned(), "hang card|wall card".to_owned(), card_href(ANY, HANG), "card");
    add("Complaints".to_owned(), "complaints".to_owned(), fork_complaints_href(ANY), "");
    let catalogue = &book.shop.catalogue;
    for (_, field) in catalogue.of(Owner::Fork) {
        let called = field.called.iter().map(|name| name.replace('_', " "));
        let words: Vec<String> =
            [field.title.clone(), field.short.clone()].into_iter().chain(called).collect();
        add(field.title.clone(), words.join("|"), value_href(ANY, &field.key), "value");
    }
    for group in catalogue.groups.iter().filter(|group| group.of == Owner::Fork) {
        add(group.title.clone(), group.title.clone(), value_href(ANY, &format!("group-{}", group.key)), "");
    }
    out
}

/// Which of the values a fork has.
fn values(book: &Book, fork: &CheckedFork, parts: &[PartEntry]) -> Vec<usize> {
    let has = |part: &&PartEntry| {
        let key = part.p.split_once('#').map(|(_, key)| key);
        let field = key.filter(|_| part.of == "value").and_then(|key| book.shop.catalogue.find(key));
        field.is_some_and(|id| fork.any(id).is_some())
    };
    parts.iter().filter(has).map(|part| part.n).collect()
}

/// Which of its pages a fork has: one to work from for each service, and, where it is no draft, its cards.
fn pages_of(book: &Book, stack: &Stack, fork: &CheckedFork, parts: &[PartEntry]) -> Vec<usize> {
    let plans = book.plans.of(fork);
    let services = plans.iter().map(|plan| service_href(ANY, &plan.service.id.text));
    let cards = plans.iter().map(|plan| card_href(ANY, &plan.service.id.text)).chain([card_href(ANY, HANG)]);
    let has: Vec<String> = services.chain(cards.filter(|_| !stack.of(fork).is_empty())).collect();
    parts.iter().filter(|part| has.contains(&part.p)).map(|part| part.n).collect()
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
    let size =
        fork.any(key::TUBES_STANCHION_DIAMETER).and_then(|size| size.quantity()).map(Quantity::canonical);
    // Typed with and without the space before the unit.
    words.extend(size.map(|size| format!("{size} {}", size.replace(' ', ""))));
    words.join(" ")
}

/// An entry.
fn entry(kind: &str, title: &str, called: String, body: String, path: String) -> PageEntry {
    PageEntry { t: title.to_owned(), k: kind.to_owned(), w: called, b: body, p: path }
}

/// Every page that is not about one fork, and every entry of the lists.
fn pages(book: &Book) -> Vec<PageEntry> {
    let mut out = work(book);
    out.extend(stock(book));
    out.extend(terms().into_iter().map(|term| {
        let path = format!("glossary.html#{}", term.id);
        entry("Glossary", &term.term, String::new(), own_words(&term.means), path)
    }));
    out.extend(
        book.makers
            .keys()
            .map(|maker| entry("Maker", maker, String::new(), "machines".to_owned(), book.maker_href(maker))),
    );
    out.extend(
        codes().map(|code| {
            entry("Rule", &code.replace('-', " "), code.to_owned(), String::new(), rule_href(code))
        }),
    );
    out.extend(book.forks.iter().any(|fork| !fork.record.draft).then(|| {
        let called = "hang cards|wall cards|job cards|bench cards|all cards".to_owned();
        entry("Page", "Cards", called, "print".to_owned(), "cards/index.html".to_owned())
    }));
    out.extend(LISTS.iter().map(|(title, called, body, path)| {
        entry("Page", title, (*called).to_owned(), (*body).to_owned(), (*path).to_owned())
    }));
    out.sort();
    out
}

/// Pages that every site has: title, what else they are called, other words, path.
const LISTS: [(&str, &str, &str, &str); 5] = [
    (
        "Oils",
        "oil weight|viscosity|2.5w|5w|7.5w|10w|15w|20w|30w|5wt|10wt|15wt|20wt",
        "fork",
        "oils/index.html",
    ),
    ("Units", "conversion|convert|inches|psi", "", "units.html"),
    ("Field reference", "fields|values", "", "reference/fields.html"),
    ("Review list", "reviews|who reviewed|out of date", "", "review.html"),
    ("Is this card current?", "card code|look up a code|qr", "", "codes.html"),
];

/// Complaints, procedures, services, cautions.
fn work(book: &Book) -> Vec<PageEntry> {
    let shop = book.shop;
    let mut out: Vec<PageEntry> = Vec::new();
    out.extend(shop.complaints.iter().map(|complaint| {
        let id = &complaint.id.text;
        entry(
            "Complaint",
            &complaint.title,
            complaint.says.join("|"),
            id.replace('-', " "),
            complaint_href(id),
        )
    }));
    out.extend(shop.procedures.iter().map(|procedure| {
        let id = &procedure.id.text;
        let phase = procedure.phase.map_or("", Phase::title);
        let body = format!("{} {phase} {}", id.replace('-', " "), own_words(&text(&procedure.body)));
        entry("Procedure", &procedure.title, String::new(), body, procedure_href(id))
    }));
    out.extend(shop.services.iter().map(|service| {
        let body = own_words(service.notes.as_deref().unwrap_or_default());
        entry("Service", &service.title, String::new(), body, sequence_href(&service.id.text))
    }));
    out.extend(shop.cautions.iter().map(|caution| {
        let id = &caution.id.text;
        let body =
            format!("{} {} {}", caution.signal.word(), id.replace('-', " "), own_words(&text(&caution.body)));
        entry(
            "Caution",
            &caution.title,
            caution.word.clone().unwrap_or_default(),
            body,
            format!("cautions.html#{id}"),
        )
    }));
    out
}

/// Oils, builds, springs, valvings, tools.
fn stock(book: &Book) -> Vec<PageEntry> {
    let shop = book.shop;
    let mut out: Vec<PageEntry> = Vec::new();
    out.extend(shop.oils.iter().map(|oil| {
        let grade = oil.label.as_ref().map(|label| label.text.clone()).unwrap_or_default();
        entry("Oil", &oil.title(), grade, format!("oil {}", oil_words(book, oil)), oil_href(&oil.id.text))
    }));
    out.extend(shop.forks.iter().filter_map(|record| {
        let build = record.build()?;
        Some(entry("Build", &record.title(), String::new(), build_line(build), fork_href(&record.id.text)))
    }));
    out.extend(shop.springs.iter().map(|spring| {
        entry(
            "Spring",
            &spring.title(),
            String::new(),
            "spring stock".to_owned(),
            spring_href(&spring.id.text),
        )
    }));
    out.extend(shop.valvings.iter().map(|valving| {
        let body = "shims stack piston".to_owned();
        entry("Valving", &valving.title, String::new(), body, valving_href(&valving.id.text))
    }));
    out.extend(shop.tools.iter().map(|tool| {
        let kind = if tool.consumable { "Consumable" } else { "Tool" };
        let called: Vec<&str> = tool.called.iter().map(|word| word.text.as_str()).collect();
        let body = own_words(&tool.use_for);
        entry(kind, &tool.title, called.join("|"), body, format!("tools.html#{}", tool.id.text))
    }));
    out
}

/// What an oil is asked for by: its viscosity grade.
fn oil_words(book: &Book, oil: &SpecRecord) -> String {
    let grade = book.shop.catalogue.find("grade.iso_vg");
    let line = oil.values.iter().find(|line| Some(line.field) == grade);
    let text = line.map(|line| match &line.sides {
        Sides::Each(entry) | Sides::Legs(entry, _) => &entry.text,
    });
    text.map(|grade| format!("iso vg {grade} vg{grade}")).unwrap_or_default()
}

/// The words of a text.
fn text(body: &Body) -> String {
    let prose = body.parts.iter().map(|part| match part {
        Part::Heading(prose) | Part::Prose(prose) => prose,
        Part::Step(step) => &step.action,
    });
    prose.map(|prose| prose.plain(|reference| reference.text.clone())).collect::<Vec<_>>().join(" ")
}

/// Each word of a text once, short ones and numbers left out.
fn own_words(text: &str) -> String {
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| word.len() > 3);
    let words = words.filter(|word| word.starts_with(char::is_alphabetic)).map(str::to_lowercase);
    let all: BTreeSet<String> = words.collect();
    all.into_iter().collect::<Vec<_>>().join(" ")
}
