//! How a rule looks at a fork: its head, its values, how bad a finding on it is.

use std::collections::HashSet;

use crate::bench::units::Length;
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::diagnostic::Severity;
use crate::resolve::{Resolved, ResolvedFork, Side};
use crate::text::Span;

/// The place of a record's head, for what is missing from it.
pub(crate) fn head(fork: &ResolvedFork) -> Span {
    fork.record.id.span
}

/// An error, or for a draft a warning.
pub(crate) fn weight(fork: &ResolvedFork) -> Severity {
    if fork.record.draft { Severity::Warning } else { Severity::Error }
}

/// One fork of each kind, in the order of the shop: what hangs on choices, legs and parts is the same for all of a kind.
pub(crate) fn of_each_kind(forks: &[CheckedFork]) -> Vec<&CheckedFork> {
    let mut seen = HashSet::new();
    forks.iter().filter(|fork| seen.insert(fork.kind)).collect()
}

/// Every value of the fork once: a value both legs share is given for the left leg.
pub(crate) fn each(fork: &ResolvedFork) -> impl Iterator<Item = &Resolved> {
    let right = fork.legs[1].values.iter().filter(|(field, value)| {
        fork.legs[0].values.get(field).is_none_or(|left| !std::sync::Arc::ptr_eq(&left.entry, &value.entry))
    });
    fork.whole.values().chain(fork.legs[0].values.values()).chain(right.map(|(_, value)| value))
}

pub(crate) fn on(fork: &ResolvedFork, side: Side, field: impl Into<FieldId>) -> Option<&Resolved> {
    fork.on(side, field.into())
}

/// Millimetres for a message, to a tenth where it matters.
pub(crate) fn mm(length: Length) -> String {
    let value = length.value * 1000.0;
    let text = if value.abs() < 10.0 { format!("{value:.1}") } else { format!("{value:.0}") };
    format!("{} mm", text.strip_suffix(".0").unwrap_or(&text).replace('-', "−"))
}

pub(crate) fn length(value: Option<&Resolved>) -> Option<Length> {
    value?.quantity()?.length()
}
