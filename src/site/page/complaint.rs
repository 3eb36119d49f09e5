//! A complaint in its general form.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::view::Link;
use crate::book::links::complaint_href;
use crate::record::Complaint;
use crate::site::desk::Desk;
use crate::site::glossary::Linked;
use crate::site::prose::Setting;
use crate::site::templates::TemplateProblem;
use crate::site::view::Item;

/// A complaint in its general form, `complaint.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ComplaintView {
    /// What it is called.
    pub title: String,
    /// How riders say it.
    pub says: Vec<String>,
    /// The forks that can have it, one sentence for each way; empty: every fork.
    pub applies: Vec<String>,
    /// How to reproduce it, what to read, and its causes as steps.
    pub items: Vec<Item>,
}

/// The page of this complaint.
pub struct ComplaintPage<'s>(&'s Complaint);

/// One for each complaint.
pub fn all<'s>(desk: &Desk<'_, 's>) -> impl Iterator<Item = ComplaintPage<'s>> + use<'s> {
    desk.book.shop.complaints.iter().map(ComplaintPage)
}

impl<'s> Page<'s> for ComplaintPage<'s> {
    type View = ComplaintView;

    const TEMPLATE: &'static str = "complaint";

    fn path(&self) -> String {
        complaint_href(&self.0.id.text)
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ComplaintView, TemplateProblem> {
        let (complaint, root) = (self.0, self.root(desk));
        let terms = Linked::default();
        let setting = Setting { terms: Some(&terms), ..Setting::general(desk.book.shop, &root) };
        Ok(ComplaintView {
            title: complaint.title.clone(),
            says: complaint.says.clone(),
            applies: desk.book.when(&complaint.applies),
            items: setting.parts(complaint.into(), &complaint.body, 1, None),
        })
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &ComplaintView) -> Heading {
        let about = format!("{}: how to reproduce it, what to read, and its causes.", view.title);
        Heading::new(view.title.clone(), about).under(Link::new("complaints/index.html", "Complaints"))
    }
}
