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

use super::figure::Drawing;
use crate::book::view::{CardTable, DueView, Link, Row, VouchView};

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
    /// One sentence for a list of search results.
    pub description: String,
    /// Which kind of page: `home`, `fork`, `service`, `card`, …: the name of its template.
    pub kind: String,
    /// The way here, without the page itself.
    pub crumbs: Vec<Link>,
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
    pub due: DueView,
    /// What else uses this oil or seal.
    pub shared: Vec<SharedPart>,
    /// Who vouches for its values.
    pub review: VouchView,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// Tables from a reading to what to do about it.
    pub tables: Vec<CardTable>,
    /// Charts and the drawing of the leg, as finished SVG.
    pub figures: Vec<Drawing>,
    /// Checks that could not be made, and why: one sentence each.
    pub not_made: Vec<String>,
    /// Warnings that concern this fork: one sentence each.
    pub warnings: Vec<String>,
    /// All bench cards of this fork to print in one go; empty where there are fewer than two.
    pub binder: String,
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

/// Several cards to print in one go, `binder.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct BinderView {
    /// What it holds: `All cards, volume 1 of 2`.
    pub title: String,
    /// How many sheets, in words.
    pub sheets: String,
    /// The cards: finished HTML, made from `card-sheet.html`.
    pub cards_html: Vec<String>,
}

/// A page with one bench card, `card.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardPageView {
    /// The page to work from.
    pub page: Link,
    /// The fork's page.
    pub fork_page: Link,
    /// The card: finished HTML, made from `card-sheet.html`.
    pub card_html: String,
}

/// The list of all cards, `cards.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardsView {
    /// Binders of the whole shop.
    pub binders: Vec<Link>,
    /// The cards, each with the fork it belongs to.
    pub cards: Vec<(Link, Link)>,
}

/// A machine, or a fork that is fitted to none, as the search and the lists show it.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ModelRow {
    /// The fork's page.
    pub href: String,
    /// The machine's model; for a fork without machines the fork's own title.
    pub machine: String,
    /// The years, such as `2016–2019`.
    pub years: String,
    /// Maker and model of the fork.
    pub fork: String,
    /// The fork is a draft.
    pub draft: bool,
}

/// A maker of machines with what it made. As the view of `maker.html` it has a page of its own.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct MakerView {
    /// The maker's name.
    pub maker: String,
    /// The maker's own page.
    pub href: String,
    /// Its first letters as a fragment identifier.
    pub anchor: String,
    /// How many machines, in words: `3 machines`.
    pub count: String,
    /// Its machines by model and year; on the home page of a large shop there are none.
    pub models: Vec<ModelRow>,
}

/// The home page, `home.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct HomeView {
    /// How many forks there are, in words: `10 forks`.
    pub forks: String,
    /// How many machines, in words.
    pub machines: String,
    /// The makers of machines, by name.
    pub makers: Vec<MakerView>,
    /// Whether the makers' machines are listed here, not only on the makers' pages.
    pub listed: bool,
    /// Forks that are fitted to no machine on record.
    pub loose: Vec<ModelRow>,
}

/// One entry of the search index, `assets/search-index.js`, which is a list of such entries.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SearchEntry {
    /// Maker and model of the machine; empty for a fork without machines.
    pub m: String,
    /// First year, 0 where there is none.
    pub a: u16,
    /// Last year, 0 where there is none.
    pub b: u16,
    /// Maker and model of the fork.
    pub f: String,
    /// The fork's id: its page is `forks/ID.html`.
    pub i: String,
}

/// An oil in the list.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OilRow {
    /// Its page.
    pub href: String,
    /// Maker and product.
    pub title: String,
    /// The text on the bottle; may be empty.
    pub label: String,
    /// Viscosity at 40 °C; may be empty.
    pub viscosity: String,
    /// Viscosity index; may be empty.
    pub index: String,
    /// How many forks use it, in words.
    pub used: String,
    /// A draft.
    pub draft: bool,
}

/// All oils, `oils.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OilsView {
    /// The oils.
    pub oils: Vec<OilRow>,
    /// Viscosity against temperature, all oils together, as finished SVG.
    pub chart: Option<Drawing>,
}

/// An oil, `oil.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OilView {
    /// Maker and product.
    pub title: String,
    /// The text on the bottle; may be empty.
    pub label: String,
    /// A draft.
    pub draft: bool,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// Its values.
    pub groups: Vec<GroupView>,
    /// What is worked out from its viscosities: its class, index and viscosity at working temperature.
    pub worked_out: Vec<String>,
    /// The oils that stand in for it, the nearest first.
    pub stand_ins: Vec<StandInRow>,
    /// The blend of two other oils that comes to its viscosity at working temperature, a sentence; may be empty.
    pub blend: String,
    /// The temperature the comparison is made at, such as `50 °C`.
    pub working: String,
    /// Who vouches for its values.
    pub review: VouchView,
    /// The forks that use it.
    pub used_by: Vec<Link>,
}

/// An oil that stands in for another.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct StandInRow {
    /// Its page.
    pub oil: Link,
    /// Its viscosity over the wanted one's, such as `1.04`.
    pub ratio: String,
    /// The same in words, such as `4 % thicker`.
    pub words: String,
}

/// A tool or consumable.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ToolRow {
    /// Its id, which is its fragment identifier.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// What for.
    pub use_for: String,
    /// Its size; may be empty.
    pub size: String,
    /// How it is counted; may be empty.
    pub unit: String,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// The procedures that need it.
    pub used_by: Vec<Link>,
}

/// Tools and consumables, `tools.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ToolsView {
    /// Tools.
    pub tools: Vec<ToolRow>,
    /// Consumables.
    pub consumables: Vec<ToolRow>,
}

