//! A fork's hang card alone on its page.

use serde::Serialize;

use super::kind::{Heading, Page, Subject};
use crate::book::Book;
use crate::book::held::Held;
use crate::book::links::{card_href, fork_href};
use crate::book::view::Link;
use crate::card::wall::to_take_down;
use crate::check::CheckedFork;
use crate::review::HANG;
use crate::site::desk::Desk;
use crate::site::stack::{CardAt, Stack};
use crate::site::templates::TemplateProblem;

/// A page with one hang card, `hang.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct HangPageView {
    /// The fork's page.
    pub fork_page: Link,
    /// Copies that were released and say something else now: `0MMG-XC2X, released 2026-03-02`.
    pub take_down: Vec<String>,
    /// The card: finished HTML, made from `hang-sheet.html`.
    pub card_html: Held,
}

/// The page of this fork's hang card.
pub struct HangPage<'s>(CardAt<'s>);

/// One for each fork that has a job card.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<HangPage<'s>> {
    desk.stack.walls().map(HangPage).collect()
}

/// The copies of a fork's hang card that are to be taken down, by code and day.
pub fn take_down<'s>(book: &Book<'s>, fork: &'s CheckedFork) -> Vec<String> {
    let old = to_take_down(book, fork).into_iter();
    old.map(|old| format!("{}, released {}", old.card.text, old.date.text)).collect()
}

impl<'s> Page<'s> for HangPage<'s> {
    type View = HangPageView;

    const TEMPLATE: &'static str = "hang";

    fn path(&self) -> String {
        card_href(&self.0.fork.id, HANG)
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Fork(self.0.fork)
    }

    fn cards(&self, _: &Stack<'s>) -> Vec<CardAt<'s>> {
        vec![self.0]
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<HangPageView, TemplateProblem> {
        let fork = self.0.fork;
        Ok(HangPageView {
            fork_page: Link::new(fork_href(&fork.id), fork.record.title()),
            take_down: take_down(desk.book, fork),
            card_html: Held::new(desk.sheet(self.0)?.html.clone(), "../".into()),
        })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &HangPageView) -> Heading {
        let about = format!("Every number of the {} on one side of a sheet.", self.0.fork.record.title());
        Heading::new("Hang card", about).under_fork(self.0.fork)
    }
}
