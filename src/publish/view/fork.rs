//! A fork's page.

use std::sync::Arc;

use serde::Serialize;

use super::Link;

/// A name and what belongs to it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Pair {
    /// The name, such as `Thread`.
    pub name: String,
    /// What belongs to it, such as `M8 × 1.25`.
    pub value: String,
}

/// A choice that makes up the fork.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ChoiceRow {
    /// What was to be chosen.
    pub title: String,
    /// What it is.
    pub value: String,
}

/// A machine the fork is fitted to.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct MachineRow {
    /// Maker and model.
    pub name: String,
    /// The years, such as `2016–2019`.
    pub years: String,
    /// The page of its maker.
    pub href: String,
}

/// A source a value rests on.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SourceRow {
    /// What it is: `maker's sheet`, `measured in the shop`, `common practice` or `estimate`.
    pub kind: String,
    /// Its title.
    pub title: String,
    /// By whom; may be empty.
    pub by: String,
    /// When, as written; may be empty.
    pub date: String,
    /// Whether it is no better than an estimate.
    pub estimate: bool,
}

/// A finding that somebody let stand.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Accepted {
    /// What the rule finds, in words: `Outside the usual band`.
    pub finding: String,
    /// Why it stands.
    pub reason: String,
    /// Who answers for it, and until when where that was said.
    pub by: String,
}

/// A value as it holds for both legs, for one leg, or for the whole fork.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Figure {
    /// `left` or `right` where the legs differ, else empty.
    pub side: String,
    /// The value as written, with its tolerance and unit: `96 ± 2 mm`.
    pub main: String,
    /// The same in the second unit, without brackets; may be empty.
    pub second: String,
    /// Whether the second unit was worked out here and not written by the shop.
    pub worked_out: bool,
    /// The state it is measured in, as one sentence without a full stop; may be empty.
    pub state: String,
    /// What else is said: thread, thread state, order, …
    pub details: Vec<Pair>,
    /// The sources it rests on.
    pub sources: Vec<SourceRow>,
    /// The family it is inherited from.
    pub inherited: Option<Link>,
    /// Rests on nothing better than an estimate.
    pub estimate: bool,
    /// `check` has a finding open on it: the number may be wrong.
    pub doubt: bool,
    /// The record says that there is no such part.
    pub not_fitted: bool,
    /// The page of what it names, an oil or a tool.
    pub link: Option<Link>,
    /// What the shop says about it; may be empty.
    pub note: String,
    /// Findings that were let stand.
    pub accepted: Vec<Accepted>,
}

/// One line of the fork's page.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Row {
    /// The field's key, which is also the line's fragment identifier: `oil.air_gap`.
    pub key: String,
    /// What a person calls it.
    pub title: String,
    /// Its entry in the field reference.
    pub field_href: String,
    /// `each leg`, `both legs together` or empty.
    pub per: String,
    /// `set`, `inspected` or `fitted`.
    pub role: String,
    /// Safety-critical.
    pub safety: bool,
    /// Any of its figures rests on an estimate.
    pub estimate: bool,
    /// `IN DOUBT` where `check` has a finding open on it, `CHANGED` since it was reviewed, `UNREVIEWED` where it is safety-critical and nobody has; else empty.
    pub mark: String,
    /// Who reviewed it and when, one sentence; empty in a shop that does not review.
    pub review: String,
    /// One figure, or left and right.
    pub figures: Arc<[Figure]>,
}

/// An assembly.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct GroupView {
    /// The group's key, its fragment identifier after `group-`.
    pub key: String,
    /// What a person calls it.
    pub title: String,
    /// Its lines.
    pub rows: Vec<Row>,
}

/// A service of this fork.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ServiceRow {
    /// The page to work from.
    pub href: String,
    /// What it is called.
    pub title: String,
    /// How long it takes; may be empty.
    pub time: String,
    /// What it is good for; may be empty.
    pub notes: String,
    /// How many steps, in words.
    pub steps: String,
    /// The bench card; a draft has none.
    pub card: Option<Link>,
}

/// Other forks that share an oil or a seal with this one.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SharedPart {
    /// What is shared: `Oil: Heron Fork 15`, `Oil seal 43 × 55 × 11 mm`.
    pub what: String,
    /// The other forks.
    pub forks: Vec<Link>,
}

/// Who vouches for the values of a fork or an oil.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct VouchView {
    /// Whether this shop reviews at all.
    pub used: bool,
    /// `CHANGED` or `UNREVIEWED`, to stand before the warning; empty where there is none.
    pub word: String,
    /// What is to be said of safety-critical values that nobody vouches for as they are; empty where there is
    /// nothing.
    pub warning: String,
    /// Who reviewed how many values and when, the last first: one sentence each.
    pub by: Vec<String>,
    /// What changed since it was reviewed: the value's line, and who had reviewed it.
    pub changed: Vec<(Link, String)>,
    /// Safety-critical values that nobody has reviewed.
    pub never: Vec<Link>,
}

/// A fork's page, `fork.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ForkView {
    /// The fork's id.
    pub id: String,
    /// Who made the fork.
    pub maker: String,
    /// Its model.
    pub model: String,
    /// Maker and model.
    pub title: String,
    /// A draft: values may be missing or wrong, there is no card.
    pub draft: bool,
    /// Its family's title; `None` without a family.
    pub family: Option<String>,
    /// The machines it is fitted to.
    pub machines: Vec<MachineRow>,
    /// What makes it up.
    pub choices: Vec<ChoiceRow>,
    /// The numbers that are set at the bench, to be seen first.
    pub numbers: Vec<Row>,
    /// All values, by assembly.
    pub groups: Vec<GroupView>,
    /// Its services.
    pub services: Vec<ServiceRow>,
    /// When oil, seals and so on are due again.
    pub due: super::DueView,
    /// What else uses this oil or seal.
    pub shared: Vec<SharedPart>,
    /// Who vouches for its values.
    pub review: VouchView,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// Tables from a reading to what to do about it.
    pub tables: Vec<super::CardTable>,
    /// Charts and the drawing of the leg, as finished SVG.
    pub figures: Vec<crate::publish::figure::Drawing>,
    /// Checks that could not be made, and why: one sentence each.
    pub not_made: Vec<String>,
    /// Warnings that concern this fork: one sentence each.
    pub warnings: Vec<String>,
    /// All bench cards of this fork to print in one go; empty where there are fewer than two.
    pub binder: String,
}