/// Cautions, worst first, `cautions.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CautionsView {
    /// Each caution with the procedures it stands in.
    pub cautions: Vec<(CautionBox, Vec<Link>)>,
}

/// A procedure in the list.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ProcedureRow {
    /// Its page.
    pub href: String,
    /// What it is called.
    pub title: String,
    /// How long it takes; may be empty.
    pub time: String,
    /// How many steps, in words.
    pub steps: String,
}

/// Procedures by the part of the job, `procedures.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ProceduresView {
    /// Each part of the job with its procedures.
    pub phases: Vec<(String, Vec<ProcedureRow>)>,
    /// Services: title and how many procedures, in words.
    pub services: Vec<(String, String)>,
}

/// A field in the field reference.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct FieldRow {
    /// Its key, which is its fragment identifier.
    pub key: String,
    /// What a person calls it.
    pub title: String,
    /// What it holds, in words: `a length; mm, in`.
    pub holds: String,
    /// What the bench does with it and what it counts for, in words.
    pub role: String,
    /// Safety-critical.
    pub safety: bool,
    /// Declared by the shop.
    pub by_shop: bool,
    /// How it is measured.
    pub measured: String,
    /// What a wrong value does.
    pub wrong: String,
    /// The forks it is for, in words; empty: every fork.
    pub applies: Vec<String>,
    /// When it must be given, in words.
    pub required: String,
    /// Plausible bands, in words.
    pub bands: Vec<String>,
    /// The parts of the state it must say.
    pub state: Vec<String>,
    /// How it may be written.
    pub examples: Vec<String>,
}

/// The field reference, `fields.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct FieldsView {
    /// The groups: key, title, whose record, fields.
    pub groups: Vec<(String, String, String, Vec<FieldRow>)>,
    /// The choices that make up a fork: key, title, help, options as id and title.
    pub choices: Vec<ChoiceEntry>,
}

/// A choice of the field reference: key, title, help, options as id and title.
pub type ChoiceEntry = (String, String, String, Vec<(String, String)>);

/// A unit.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct UnitRow {
    /// Its symbol.
    pub symbol: String,
    /// Its name.
    pub name: String,
    /// What one of it is, exactly, in the first unit: `25.4 mm`.
    pub is: String,
    /// Other spellings that are accepted.
    pub spellings: String,
}

/// The units of one dimension.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct UnitGroup {
    /// The dimension's id.
    pub id: String,
    /// What a person calls it.
    pub title: String,
    /// Its units.
    pub units: Vec<UnitRow>,
}

/// Units, `units.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct UnitsView {
    /// By dimension.
    pub groups: Vec<UnitGroup>,
}

/// A value that needs eyes.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ReviewRow {
    /// The record it is in.
    pub record: Link,
    /// The value's line.
    pub value: Link,
    /// The value.
    pub text: String,
    /// Why it is listed; may be empty.
    pub why: String,
    /// Who answers for it; may be empty.
    pub by: String,
}

/// A warning or note of the run.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct FindingRow {
    /// `warning` or `note`.
    pub severity: String,
    /// The rule's code.
    pub code: String,
    /// File and line.
    pub place: String,
    /// What is wrong.
    pub message: String,
    /// What it does at the bench; may be empty.
    pub bench: String,
    /// What to write instead, as HTML: what stands in a source as code; may be empty.
    pub instead_html: String,
}

/// A fork with safety-critical values that nobody has reviewed.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct UnreviewedRow {
    /// The fork.
    pub record: Link,
    /// The first of the values.
    pub first: Link,
    /// How many there are, in words.
    pub values: String,
    /// How many of them rest on a single source, in words; may be empty.
    pub single: String,
}

/// A card that is current.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CodeRow {
    /// The card's code.
    pub card: String,
    /// The code of its values.
    pub values: String,
    /// The card's page, with fork and service.
    pub link: Link,
}

/// A card that was released and is current no more.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct OldCodeRow {
    /// The card's code.
    pub card: String,
    /// The code of its values.
    pub values: String,
    /// Fork and service.
    pub name: String,
    /// The day it was released.
    pub date: String,
    /// What became of it, one sentence.
    pub became: String,
    /// The page of the card that replaced it; may be empty.
    pub page: String,
}

/// The look-up of codes, `codes.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CodesView {
    /// The cards as they are.
    pub current: Vec<CodeRow>,
    /// Released cards that are current no more, the latest release first.
    pub old: Vec<OldCodeRow>,
}

/// The review list, `review.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ReviewView {
    /// Forks and oils that are drafts.
    pub drafts: Vec<Link>,
    /// Values that changed since they were reviewed, safety-critical ones first.
    pub changed: Vec<ReviewRow>,
    /// Safety-critical values that rest on an estimate.
    pub critical_estimates: Vec<ReviewRow>,
    /// Published forks with safety-critical values that nobody has reviewed, the most first.
    pub unreviewed: Vec<UnreviewedRow>,
    /// Other values that rest on an estimate.
    pub estimates: Vec<ReviewRow>,
    /// Findings that were let stand.
    pub accepted: Vec<ReviewRow>,
    /// Warnings and notes.
    pub findings: Vec<FindingRow>,
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

/// The glossary, `glossary.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct GlossaryView {
    /// The terms by name.
    pub terms: Vec<Term>,
}

/// A rule, `rule.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct RuleView {
    /// The code behind its findings.
    pub code: String,
    /// What it finds, what that does at the bench and what to write instead: finished HTML.
    pub text_html: String,
}

/// All rules, `rules.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct RulesView {
    /// The rules by code.
    pub rules: Vec<Link>,
}

/// The page for an address that does not exist, `404.html`. It has nothing of its own.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct NotFoundView {}
