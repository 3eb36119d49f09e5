//! The address that a fork or a procedure had before it was called otherwise: printed codes and kept links lead there.

use serde::Serialize;

use super::kind::{Heading, Page, Subject};
use crate::book::links::{card_href, fork_href, procedure_href, service_href};
use crate::book::view::Link;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A page that says where its fork or procedure is now, `renamed.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct RenamedView {
    /// What it is: `fork` or `procedure`.
    pub what: String,
    /// The id that it had.
    pub was: String,
    /// The page that took the place of this one.
    pub now: Link,
}

/// The page at a former address.
pub struct RenamedPage<'s> {
    subject: Subject<'s>,
    what: &'static str,
    title: String,
    was: &'s str,
    path: String,
    now: String,
}

/// The fork's page, and those of its services and cards, each under every id that the fork had; and every procedure's.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<RenamedPage<'s>> {
    let mut out = Vec::new();
    for fork in desk.book.forks {
        for was in fork.record.was.iter().map(|was| was.text.as_str()) {
            let mut add = |path: String, now: String| {
                let (subject, title) = (Subject::Fork(fork), fork.record.title());
                out.push(RenamedPage { subject, what: "fork", title, was, path, now });
            };
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
    let procedures = desk.book.shop.procedures.iter();
    let former = procedures.flat_map(|one| one.was.iter().map(move |was| (one, was.text.as_str())));
    out.extend(former.filter(|(_, was)| desk.book.shop.procedure(was).is_none()).map(|(one, was)| {
        let (path, now) = (procedure_href(was), procedure_href(&one.id.text));
        let (subject, title) = (Subject::Shop, one.title.clone());
        RenamedPage { subject, what: "procedure", title, was, path, now }
    }));
    out
}

impl<'s> Page<'s> for RenamedPage<'s> {
    type View = RenamedView;

    const TEMPLATE: &'static str = "renamed";

    fn path(&self) -> String {
        self.path.clone()
    }

    fn subject(&self) -> Subject<'s> {
        self.subject
    }

    fn view(&self, _: &Desk<'_, 's>) -> Result<RenamedView, TemplateProblem> {
        let now = Link::new(self.now.clone(), self.title.clone());
        Ok(RenamedView { what: self.what.to_owned(), was: self.was.to_owned(), now })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &RenamedView) -> Heading {
        Heading::new(self.title.clone(), format!("Where the page of {} is now.", self.title))
    }
}
