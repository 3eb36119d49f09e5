//! The list of bench cards.

use serde::Serialize;

use super::hang::take_down;
use super::kind::{Heading, Page};
use crate::book::links::{card_href, fork_href, wall_binder_href};
use crate::book::view::Link;
use crate::review::HANG;
use crate::site::desk::Desk;
use crate::site::stack::CardOf;
use crate::site::templates::TemplateProblem;
use crate::words::count;

/// The list of all cards, `cards.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardsView {
    /// Binders of the whole shop.
    pub binders: Vec<Link>,
    /// The job cards, each with the fork it belongs to.
    pub cards: Vec<(Link, Link)>,
    /// The hang cards.
    pub hang: Vec<Link>,
    /// Hang cards that were released and say something else now, one sentence each: to be taken down.
    pub take_down: Vec<String>,
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
        let walls = (0..volumes).filter(|n| !desk.stack.walls_of(*n).is_empty()).map(|n| {
            let text = match volumes {
                1 => "All hang cards".to_owned(),
                _ => format!("Hang cards, volume {} of {volumes}", n + 1),
            };
            Link::new(wall_binder_href(n), text)
        });
        let cards = all.iter().filter_map(|at| {
            let CardOf::Service(n) = at.of else { return None };
            let service = desk.book.plans.of(at.fork)[n].service;
            let card = Link::new(card_href(&at.fork.id, &service.id.text), service.title.clone());
            Some((card, Link::new(fork_href(&at.fork.id), at.fork.record.title())))
        });
        let hang = desk.stack.walls().map(|at| Link::new(card_href(&at.fork.id, HANG), at.fork.record.title()));
        let old = desk.stack.walls().flat_map(|at| {
            let title = at.fork.record.title();
            let said = take_down(desk.book, at.fork).into_iter();
            said.map(move |copy| format!("{title}: {copy}")).collect::<Vec<_>>()
        });
        Ok(CardsView {
            binders: binders.chain(walls).collect(),
            cards: cards.collect(),
            hang: hang.collect(),
            take_down: old.collect(),
        })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &CardsView) -> Heading {
        Heading::new("Bench cards", "All bench cards to print.")
    }
}
