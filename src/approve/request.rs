//! What is asked for, and why it is not done.

use crate::diagnostic::Finding;

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub struct Request<'r> {
    /// The record: its id, or `fork:ID`, `family:ID`, `oil:ID`.
    pub id: &'r str,
    /// Who reviewed.
    pub by: &'r str,
    /// The day, as `2026-03-02`.
    pub date: &'r str,
    /// The values reviewed, by key; none: all that can be and that nobody vouches for as they are.
    pub values: &'r [String],
    /// With no values named: also those that somebody vouches for already.
    pub again: bool,
    /// The fork's own source, by id, with which what it takes over from its family was compared; none: what stands
    /// in the record was reviewed.
    pub compared: Option<&'r str>,
}

/// Why it is not done.
#[derive(Debug)]
pub enum NotRecorded {
    /// The request asks for what cannot be: why, in one sentence.
    Sentence(String),
    /// The record has errors.
    Findings(Vec<Finding>),
    /// Values that can hurt somebody would be sealed with findings open: which, where, and the ways out, in
    /// sentences and lines of a record.
    Open(String),
}

/// A name without characters that would act on a terminal.
pub(super) fn tame(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}
