//! Every caution.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::Book;
use crate::book::links::procedure_href;
use crate::book::view::Link;
use crate::record::Phase;
use crate::site::desk::Desk;
use crate::site::prose::Setting;
use crate::site::templates::TemplateProblem;
use crate::syntax::Scheme;
use crate::site::view::CautionBox;

/// Cautions, worst first, `cautions.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CautionsView {
    /// Each caution with the procedures it stands in.
    pub cautions: Vec<(CautionBox, Vec<Link>)>,
}

/// The page.
pub struct CautionsPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [CautionsPage; 1] {
    [CautionsPage]
}

impl<'s> Page<'s> for CautionsPage {
    type View = CautionsView;

    const TEMPLATE: &'static str = "cautions";

    fn path(&self) -> String {
        "cautions.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<CautionsView, TemplateProblem> {
        Ok(cautions(desk.book, &self.root(desk)))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &CautionsView) -> Heading {
        Heading::new("Cautions", "Every caution with where it stands.")
    }
}

/// Cautions, worst first.
fn cautions(book: &Book, root: &str) -> CautionsView {
    let setting = Setting::general(book.shop, root);
    let mut all: Vec<_> = book.shop.cautions.iter().collect();
    all.sort_by(|a, b| (a.signal, &a.title).cmp(&(b.signal, &b.title)));
    let cautions = all.into_iter().map(|caution| {
        let procedures = book.shop.procedures.iter().filter(|procedure| {
            procedure.body.references.iter().any(|r| r.scheme == Scheme::Caution && r.target == caution.id.text)
        });
        let links = procedures.map(|procedure| {
            let text = format!("{}: {}", procedure.phase.map_or("", Phase::title), procedure.title);
            Link::new(procedure_href(&procedure.id.text), text)
        });
        (setting.caution(caution), links.collect())
    });
    CautionsView { cautions: cautions.collect() }
}
