//! What pages and cards say of a build: over which fork it is, and which of its values are not the fork's.

use serde::Serialize;

use super::figure::{build_line, value_text};
use super::links::{fork_href, spring_href, valving_href};
use super::view::Link;
use crate::catalogue::{FieldId, Owner};
use crate::record::{Build, SpecRecord};
use crate::resolve::{Origin, ResolvedFork, Shop, Side};

/// The mark beside a value that is the build's and not the fork's.
pub const BUILD: &str = "BUILD";

/// A value of a build that is another one than the fork's.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct BuildRow {
    /// The value, with its line on the page.
    pub value: Link,
    /// What it is in the build, left and right where they differ.
    pub is: String,
    /// What the fork says; may be empty.
    pub was: String,
    /// Why; empty where it came with the spring.
    pub why: String,
    /// Since when, as written; may be empty.
    pub date: String,
}

/// A build, at the head of its page.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct BuildView {
    /// The fork that it is over.
    pub fork: Link,
    /// Machine, use, rider, spring and shims in one line.
    pub made_for: String,
    /// The spring of the stock that is fitted.
    pub spring: Option<Link>,
    /// The valving that is fitted.
    pub valving: Option<Link>,
    /// What is not as the fork's record says.
    pub rows: Vec<BuildRow>,
}

/// Whether a value is the build's own, or came with the spring that was fitted.
pub fn is_built(fork: &ResolvedFork, id: FieldId) -> bool {
    let built = |side: Side| {
        let origin = fork.on(side, id).map(|value| &value.origin);
        matches!(origin, Some(Origin::Own | Origin::Spring(_)))
    };
    fork.record.build().is_some() && Side::BOTH.into_iter().any(built)
}

/// What stands beside a number of a build: `BUILD, not 138 mm`; empty beside every other one.
pub fn beside(shop: &Shop, fork: &ResolvedFork, id: FieldId) -> String {
    let Some(build) = fork.record.build().filter(|_| is_built(fork, id)) else { return String::new() };
    let was = build.change(&shop.catalogue.field(id).key).and_then(|change| change.instead_of.as_ref());
    was.map_or_else(|| BUILD.to_owned(), |was| format!("{BUILD}, not {}", was.text))
}

/// What a card of a build says at its head; empty for a fork.
pub fn on_card(shop: &Shop, fork: &ResolvedFork) -> String {
    let Some(build) = fork.record.build() else { return String::new() };
    let fields = shop
        .catalogue
        .of(Owner::Fork)
        .filter(|(id, field)| is_built(fork, *id) && build.change(&field.key).is_some());
    let names: Vec<&str> = fields.map(|(_, field)| field.short.as_str()).collect();
    format!("{BUILD} over {}, for one machine. Not as its maker sets it: {}.", build.over, names.join(", "))
}

/// The build at the head of its page; `None` for a fork.
pub fn view(shop: &Shop, fork: &ResolvedFork) -> Option<BuildView> {
    let build = fork.record.build()?;
    let spring = build.spring.as_ref().and_then(|id| shop.spring(&id.text));
    let valving = build.valving.as_ref().and_then(|id| shop.valvings.find(&id.text));
    let fields = shop.catalogue.of(Owner::Fork).filter(|(id, _)| is_built(fork, *id));
    Some(BuildView {
        fork: Link::new(fork_href(&build.fork.text), build.over.clone()),
        made_for: build_line(build),
        spring: spring.map(|spring| Link::new(spring_href(&spring.id.text), spring.title())),
        valving: valving.map(|valving| Link::new(valving_href(&valving.id.text), valving.title.clone())),
        rows: fields.map(|(id, _)| row(shop, fork, build, id)).collect(),
    })
}

fn row(shop: &Shop, fork: &ResolvedFork, build: &Build, id: FieldId) -> BuildRow {
    let field = shop.catalogue.field(id);
    let said = |side: Side| fork.on(side, id)?.value().map(|value| value_text(shop, field, value).0);
    let is = match Side::BOTH.map(said) {
        [Some(left), Some(right)] if left != right => format!("L {left}, R {right}"),
        [left, right] => left.or(right).unwrap_or_default(),
    };
    let change = build.change(&field.key);
    let text = |of: fn(&crate::record::Change) -> String| change.map(of).unwrap_or_default();
    BuildRow {
        value: Link::new(format!("{}#{}", fork_href(&fork.id), field.key), field.title.clone()),
        is,
        was: text(|change| change.instead_of.as_ref().map(|was| was.text.clone()).unwrap_or_default()),
        why: text(|change| change.why.text.clone()),
        date: text(|change| change.date.text.clone()),
    }
}

/// The builds over a fork, each with what it was made for.
pub fn builds_of(shop: &Shop, fork: &str) -> Vec<(Link, String)> {
    let made_for = |record: &SpecRecord| record.build().map(build_line).unwrap_or_default();
    shop.builds_of(fork)
        .map(|record| (Link::new(fork_href(&record.id.text), record.title()), made_for(record)))
        .collect()
}
