//! Lists and references: oils, tools, cautions, procedures, fields, units, glossary, review.

use serde::Serialize;

use super::{CautionBox, GroupView, Link};

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
    pub chart: Option<crate::publish::figure::Drawing>,
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
    pub review: super::VouchView,
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
