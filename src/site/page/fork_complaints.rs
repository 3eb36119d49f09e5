//! The complaints about a fork, with its numbers.

use serde::Serialize;

use super::kind::{Heading, Page, Subject};
use crate::book::links::{fork_complaints_href, fork_href};
use crate::book::view::Link;
use crate::check::CheckedFork;
use crate::plan::is_for;
use crate::record::Complaint;
use crate::resolve::Shop;
use crate::site::desk::Desk;
use crate::site::printed;
use crate::site::prose::Setting;
use crate::site::templates::TemplateProblem;
use crate::site::view::Item;
use crate::syntax::Scheme;
use crate::syntax::markdown::{Piece, Step};

/// A complaint about a fork.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ForkComplaint {
    /// Its fragment identifier.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// How riders say it.
    pub says: Vec<String>,
    /// How to reproduce it, what to read, and its causes as steps, numbered from 1, with the fork's numbers.
    pub items: Vec<Item>,
}

/// The complaints about a fork, `fork-complaints.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ForkComplaintsView {
    /// The fork's page.
    pub fork: Link,
    /// The fork is a draft.
    pub draft: bool,
    /// The complaints that it can have, by title.
    pub complaints: Vec<ForkComplaint>,
}

/// The page of this fork's complaints.
pub struct ForkComplaintsPage<'s>(&'s CheckedFork);

/// One for each fork, in a shop that keeps complaints.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<ForkComplaintsPage<'s>> {
    let kept = !desk.book.shop.complaints.is_empty();
    desk.book.forks.iter().filter(|_| kept).map(ForkComplaintsPage).collect()
}

/// Whether a cause can be this fork's: work follows from it that is for this fork, or none at all.
fn can_be(shop: &Shop, fork: &CheckedFork, cause: &Step) -> bool {
    let links = cause.action.pieces.iter().filter_map(|piece| match piece {
        Piece::Reference(reference) if reference.scheme == Scheme::Procedure => Some(&reference.target),
        _ => None,
    });
    links.filter_map(|id| shop.procedure(id)).all(|procedure| is_for(shop, procedure, fork))
}

impl<'s> Page<'s> for ForkComplaintsPage<'s> {
    type View = ForkComplaintsView;

    const TEMPLATE: &'static str = "fork-complaints";

    fn path(&self) -> String {
        fork_complaints_href(&self.0.id)
    }

    fn subject(&self) -> Subject<'s> {
        Subject::Fork(self.0)
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ForkComplaintsView, TemplateProblem> {
        let (book, fork, root) = (desk.book, self.0, self.root(desk));
        let texts = book.texts(fork);
        let setting = Setting {
            fork: Some(&texts),
            fork_id: &fork.id,
            written: Some(&book.memo.written),
            facts: &texts.facts().cautions,
            ..Setting::general(book.shop, &root)
        };
        let mut complaints: Vec<&Complaint> =
            book.shop.complaints.iter().filter(|complaint| complaint.applies.holds(&fork.choices)).collect();
        complaints.sort_by(|a, b| a.title.cmp(&b.title));
        let of = |complaint: &Complaint| {
            let wanted = |cause: &Step| can_be(book.shop, fork, cause);
            let mut items = setting.parts_with(complaint.into(), &complaint.body, (1, None), wanted);
            for step in items.iter_mut().filter_map(|item| item.step.as_mut()) {
                step.anchor = format!("{}-{}", complaint.id.text, step.number);
            }
            let (id, title) = (complaint.id.text.clone(), complaint.title.clone());
            ForkComplaint { id, title, says: complaint.says.clone(), items }
        };
        Ok(ForkComplaintsView {
            fork: Link::new(fork_href(&fork.id), fork.record.title()),
            draft: fork.record.draft,
            complaints: complaints.into_iter().map(of).collect(),
        })
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &ForkComplaintsView) -> Heading {
        let about = format!("What riders say of the {}, what to read, and its causes.", view.fork.text);
        Heading::new("Complaints", about).under_fork(self.0)
    }

    fn printed(&self, desk: &Desk<'_, 's>, title: &str) -> String {
        printed::of_fork(desk.book, self.0, title)
    }
}
