//! The look-up of a card's code: which cards are current, which were released and replaced since. The page has
//! it as tables; the script beside it answers for a typed code, offline.

use serde::Serialize;

use crate::book::Book;
use crate::book::links::card_href;
use crate::book::view::Link;
use crate::card::content;
use crate::review::{Fate, fates};
use crate::site::view::{CodeRow, CodesView, OldCodeRow};

/// A card in the script: its code, the code of its values, fork, service, and the page or what became of it.
#[derive(Serialize)]
struct Entry<'a> {
    /// The card's code.
    c: &'a str,
    /// The code of its values.
    v: &'a str,
    /// Fork and service.
    t: String,
    /// The card's page, or the page of the card that replaced it; may be empty.
    p: &'a str,
    /// For a card that was replaced: what became of it. Empty for a current one.
    w: &'a str,
}

fn names(book: &Book, fork: &str, service: &str) -> (String, String) {
    let fork_title = book.shop.fork(fork).map_or_else(|| fork.to_owned(), crate::record::SpecRecord::title);
    let service = book.shop.service(service).map_or_else(|| service.to_owned(), |known| known.title.clone());
    (fork_title, service)
}

/// The page.
pub fn codes(book: &Book) -> CodesView {
    let now = content::cards(book);
    let current = now.iter().map(|card| {
        let (fork, service) = names(book, &card.fork, &card.service);
        CodeRow {
            card: card.card.clone(),
            values: card.values.clone(),
            link: Link::new(card_href(&card.fork, &card.service), format!("{fork}, {service}")),
        }
    });
    let old = fates(&book.shop.released.cards, &now).into_iter().filter_map(|(old, fate)| {
        let (fork, service) = names(book, &old.fork.text, &old.service.text);
        let became = match &fate {
            Fate::Current(_) => return None,
            Fate::Replaced { now, same_values: true } => {
                format!("Replaced by {}: steps or cautions changed, the numbers did not.", now.card)
            }
            Fate::Replaced { now, .. } => format!("Replaced by {}: its numbers changed.", now.card),
            Fate::Gone => "There is no such card any more.".to_owned(),
        };
        let page = match &fate {
            Fate::Replaced { now, .. } => card_href(&now.fork, &now.service),
            _ => String::new(),
        };
        Some(OldCodeRow {
            card: old.card.text.clone(),
            values: old.values.text.clone(),
            name: format!("{fork}, {service}"),
            date: old.date.text.clone(),
            became,
            page,
        })
    });
    CodesView { current: current.collect(), old: old.collect() }
}

/// The same as a script: it works from a file, where nothing can be fetched.
pub fn script(book: &Book) -> String {
    let view = codes(book);
    let mut out = String::from("window.benchleafCodes=[\n");
    let mut add = |entry: &Entry<'_>| {
        // Strings alone: nothing here that JSON cannot hold.
        if let Ok(text) = serde_json::to_string(entry) {
            out.push_str(&text);
            out.push_str(",\n");
        }
    };
    for row in &view.current {
        add(&Entry { c: &row.card, v: &row.values, t: row.link.text.clone(), p: &row.link.href, w: "" });
    }
    for row in &view.old {
        let name = format!("{}, released {}", row.name, row.date);
        add(&Entry { c: &row.card, v: &row.values, t: name, p: &row.page, w: &row.became });
    }
    out.push_str("];\n");
    out
}
