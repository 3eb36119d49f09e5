//! What went wrong with what was given, and what a reader gives.

use super::value::Value;
use crate::diagnostic::{Rule, Severity};
use std::ops::Range;

/// Something wrong with, or worth saying about, a value's text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// The rule that finds it.
    pub rule: &'static Rule,
    /// How bad it is. A value without an error comes with the troubles; one with an error does not.
    pub severity: Severity,
    /// The bytes of the text it is about, on character boundaries.
    pub range: Range<usize>,
    /// What is wrong, one sentence.
    pub message: String,
    /// What it does at the bench, one sentence; empty for a mere spelling.
    pub bench: String,
    /// What to write instead, one sentence.
    pub instead: String,
}

/// What the readers give: a value and what is worth saying about it, or why there is none.
pub(super) type Outcome = Result<(Value, Vec<Trouble>), Trouble>;
