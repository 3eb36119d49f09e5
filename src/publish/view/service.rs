//! The page to work from, one for each fork and service, and a procedure in its general form.

use std::sync::Arc;

use serde::Serialize;

use super::Link;

/// A caution, placed before the step it concerns.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct CautionBox {
    /// The caution's id.
    pub id: String,
    /// How grave: `danger`, `warning`, `caution` or `notice`.
    pub signal: String,
    /// The signal word as it is printed: `WARNING`.
    pub word: String,
    /// The hazard in a few words.
    pub title: String,
    /// Hazard, consequence and how to avoid it.
    pub html: Arc<str>,
    /// What was worked out for this fork, such as the force a spring holds: one sentence each.
    pub facts: Vec<String>,
}

/// A box for one reading.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct ReadingBox {
    /// The box's name, unique on the page.
    pub name: String,
    /// `Left`, `Right`, or empty where there is one box only.
    pub side: String,
    /// What it is called, in full, for a screen reader: `Air gap, left leg, mm`.
    pub label: String,
}

/// A value to be measured and written down.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Reading {
    /// The field's key.
    pub key: String,
    /// What is read.
    pub title: String,
    /// In which unit; may be empty.
    pub unit: String,
    /// What it should be with its tolerance, `to be 96 mm ± 2 mm`, or its limit; `as found` where it is read before
    /// anything is done to the fork; may be empty.
    pub target: String,
    /// The state it is read in; may be empty.
    pub state: String,
    /// Left and right, or one box.
    pub boxes: Vec<ReadingBox>,
}

/// A step.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Step {
    /// Its number, counted through the service or the procedure.
    pub number: usize,
    /// Its fragment identifier: `step-12`.
    pub anchor: String,
    /// What to do, with this fork's numbers in it.
    pub html: Arc<str>,
    /// Why; empty where nothing is said.
    pub reason_html: Arc<str>,
    /// Cautions to read before it.
    pub cautions: Vec<CautionBox>,
    /// Values to write down.
    pub readings: Vec<Reading>,
}

/// A part of a procedure: exactly one of the three is there.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Item {
    /// A heading that groups steps.
    pub heading_html: Arc<str>,
    /// Text between steps.
    pub prose_html: Arc<str>,
    /// A step.
    pub step: Option<Step>,
}

/// A procedure inside a service, `section.html`.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Section {
    /// Its place in the service, from 1.
    pub number: usize,
    /// Its fragment identifier.
    pub anchor: String,
    /// What it is called.
    pub title: String,
    /// The part of the job it belongs to.
    pub phase: String,
    /// Whether it is the first of its phase.
    pub opens_phase: bool,
    /// How long it takes; may be empty.
    pub time: String,
    /// `left leg` or `right leg` where it is done on one alone; else empty.
    pub legs: String,
    /// The procedure in its general form.
    pub href: String,
    /// The way to the site's top folder, to be put before every `href`.
    pub root: String,
    /// Its parts in order.
    pub items: Vec<Item>,
}

/// Where a procedure stands on the page, with its text.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SectionText {
    /// Its place in the service, from 1.
    pub number: usize,
    /// Its fragment identifier.
    pub anchor: String,
    /// What it is called.
    pub title: String,
    /// The section: finished HTML, made from `section.html`.
    pub section_html: Arc<str>,
}

/// One thing to take from the shelf.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct PullItem {
    /// Under which name its tick is remembered.
    pub keep: String,
    /// What it is called.
    pub title: String,
    /// How many or how much: `2 ×`; empty: as much as is needed.
    pub count: String,
    /// Its size, or for an oil what the legs take; may be empty.
    pub size: String,
}

/// Things of one kind to take from the shelf.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct PullGroup {
    /// What they are: `Oil`, `Parts`, `Used up`, `Tools`.
    pub title: String,
    /// The things.
    pub items: Vec<PullItem>,
}

/// What to take from the shelf for one job.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct PullView {
    /// Time allowed: `5 h 30 min`; may be empty.
    pub time: String,
    /// Things by kind; a kind of which there are none is not here.
    pub groups: Vec<PullGroup>,
    /// What could not be counted, one sentence each.
    pub missing: Vec<String>,
}

/// When something is due again.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct DueRow {
    /// What is due: `Oil change`.
    pub title: String,
    /// Every how many hours or kilometres: `20000 km`.
    pub every: String,
    /// The second unit; may be empty.
    pub second: String,
    /// From when it is counted; may be empty.
    pub counted: String,
    /// The number to be added to the reading, in the unit, with a point: `20000`.
    pub add: String,
    /// Hours or the unit of distance: `h`, `km`.
    pub unit: String,
    /// Whether it begins anew with this service; on a fork's page always.
    pub renewed: bool,
}

/// When everything is due again.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct DueView {
    /// The units of what is renewed, each once: one reading is asked for in each.
    pub units: Vec<String>,
    /// What is due again.
    pub rows: Vec<DueRow>,
}

/// A number to set with the state it belongs to.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SetTo {
    /// What it is.
    pub name: String,
    /// The number with its unit and tolerance, left and right where they differ.
    pub value: String,
    /// The state it is read in; may be empty.
    pub state: String,
}

/// The page to work from, `service.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ServiceView {
    /// The fork's page.
    pub fork: Link,
    /// The machines it is fitted to, in one line.
    pub machines: String,
    /// What the service is called.
    pub service: String,
    /// How long it takes; may be empty.
    pub time: String,
    /// The fork is a draft.
    pub draft: bool,
    /// `CHANGED` or `UNREVIEWED`, to stand before what is said of the review; empty where nothing is.
    pub review_word: String,
    /// What is to be said of values that nobody vouches for as they are, one sentence; empty where there is
    /// nothing, or where the shop does not review.
    pub review: String,
    /// Which values `check` has a finding open on, one sentence; empty where there is none.
    pub doubt: String,
    /// The bench card; a draft has none.
    pub card: Option<Link>,
    /// Under which name ticks and readings are remembered on the device.
    pub memory: String,
    /// How many steps there are.
    pub steps: usize,
    /// What to take from the shelf.
    pub pull: PullView,
    /// When oil, seals and so on are due again.
    pub due: DueView,
    /// The order drawn, a bar for as long as each state of leg and machine holds; empty in a shop without
    /// conditions.
    pub order_html: String,
    /// The numbers to set, for the bar at the top.
    pub numbers: Vec<SetTo>,
    /// Checks that could not be made, and why.
    pub not_made: Vec<String>,
    /// Its procedures in order.
    pub sections: Vec<SectionText>,
}

/// A procedure in its general form, `procedure.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ProcedureView {
    /// What it is called.
    pub title: String,
    /// The part of the job it belongs to.
    pub phase: String,
    /// The forks it is for, one sentence for each way.
    pub applies: Vec<String>,
    /// How long it takes; may be empty.
    pub time: String,
    /// The legs it is done on, in words, where it is not both; else empty.
    pub legs: String,
    /// What must hold before it: one sentence each.
    pub needs: Vec<String>,
    /// What holds after it: one sentence each.
    pub brings: Vec<String>,
    /// What no longer holds after it: one sentence each.
    pub ends: Vec<String>,
    /// Tools it needs.
    pub tools: Vec<Link>,
    /// Consumables it uses.
    pub consumables: Vec<Link>,
    /// Its parts in order.
    pub items: Vec<Item>,
    /// The pages it is part of: a fork's service each. At most forty.
    pub used_by: Vec<Link>,
    /// How many more there are, in words; empty when none.
    pub more: String,
}
