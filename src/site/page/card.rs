//! A bench card alone on its page.

use serde::Serialize;

use super::kind::{Heading, Page, Subject};
use crate::book::held::Held;
use crate::book::links::{card_href, fork_href, service_href};
use crate::book::view::Link;
use crate::record::Service;
use crate::site::desk::Desk;
use crate::site::stack::{CardAt, CardOf, Stack};
use crate::site::templates::TemplateProblem;

/// A page with one bench card, `card.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardPageView {
    /// The page to work from.
    pub page: Link,
    /// The fork's page.
    pub fork_page: Link,
    /// The card: finished HTML, made from `card-sheet.html`.
    pub card_html: Held,
}

/// The page of this card.
pub struct CardPage<'s> {
    card: CardAt<'s>,
    service: &'s Service,
}

/// One for each card.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<CardPage<'s>> {
    let page = |card: &CardAt<'s>| match card.of {
        CardOf::Service(n) => Some(CardPage { card: *card, service: desk.book.plans.of(card.fork)[n].service }),
        CardOf::Wall => None,
    };
    desk.stack.all().iter().filter_map(page).collect()
}

impl<'s> Page<'s> for CardPage<'s> {
    type View = CardPageView;

    const TEMPLATE: &'static str = "card";

    fn path(&self) -> String {
        card_href(&self.card.fork.id, &self.service.id.text)
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Fork(self.card.fork)
    }

    fn cards(&self, _: &Stack<'s>) -> Vec<CardAt<'s>> {
        vec![self.card]
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<CardPageView, TemplateProblem> {
        let (fork, service) = (self.card.fork, self.service);
        Ok(CardPageView {
            page: Link::new(
                service_href(&fork.id, &service.id.text),
                format!("{}: page to work from", service.title),
            ),
            fork_page: Link::new(fork_href(&fork.id), fork.record.title()),
            card_html: Held::new(desk.sheet(self.card)?.html.clone(), "../".into()),
        })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &CardPageView) -> Heading {
        let (fork, service) = (self.card.fork, &self.service.title);
        let about = format!("{service} of the {} on two sides of one sheet.", fork.record.title());
        Heading::new(format!("Bench card: {service}"), about).under_fork(fork)
    }
}
