//! The look-up of a card's code as a script: it answers for a typed code, offline.

use serde::Serialize;

use super::codes::codes;
use super::kind::File;
use crate::book::Book;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// The script.
pub struct CardCodes;

/// There is one where there are cards.
pub fn all(desk: &Desk<'_, '_>) -> Option<CardCodes> {
    desk.site.has_cards.then_some(CardCodes)
}

impl<'s> File<'s> for CardCodes {
    fn path(&self) -> String {
        "assets/card-codes.js".to_owned()
    }

    fn render(&self, desk: &Desk<'_, 's>) -> Result<Vec<u8>, TemplateProblem> {
        Ok(script(desk.book).into_bytes())
    }
}

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

/// The same as a script: it works from a file, where nothing can be fetched.
fn script(book: &Book) -> String {
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
