//! A finding: what is wrong, where, what it does at the bench, what to write instead.

use std::io::{self, Read, Write};

use borsh::{BorshDeserialize, BorshSerialize};

use super::rule::Rule;
use super::severity::Severity;
use crate::text::Span;

impl Rule {
    /// A finding of a rule that has one severity, or whose warning weighs more where the number can hurt somebody.
    pub(crate) fn at(&'static self, span: Span, message: impl Into<String>) -> Finding {
        let weighed = self.acceptable && self.severities == [Severity::Warning, Severity::Error];
        debug_assert!(
            weighed || self.severities.len() == 1,
            "`{}` says how bad it is by `graded`",
            self.code
        );
        self.graded(self.severities[0], span, message)
    }

    /// A finding of a rule whose severity depends on the record: a draft is warned, a published fork stopped.
    pub(crate) fn graded(
        &'static self,
        severity: Severity,
        span: Span,
        message: impl Into<String>,
    ) -> Finding {
        debug_assert!(self.severities.contains(&severity), "`{}` is no {}", self.code, severity.word());
        Finding::new(self, severity, span, message)
    }
}

/// A second place that a finding is about, with what it says there.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, BorshSerialize, BorshDeserialize)]
pub struct Label {
    /// The place.
    pub span: Span,
    /// What stands there, a few words.
    pub text: String,
}

/// Something to tell a person about their sources: what is wrong, where, what it would mean at the
/// bench, and what to write instead. One sentence each.
#[derive(Debug, Clone, PartialEq, Eq, BorshSerialize, BorshDeserialize)]
pub struct Finding {
    /// The rule it is a finding of.
    #[borsh(serialize_with = "write_rule", deserialize_with = "read_rule")]
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

fn write_rule<W: Write>(rule: &&'static Rule, to: &mut W) -> io::Result<()> {
    BorshSerialize::serialize(rule.code, to)
}

fn read_rule<R: Read>(from: &mut R) -> io::Result<&'static Rule> {
    let code = String::deserialize_reader(from)?;
    Rule::of(&code).ok_or_else(|| io::Error::from(io::ErrorKind::InvalidData))
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
    ///
    /// ```
    /// use benchleaf::check_shop;
    /// use benchleaf::text::Memory;
    ///
    /// // A shop without a fork is told so.
    /// let checked = check_shop(&Memory::default());
    /// assert!(checked.findings.iter().any(|finding| finding.code() == "no-forks"));
    /// ```
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
