//! The list of rules.

use serde::Serialize;

use super::kind::{Heading, Page};
use super::rule::{codes, rule_href};
use crate::book::view::Link;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// All rules, `rules.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct RulesView {
    /// The rules by code.
    pub rules: Vec<Link>,
}

/// The page.
pub struct RulesPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [RulesPage; 1] {
    [RulesPage]
}

impl<'s> Page<'s> for RulesPage {
    type View = RulesView;

    const TEMPLATE: &'static str = "rules";

    fn path(&self) -> String {
        "rules/index.html".to_owned()
    }

    fn view(&self, _: &Desk<'_, 's>) -> Result<RulesView, TemplateProblem> {
        Ok(rules())
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &RulesView) -> Heading {
        Heading::new("Rules", "What is checked before anything is published.")
    }
}

/// All rules.
fn rules() -> RulesView {
    RulesView { rules: codes().map(|code| Link::new(rule_href(code), code)).collect() }
}
