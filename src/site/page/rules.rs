//! The rules' pages on the site: the same text that `benchleaf explain` tells and the rule is tested by.

use pulldown_cmark::{Event, Parser, html};

use crate::book::view::Link;
use crate::check::pages::page;
use crate::diagnostic::{Rule, rules as all};
use crate::site::view::{RuleView, RulesView};

/// The page of a rule.
pub fn rule_href(code: &str) -> String {
    format!("rules/{code}.html")
}

/// Every rule's code, sorted.
pub fn codes() -> impl Iterator<Item = &'static str> {
    all::ALL.iter().map(|rule| rule.code)
}

/// What a rule finds, what that does at the bench, and what to write instead.
pub fn rule(code: &str) -> RuleView {
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

/// All rules.
pub fn rules() -> RulesView {
    RulesView { rules: codes().map(|code| Link::new(rule_href(code), code)).collect() }
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
        assert_eq!(rules().rules.len(), codes().count());
    }
}
