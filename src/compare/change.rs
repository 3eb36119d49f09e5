//! What changed between two shops, as data.

use crate::diagnostic::Severity;

/// A value on one side of the comparison.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Figure {
    /// In the shop's first and second unit, or as written.
    pub shown: String,
    /// The state it is measured in, the thread and what else belongs to it; empty for most.
    pub state: String,
    /// Where it comes from, in words.
    pub sources: Vec<String>,
    /// Whether it rests on nothing better than an estimate.
    pub estimate: bool,
}

/// Who vouched for a value before a change and who does after it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct ReviewChange {
    /// Before, in words.
    pub old: String,
    /// After, in words.
    pub new: String,
    /// The models it is so for, where a family says the value.
    pub reaches: Vec<String>,
}

/// A value that changed, came or went.
#[derive(Debug, Clone, PartialEq)]
pub struct ValueChange {
    /// The record that says it: `fork tarn-41`, `family tarn-road`, `oil ember-15`.
    pub record: String,
    /// The field: `oil.air_gap`.
    pub key: String,
    /// What a person calls it.
    pub title: String,
    /// `left` or `right` where the legs differ; else empty.
    pub side: &'static str,
    /// A wrong value can hurt someone.
    pub safety: bool,
    /// Before; `None` where there was none.
    pub old: Option<Figure>,
    /// After; `None` where there is none.
    pub new: Option<Figure>,
    /// The difference, signed: in the unit that the card prints, and in the one that the new value is written in.
    pub absolute: Option<String>,
    /// The difference in per cent of the old value, signed.
    pub relative: Option<String>,
    /// What it does at the bench, a sentence each.
    pub bench: Vec<String>,
    /// The slip that would explain the new number.
    pub slip: Option<String>,
    /// The models it reaches, where a family says it.
    pub reaches: Vec<String>,
    /// Who vouches for it before and after; none where neither shop reviews.
    pub review: Vec<ReviewChange>,
}

/// A record that came, went, was renamed, or changed in what is not a value.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct RecordChange {
    /// The record: `fork tarn-41`.
    pub record: String,
    /// What happened, in words.
    pub what: String,
}

/// What a reviewer has to see of a fork that is new.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NewFork {
    /// The record: `fork tarn-41`.
    pub record: String,
    /// What there is to see, by kind.
    pub parts: Vec<NewPart>,
}

/// A kind of what there is to see of a new fork.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NewPart {
    /// What it is: `Can hurt somebody, said of this fork`.
    pub title: String,
    /// A line each.
    pub lines: Vec<String>,
}

/// What the changes come to on one fork or oil: a result of the arithmetic before and after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// The fork or oil: `fork tarn-41`.
    pub record: String,
    /// Which result, with the leg where the legs differ.
    pub title: String,
    /// Before.
    pub old: String,
    /// After.
    pub new: String,
}

/// A guard of a procedure, caution, condition or service that went or came: what must hold, what is warned of, what is
/// linked, a step.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct GuardChange {
    /// The record: `procedure crack-caps`.
    pub record: String,
    /// Nobody is held back, warned or told by it any more.
    pub lost: bool,
    /// What changed, to follow the record's name: "no longer needs `air-out` (the air is let out)".
    pub what: String,
}

/// A change of a procedure, a caution, a condition or a service. What was added has no `old`, what was removed no `new`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextChange {
    /// The record: `procedure set-air-gap`.
    pub record: String,
    /// What changed: `step 3`, `title`, `signal word`.
    pub part: String,
    /// Somebody could be hurt by a wrong one: a step, a caution's word or text, what a condition says.
    pub safety: bool,
    /// Before.
    pub old: Option<String>,
    /// After.
    pub new: Option<String>,
}

/// A finding on one side only.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct FindingChange {
    /// How bad.
    pub severity: Severity,
    /// Its code.
    pub code: String,
    /// Its file.
    pub path: String,
    /// What is wrong.
    pub message: String,
}

/// A bench card of the old shop that no longer says what the sources say.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stale {
    /// The fork.
    pub fork: String,
    /// The service.
    pub service: String,
    /// The code printed on it.
    pub card: String,
    /// The code of the values printed on it.
    pub values: String,
    /// The code of the card that takes its place; `None` where there is none.
    pub now: Option<String>,
}

/// Everything that changed between two shops.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Comparison {
    /// Records that came, went or changed.
    pub records: Vec<RecordChange>,
    /// Forks that are new, with what a reviewer has to see of each.
    pub added: Vec<NewFork>,
    /// Values, safety-critical ones first within a record.
    pub values: Vec<ValueChange>,
    /// What they come to, by fork.
    pub outcomes: Vec<Outcome>,
    /// Guards that went or came, those that went first within a record.
    pub guards: Vec<GuardChange>,
    /// Procedures, cautions, conditions and services, by step.
    pub texts: Vec<TextChange>,
    /// Findings the new shop has and the old one had not.
    pub found: Vec<FindingChange>,
    /// Findings that are gone.
    pub withdrawn: Vec<FindingChange>,
    /// Cards printed from the old shop that are now wrong.
    pub stale: Vec<Stale>,
    /// Pages of the old shop's site that read differently or are gone.
    pub pages: Vec<String>,
}

impl Comparison {
    /// Whether nothing changed that a reader of pages and cards could notice.
    pub(crate) fn is_empty(&self) -> bool {
        *self == Comparison::default()
    }

    /// Whether the change brings a new error.
    pub(crate) fn brings_errors(&self) -> bool {
        self.found.iter().any(|finding| finding.severity == Severity::Error)
    }
}
