//! All cards of a fork, to print in one go.

use super::binder::{BinderView, bound};
use super::kind::{Heading, Page, Subject};
use crate::book::links::binder_href;
use crate::check::CheckedFork;
use crate::site::desk::Desk;
use crate::site::stack::{CardAt, Stack};
use crate::site::templates::TemplateProblem;

/// The page of this fork's cards.
pub struct ForkBinder<'s>(&'s CheckedFork);

/// One for each fork with several cards.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<ForkBinder<'s>> {
    let several = desk.book.forks.iter().filter(|fork| desk.stack.of(fork).len() > 1);
    several.map(ForkBinder).collect()
}

impl<'s> Page<'s> for ForkBinder<'s> {
    type View = BinderView;

    const TEMPLATE: &'static str = "binder";

    fn path(&self) -> String {
        binder_href(&self.0.id)
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Fork(self.0)
    }

    fn cards(&self, stack: &Stack<'s>) -> Vec<CardAt<'s>> {
        stack.of(self.0).to_vec()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<BinderView, TemplateProblem> {
        let title = format!("All cards: {}", self.0.record.title());
        bound(desk, title, &Page::cards(self, &desk.stack))
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &BinderView) -> Heading {
        Heading::new(view.title.clone(), "Every bench card of this fork to print in one go.").under_fork(self.0)
    }
}
