//! What the templates of cards and pages receive alike: finished strings, never numbers to be formatted.
//!
//! Every `href` counts from the site's top folder; a template writes `{{ head.root }}{{ link.href }}`.
//! Texts that do not apply are empty, lists that do not apply have no entries.

use std::sync::Arc;

use serde::Serialize;

/// A link inside the site.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Link {
    /// Where it leads, from the site's top folder.
    pub href: String,
    /// The visible text.
    pub text: String,
}

impl Link {
    /// A link.
    pub fn new(href: impl Into<String>, text: impl Into<String>) -> Self {
        Link { href: href.into(), text: text.into() }
    }
}

/// A name and what belongs to it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Pair {
    /// The name, such as `Thread`.
    pub name: String,
    /// What belongs to it, such as `M8 × 1.25`.
    pub value: String,
}

/// A source a value rests on.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
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
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Accepted {
    /// What the rule finds, in words: `Outside the usual band`.
    pub finding: String,
    /// Why it stands.
    pub reason: String,
    /// Who answers for it, and until when where that was said.
    pub by: String,
}

/// A value as it holds for both legs, for one leg, or for the whole fork.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Figure {
    /// `left` or `right` where the legs differ, else empty.
    pub side: String,
    /// The value as written, with its tolerance and unit: `96 ± 2 mm`.
    pub main: String,
    /// The same in the second unit, without brackets; may be empty.
    pub second: String,
    /// Whether one of the two units was worked out here and not written by the shop.
    pub worked_out: bool,
    /// As the record has it.
    pub written: String,
    /// The state it is measured in, as one sentence without a full stop; may be empty.
    pub state: String,
    /// How it is counted, or what is on the thread: without it a step's number can be read in two ways. May be empty.
    pub how: String,
    /// Which source is silent, and who answers for what is done instead; empty where the value is known.
    pub unknown: String,
    /// The value is unknown, and no approver has said what is done instead.
    pub silent: bool,
    /// What other sources say: which, and its figure.
    pub also_said: Vec<Pair>,
    /// What else is said: thread, thread state, order, …
    pub details: Vec<Pair>,
    /// The sources it rests on.
    pub sources: Vec<SourceRow>,
    /// The family it is inherited from, without an address; or the spring that a build was fitted with.
    pub inherited: Option<Link>,
    /// Rests on nothing better than an estimate.
    pub estimate: bool,
    /// `check` has a finding open on it: the number may be wrong.
    pub doubt: bool,
    /// It is taken over from the family, and nobody compared it with a sheet of this very fork: the sign stands
    /// beside it.
    pub taken_over: bool,
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
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
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
    /// `IN DOUBT` where `check` has a finding open on it, `CHANGED` since it was reviewed, `UNREVIEWED` where it is safety-critical and nobody has, `BUILD` where it is a build's and not the fork's; else empty.
    pub mark: String,
    /// Who reviewed it and when, one sentence; empty in a shop that does not review.
    pub review: String,
    /// One figure, or left and right.
    pub figures: Arc<[Figure]>,
}

/// What a fork takes over from its family and nobody compared with a sheet of this very fork.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct TakenOver {
    /// The sign that stands beside each such number; empty where there is none.
    pub sign: String,
    /// What the sign means here, one sentence.
    pub sentence: String,
    /// The values, and the kind of fork where choices are among it.
    pub values: Vec<Link>,
    /// What an approver lets stand of the fork as a whole, such as a family of another maker: a sentence each, with
    /// the reason and who answers for it.
    pub accepted: Vec<String>,
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

/// When something is next due.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct DueRow {
    /// What is due: `Oil change`.
    pub title: String,
    /// The same, where there is little room.
    pub short: String,
    /// Every how many hours or kilometres: `20000 km`.
    pub every: String,
    /// The second unit; may be empty.
    pub second: String,
    /// From when it is counted; may be empty.
    pub counted: String,
    /// The number to be added to the reading, in the unit, with a point: `20000`.
    pub add: String,
    /// Hours or the unit of distance: `h`, `km`; months by the calendar.
    pub unit: String,
    /// It is counted from a day and not from a reading of the machine.
    pub calendar: bool,
    /// Whether it begins anew with this service; on a fork's page always.
    pub renewed: bool,
}

/// When everything is next due.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct DueView {
    /// The units of what is renewed, each once: one reading is asked for in each.
    pub units: Vec<String>,
    /// What is next due.
    pub rows: Vec<DueRow>,
}

/// A table to read corrections off.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct CardTable {
    /// What it is for.
    pub title: String,
    /// What it assumes; may be empty.
    pub note: String,
    /// The heads of its columns.
    pub heads: Vec<String>,
    /// Its rows.
    pub rows: Vec<Vec<String>>,
}

/// A number to set, for both legs or for one.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardFigure {
    /// `L`, `R`, or empty for both.
    pub side: String,
    /// The number with its unit: `96 mm`.
    pub main: String,
    /// Its tolerance: `± 2 mm`; may be empty.
    pub tolerance: String,
    /// The second unit; may be empty.
    pub second: String,
}
