//! A rule’s page: the same text that `benchleaf explain` tells and the rule is tested by.

use pulldown_cmark::{Event, Parser, html};
use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::view::Link;
use crate::check::pages::page;
use crate::diagnostic::{Rule, rules as all_rules};
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A rule, `rule.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct RuleView {
    /// The code behind its findings.
    pub code: String,
    /// What it finds, what that does at the bench and what to write instead: finished HTML.
    pub text_html: String,
}

/// The page of the rule with this code.
pub struct RulePage(&'static str);

/// One for each rule.
pub fn all(_: &Desk<'_, '_>) -> impl Iterator<Item = RulePage> + use<> {
    codes().map(RulePage)
}

impl<'s> Page<'s> for RulePage {
    type View = RuleView;

    const TEMPLATE: &'static str = "rule";

    fn path(&self) -> String {
        rule_href(self.0)
    }

    fn view(&self, _: &Desk<'_, 's>) -> Result<RuleView, TemplateProblem> {
        Ok(rule(self.0))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &RuleView) -> Heading {
        Heading::new(self.0, format!("What a finding with the code {} means.", self.0))
            .under(Link::new("rules/index.html", "Rules"))
    }
}

/// The page of a rule.
pub fn rule_href(code: &str) -> String {
    format!("rules/{code}.html")
}

/// Every rule's code, sorted.
pub fn codes() -> impl Iterator<Item = &'static str> {
    all_rules::ALL.iter().map(|rule| rule.code)
}

/// What a rule finds, what that does at the bench, and what to write instead.
fn rule(code: &str) -> RuleView {
    let text = Rule::of(code).map(page).unwrap_or_default();
    // The first line is the code, which is the page's heading.
    let text = text.split_once('\n').map_or("", |(_, rest)| rest);
    let events = Parser::new(text).map(|event| match event {
        Event::Html(raw) | Event::InlineHtml(raw) => Event::Text(raw),
        other => other,
    });
    let mut text_html = String::with_capacity(text.len() + 200);
    html::push_html(&mut text_html, events);
    RuleView { code: code.to_owned(), text_html }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_is_told_on_the_site_as_in_the_terminal() {
        let view = rule("bare-number");
        assert!(view.text_html.contains("<h2>At the bench</h2>"), "{}", view.text_html);
        assert!(
            !view.text_html.contains("Base: plain") && !view.text_html.contains("<h1>"),
            "{}",
            view.text_html
        );
    }
}
