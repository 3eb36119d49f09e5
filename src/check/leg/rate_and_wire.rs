//! A spring's rate is about the one that its wire gives.

use crate::bench::spring::{STEEL_SHEAR_MODULUS, Winding, rate_from_wire};
use crate::bench::units::{SpringRate, millimetres, pressure};
use crate::catalogue::{Key, key};
use crate::check::look::{length, weight};
use crate::derive::DerivedLeg;
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Quantity, Value};
use crate::resolve::{Resolved, ResolvedFork};

/// How far a spring's rate may be from the one of its wire. The wire counts in the fourth power, so a tenth of a
/// millimetre is 8 %; dead coils are counted differently by different people.
const RATE_APART: f64 = 0.1;

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
    let computed = rate_from_wire(wire, mean, coils, pressure(STEEL_SHEAR_MODULUS), Winding::Even);
    let Ok(rate) = spring.rate_at(millimetres(0.0)) else { return };
    let in_mm = |rate: SpringRate| format!("{:.1} N/mm", rate.value / 1000.0);
    let wrong = match &computed {
        Ok(computed) if (computed.value / rate.value - 1.0).abs() <= RATE_APART => return,
        Ok(computed) => format!("the wire gives {}, not {}", in_mm(*computed), stated.entry.text),
        Err(why) => format!("the wire gives no rate: {why}"),
    };
    let mut finding = rules::RATE_AND_WIRE_DISAGREE.graded(weight(fork), stated.entry.span, wrong)
        .bench("one of the figures is another spring's, and with it the sag and the stored force")
        .instead("measure wire and coils again: mean diameter is outside less wire, and the dead end coils do not count");
    if let Some(wire) = look(key::SPRING_WIRE_DIAMETER) {
        finding = finding.also(wire.entry.span, "the wire");
    }
    findings.push(finding);
}
