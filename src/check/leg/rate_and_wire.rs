//! A spring's rate is about the one that its wire gives.

use crate::bench::spring::{STEEL_SHEAR_MODULUS, Winding, rate_from_wire};
use crate::bench::units::{Length, SpringRate, millimetres, pressure};
use crate::catalogue::{Key, key};
use crate::check::look::{length, weight};
use crate::derive::DerivedLeg;
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::{Quantity, Value};
use crate::resolve::{Resolved, ResolvedFork};
use crate::text::Span;

/// How far a spring's rate may be from the one of its wire. The wire counts in the fourth power, so a tenth of a
/// millimetre is 8 %; dead coils are counted differently by different people.
const RATE_APART: f64 = 0.1;

/// What is wrong with a stated rate by its wire, mean diameter and active coils; `None` where they agree.
pub(crate) fn apart(
    (rate, stated): (SpringRate, &str),
    (wire, mean, coils): (Length, Length, f64),
) -> Option<String> {
    let in_mm = |rate: SpringRate| format!("{:.1} N/mm", rate.value / 1000.0);
    match rate_from_wire(wire, mean, coils, pressure(STEEL_SHEAR_MODULUS), Winding::Even) {
        Ok(computed) if (computed.value / rate.value - 1.0).abs() <= RATE_APART => None,
        Ok(computed) => Some(format!("the wire gives {}, not {stated}", in_mm(computed))),
        Err(why) => Some(format!("the wire gives no rate: {why}")),
    }
}

/// The finding.
pub(crate) fn disagree(severity: Severity, place: Span, wrong: String) -> Finding {
    rules::RATE_AND_WIRE_DISAGREE.graded(severity, place, wrong)
        .bench("one of the figures is another spring's, and with it the sag and the stored force")
        .instead("measure wire and coils again: mean diameter is outside less wire, and the dead end coils do not count")
}

/// rate-and-wire-disagree: the stated rate is about the one that wire, mean diameter and coils give.
pub(super) fn rate_and_wire<'f>(
    fork: &ResolvedFork,
    leg: &DerivedLeg,
    look: impl Fn(Key) -> Option<&'f Resolved>,
    findings: &mut Vec<Finding>,
) {
    let (Some(stated), Some(spring)) = (look(key::SPRING_RATE), leg.spring.value()) else { return };
    // A spring in segments is progressive, and its wire gives no single rate.
    if matches!(stated.value(), Some(Value::Sections(list)) if list.len() > 1) {
        return;
    }
    let (Some(wire), Some(mean), Some(coils)) = (
        length(look(key::SPRING_WIRE_DIAMETER)),
        length(look(key::SPRING_MEAN_DIAMETER)),
        look(key::SPRING_ACTIVE_COILS).and_then(Resolved::quantity).map(Quantity::middle_si),
    ) else {
        return;
    };
    let Ok(rate) = spring.rate_at(millimetres(0.0)) else { return };
    let Some(wrong) = apart((rate, &stated.entry.text), (wire, mean, coils)) else { return };
    let mut finding = disagree(weight(fork), stated.entry.span, wrong);
    if let Some(wire) = look(key::SPRING_WIRE_DIAMETER) {
        finding = finding.also(wire.entry.span, "the wire");
    }
    findings.push(finding);
}
