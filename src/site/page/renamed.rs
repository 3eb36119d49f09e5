//! The address that a fork had before it was called otherwise: printed codes and kept links lead there.

use serde::Serialize;

use super::kind::{Heading, Page, Subject};
use crate::book::links::{card_href, fork_href, service_href};
use crate::book::view::Link;
use crate::check::CheckedFork;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A page that says where its fork is now, `renamed.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct RenamedView {
    /// The id that the fork had.
    pub was: String,
    /// The page that took the place of this one.
    pub now: Link,
}

/// The page at a former address.
pub struct RenamedPage<'s> {
    fork: &'s CheckedFork,
    was: &'s str,
    path: String,
    now: String,
}

/// The fork's page, and those of its services and cards, each under every id that the fork had.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<RenamedPage<'s>> {
    let mut out = Vec::new();
    for fork in desk.book.forks {
        for was in fork.record.was.iter().map(|was| was.text.as_str()) {
            let mut add = |path: String, now: String| out.push(RenamedPage { fork, was, path, now });
            add(fork_href(was), fork_href(&fork.id));
            for plan in desk.book.plans.of(fork) {
                let service = &plan.service.id.text;
                add(service_href(was, service), service_href(&fork.id, service));
                if !fork.record.draft {
                    add(card_href(was, service), card_href(&fork.id, service));
                }
            }
        }
    }
    out
}

impl<'s> Page<'s> for RenamedPage<'s> {
    type View = RenamedView;

    const TEMPLATE: &'static str = "renamed";

    fn path(&self) -> String {
        self.path.clone()
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Fork(self.fork)
    }

    fn view(&self, _: &Desk<'_, 's>) -> Result<RenamedView, TemplateProblem> {
        let now = Link::new(self.now.clone(), self.fork.record.title());
        Ok(RenamedView { was: self.was.to_owned(), now })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &RenamedView) -> Heading {
        let title = self.fork.record.title();
        Heading::new(title.clone(), format!("Where the page of {title} is now."))
    }
}
