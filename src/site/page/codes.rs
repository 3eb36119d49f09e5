//! The look-up of a card’s code: which cards are current, which were released and replaced since.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::Book;
use crate::book::links::card_href;
use crate::book::view::Link;
use crate::card::content;
use crate::review::{Fate, HANG, fates};
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A card that is current.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CodeRow {
    /// The card's code.
    pub card: String,
    /// The code of its values.
    pub values: String,
    /// The card's page, with fork and service.
    pub link: Link,
}

/// A card that was released and is current no more.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OldCodeRow {
    /// The card's code.
    pub card: String,
    /// The code of its values.
    pub values: String,
    /// Fork and service.
    pub name: String,
    /// The day it was released.
    pub date: String,
    /// What became of it, one sentence.
    pub became: String,
    /// The page of the card that replaced it; may be empty.
    pub page: String,
}

/// The look-up of codes, `codes.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CodesView {
    /// The cards as they are.
    pub current: Vec<CodeRow>,
    /// Released cards that are current no more, the latest release first.
    pub old: Vec<OldCodeRow>,
}

/// The page.
pub struct CodesPage;

/// There is one where there are cards.
pub fn all(desk: &Desk<'_, '_>) -> Option<CodesPage> {
    desk.site.has_cards.then_some(CodesPage)
}

impl<'s> Page<'s> for CodesPage {
    type View = CodesView;

    const TEMPLATE: &'static str = "codes";

    fn path(&self) -> String {
        "codes.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<CodesView, TemplateProblem> {
        Ok(codes(desk.book))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &CodesView) -> Heading {
        Heading::new("Is this card current?", "Look up the code of a printed card.")
            .under(Link::new("cards/index.html", "Bench cards"))
    }
}

fn names(book: &Book, fork: &str, service: &str) -> (String, String) {
    let fork_title = book.shop.fork(fork).map_or_else(|| fork.to_owned(), crate::record::SpecRecord::title);
    let service = match service {
        HANG => "hang card".to_owned(),
        id => book.shop.service(id).map_or_else(|| id.to_owned(), |service| service.title.clone()),
    };
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
        let down = if old.service.text == HANG { " Take it down from the wall." } else { "" };
        let page = match &fate {
            Fate::Replaced { now, .. } => card_href(&now.fork, &now.service),
            _ => String::new(),
        };
        Some(OldCodeRow {
            card: old.card.text.clone(),
            values: old.values.text.clone(),
            name: format!("{fork}, {service}"),
            date: old.date.text.clone(),
            became: format!("{became}{down}"),
            page,
        })
    });
    CodesView { current: current.collect(), old: old.collect() }
}
