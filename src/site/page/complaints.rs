//! The list of complaints.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::links::complaint_href;
use crate::book::view::Link;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A complaint in a list.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ComplaintRow {
    /// Its page.
    pub page: Link,
    /// How riders say it.
    pub says: Vec<String>,
}

/// The list of complaints, `complaints.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ComplaintsView {
    /// The complaints by title.
    pub complaints: Vec<ComplaintRow>,
}

/// The page.
pub struct ComplaintsPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [ComplaintsPage; 1] {
    [ComplaintsPage]
}

impl<'s> Page<'s> for ComplaintsPage {
    type View = ComplaintsView;

    const TEMPLATE: &'static str = "complaints";

    fn path(&self) -> String {
        "complaints/index.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ComplaintsView, TemplateProblem> {
        let mut all: Vec<_> = desk.book.shop.complaints.iter().collect();
        all.sort_by(|a, b| a.title.cmp(&b.title));
        let row = |complaint: &crate::record::Complaint| ComplaintRow {
            page: Link::new(complaint_href(&complaint.id.text), complaint.title.clone()),
            says: complaint.says.clone(),
        };
        Ok(ComplaintsView { complaints: all.into_iter().map(row).collect() })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &ComplaintsView) -> Heading {
        Heading::new("Complaints", "What riders say, what to read, and what to look for in which order.")
    }
}
