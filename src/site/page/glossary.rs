//! The trade’s words.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::site::desk::Desk;
use crate::site::glossary::terms;
use crate::site::templates::TemplateProblem;
use crate::site::view::Term;

/// The glossary, `glossary.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct GlossaryView {
    /// The terms by name.
    pub terms: Vec<Term>,
}

/// The page.
pub struct GlossaryPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [GlossaryPage; 1] {
    [GlossaryPage]
}

impl<'s> Page<'s> for GlossaryPage {
    type View = GlossaryView;

    const TEMPLATE: &'static str = "glossary";

    fn path(&self) -> String {
        "glossary.html".to_owned()
    }

    fn view(&self, _: &Desk<'_, 's>) -> Result<GlossaryView, TemplateProblem> {
        Ok(GlossaryView { terms: terms() })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &GlossaryView) -> Heading {
        Heading::new("Glossary", "The trade’s words as they are meant here.")
    }
}
