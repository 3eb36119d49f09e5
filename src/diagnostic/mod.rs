//! One finding type, and one file for each format it is written in.

mod github;
mod json;
mod limit;
mod order;
mod place;
mod rule;
mod sarif;
mod suggest;
mod text;

pub(crate) use github::github;
pub use json::SCHEMA;
pub(crate) use json::json;
pub(crate) use limit::limit;
pub use order::order;
pub use place::{Place, Places};
pub(crate) use rule::in_words;
pub use rule::{Rule, rules};
pub use sarif::sarif;
pub(crate) use suggest::{did_you_mean, nearest, nearest_all};
pub(crate) use text::summary;
pub use text::text;

use crate::text::Span;

/// How bad a finding is. An error is wrong or dangerous and stops publishing; a warning needs eyes;
/// a note is worth knowing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Wrong or dangerous: nothing is published.
    Error,
    /// Needs a person's eyes before it is relied on.
    Warning,
    /// Worth knowing; nothing is wrong.
    Note,
}

impl Severity {
    /// The word a person reads.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        }
    }
}

/// A second place that a finding is about, with what it says there.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Label {
    /// The place.
    pub span: Span,
    /// What stands there, a few words.
    pub text: String,
}

/// Something to tell a person about their sources: what is wrong, where, what it would mean at the
/// bench, and what to write instead. One sentence each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The rule it is a finding of.
    pub rule: &'static Rule,
    /// How bad it is.
    pub severity: Severity,
    /// Where, underlined in the report.
    pub span: Span,
    /// What is wrong.
    pub message: String,
    /// What it would do at the bench; empty when there is nothing to add.
    pub bench: String,
    /// What to write instead; empty when there is nothing to offer.
    pub instead: String,
    /// The lines of the record that are meant by it, to be filled in; none where the sentence says it all.
    pub lines: Vec<String>,
    /// Other places that belong to it.
    pub also: Vec<Label>,
    /// The fork models a finding in a family reaches, by id.
    pub reaches: Vec<String>,
}

impl Finding {
    /// A finding with its place and message; the rest is added with the methods below.
    pub(crate) fn new(
        rule: &'static Rule,
        severity: Severity,
        span: Span,
        message: impl Into<String>,
    ) -> Self {
        Finding {
            rule,
            severity,
            span,
            message: message.into(),
            bench: String::new(),
            instead: String::new(),
            lines: Vec::new(),
            also: Vec::new(),
            reaches: Vec::new(),
        }
    }

    /// The code of its rule.
    pub fn code(&self) -> &'static str {
        self.rule.code
    }

    /// Says what it would do at the bench.
    pub(crate) fn bench(mut self, text: impl Into<String>) -> Self {
        self.bench = text.into();
        self
    }

    /// Says what to write instead.
    pub(crate) fn instead(mut self, text: impl Into<String>) -> Self {
        self.instead = text.into();
        self
    }

    /// Adds the lines of the record to be filled in.
    pub(crate) fn lines(mut self, lines: Vec<String>) -> Self {
        self.lines = lines;
        self
    }

    /// Adds a second place.
    pub(crate) fn also(mut self, span: Span, text: impl Into<String>) -> Self {
        self.also.push(Label { span, text: text.into() });
        self
    }

    /// Adds the models it reaches.
    pub(crate) fn reaches(mut self, ids: Vec<String>) -> Self {
        self.reaches = ids;
        self
    }
}

/// How many findings there are of each severity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Count {
    /// How many errors.
    pub errors: usize,
    /// How many warnings.
    pub warnings: usize,
    /// How many notes.
    pub notes: usize,
}

impl Count {
    /// Counts them.
    pub(crate) fn of(findings: &[Finding]) -> Self {
        findings.iter().fold(Count::default(), |mut count, finding| {
            match finding.severity {
                Severity::Error => count.errors += 1,
                Severity::Warning => count.warnings += 1,
                Severity::Note => count.notes += 1,
            }
            count
        })
    }
}

/// A path inside the shop as a path inside the repository that holds the shop in `folder`.
fn in_folder(folder: &str, path: &str) -> String {
    let folder = folder.trim_end_matches('/');
    if folder.is_empty() || folder == "." { path.to_owned() } else { format!("{folder}/{path}") }
}
