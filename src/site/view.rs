//! What each page's template receives: finished strings, never numbers to be formatted.
//!
//! A shop's own template gets exactly these values, under three names:
//! `site` ([`Site`], the same on every page), `head` ([`Head`]) and `page` (the page's own view).
//!
//! Every `href` counts from the site's top folder; a template writes `{{ head.root }}{{ link.href }}`.
//! A field whose name ends in `html` is finished, escaped HTML and is written with the filter `safe`.
//! Texts that do not apply are empty, lists that do not apply have no entries.

use std::sync::Arc;

use serde::Serialize;

use crate::book::view::{CardTable, Link, Row};

/// What is the same on every page; the name `site` in a template.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Site {
    /// The shop's name.
    pub name: String,
    /// Where the shop is; may be empty.
    pub place: String,
    /// The address the site is served from; may be empty.
    pub address: String,
    /// Whether there is at least one bench card.
    pub has_cards: bool,
    /// The pages of what the shop has beside its forks: springs, builds, valving, instruments. Those that there are.
    pub stock: Vec<Link>,
    /// Whether this is a working copy that is not published: each card says so.
    pub working: bool,
}

/// What the frame around a page needs; the name `head` in a template.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Head {
    /// The way from this page to the site's top folder: empty, `../` or `../../`.
    pub root: String,
    /// The page's path from the site's top folder.
    pub path: String,
    /// The page's title, without the shop's name.
    pub title: String,
    /// What stands at the head of each printed sheet: what it is of, and the code by which it can be asked for.
    pub printed: String,
    /// One sentence for a list of search results.
    pub description: String,
    /// Which kind of page: `home`, `fork`, `service`, `card`, …: the name of its template.
    pub kind: String,
    /// The way here, without the page itself.
    pub crumbs: Vec<Link>,
}

/// An assembly.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct GroupView<R = Row> {
    /// The group's key, its fragment identifier after `group-`.
    pub key: String,
    /// What a person calls it.
    pub title: String,
    /// Its lines.
    pub rows: Vec<R>,
}

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
    /// It stood in full before on this page: its text opens where it is asked for.
    pub brief: bool,
}

/// A box for one reading.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct ReadingBox {
    /// The box's name, the same wherever the step stands: `oil.air_gap-left`.
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
    /// Whether it is read before anything is done to the fork.
    pub found: bool,
    /// Left and right, or one box.
    pub boxes: Vec<ReadingBox>,
    /// What to do about what was read.
    pub tables: Vec<CardTable>,
    /// Where it is read: finished SVG, or empty.
    pub drawing_html: String,
    /// Whether it is the middle of three readings, with a box for each.
    pub settled: bool,
    /// The shop's torque wrenches: first those that read this torque well.
    pub wrenches: Vec<WrenchView>,
    /// What is said of the wrenches: which read it, or that none does; and what to set with a crowfoot. May be empty.
    pub wrench_notes: Vec<String>,
}

/// A torque wrench of the shop.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct WrenchView {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// The last day of its calibration, as year, month and day; may be empty.
    pub until: String,
    /// What is said where it is used after that day; may be empty.
    pub after: String,
    /// The torques it reads well at: `10..50 N·m`.
    pub reads: String,
    /// The least of them in N·m.
    pub least: String,
    /// The greatest of them in N·m.
    pub greatest: String,
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
    /// What is drawn of the work: finished SVG, or a sentence on what is missing for it.
    pub drawings: Vec<String>,
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
    /// The same under the ids that it had, with blanks between; may be empty.
    pub was: String,
    /// The way to the site's top folder, to be put before every `href`.
    pub root: String,
    /// Its parts in order.
    pub items: Vec<Item>,
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
    /// What they are: `Oil`, `Parts`, `Consumables`, `Tools`.
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
    /// The parts that go in new.
    pub fitted: Vec<PartToFit>,
}

/// A part that goes in new.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct PartToFit {
    /// Under which name it is remembered on the device.
    pub keep: String,
    /// How a job's file calls it: the id of its record, else its title.
    pub part: String,
    /// What it is called.
    pub title: String,
    /// How many: `2 ×`; may be empty.
    pub count: String,
    /// Its size; may be empty.
    pub size: String,
    /// Its part number; may be empty.
    pub number: String,
}

/// A term of the trade.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Term {
    /// Its fragment identifier.
    pub id: String,
    /// The term.
    pub term: String,
    /// What it means.
    pub means: String,
}
