//! The list of bench cards.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::links::{card_href, fork_href};
use crate::book::view::Link;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;
use crate::words::count;

/// The list of all cards, `cards.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardsView {
    /// Binders of the whole shop.
    pub binders: Vec<Link>,
    /// The cards, each with the fork it belongs to.
    pub cards: Vec<(Link, Link)>,
}

/// The page.
pub struct CardsPage;

/// There is one where there are cards.
pub fn all(desk: &Desk<'_, '_>) -> Option<CardsPage> {
    desk.site.has_cards.then_some(CardsPage)
}

impl<'s> Page<'s> for CardsPage {
    type View = CardsView;

    const TEMPLATE: &'static str = "cards";

    fn path(&self) -> String {
        "cards/index.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<CardsView, TemplateProblem> {
        let (all, volumes) = (desk.stack.all(), desk.stack.volumes());
        let binders = (1..=volumes).map(|n| {
            let text = if volumes > 1 {
                format!("Volume {n} of {volumes}")
            } else {
                format!("All cards, {}", count(all.len(), "sheet", "sheets"))
            };
            Link::new(format!("cards/all/{n}.html"), text)
        });
        let cards = all.iter().map(|at| {
            let service = desk.book.plans.of(at.fork)[at.service].service;
            let card = Link::new(card_href(&at.fork.id, &service.id.text), service.title.clone());
            (card, Link::new(fork_href(&at.fork.id), at.fork.record.title()))
        });
        Ok(CardsView { binders: binders.collect(), cards: cards.collect() })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &CardsView) -> Heading {
        Heading::new("Bench cards", "All bench cards to print.")
    }
}
