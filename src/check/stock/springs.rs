//! A spring's figures agree.

use crate::bench::units::Length;
use crate::catalogue::{Key, key};
use crate::check::CheckedFork;
use crate::check::leg::rate_and_wire::{apart, disagree};
use crate::diagnostic::{Finding, Severity};
use crate::quantity::{Quantity, Value};
use crate::record::{Entry, Sides, SpecRecord};
use crate::resolve::Shop;

/// rate-and-wire-disagree: the measured rate is about the one that wire, mean diameter and coils give.
pub(crate) fn wires(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for spring in &shop.springs {
        let Some(stated) = entry(spring, key::COIL_RATE) else { continue };
        // One in segments is progressive, and its wire gives no single rate.
        let rate = stated.value.as_ref().and_then(Value::quantity).and_then(Quantity::spring_rate);
        let sizes = (
            length(spring, key::COIL_WIRE_DIAMETER),
            length(spring, key::COIL_MEAN_DIAMETER),
            quantity(spring, key::COIL_ACTIVE_COILS).map(Quantity::middle_si),
        );
        let (Some(rate), (Some(wire), Some(mean), Some(coils))) = (rate, sizes) else { continue };
        if let Some(wrong) = apart((rate, &stated.text), (wire, mean, coils)) {
            let severity = if spring.draft { Severity::Warning } else { Severity::Error };
            findings.push(disagree(severity, stated.span, wrong));
        }
    }
}

fn entry(spring: &SpecRecord, key: Key) -> Option<&Entry> {
    let line = spring.values.iter().find(|line| line.field == key.id())?;
    match &line.sides {
        Sides::Each(entry) | Sides::Legs(entry, _) => Some(entry),
    }
}

fn quantity(spring: &SpecRecord, key: Key) -> Option<&Quantity> {
    entry(spring, key)?.value.as_ref().and_then(Value::quantity)
}

fn length(spring: &SpecRecord, key: Key) -> Option<Length> {
    quantity(spring, key).and_then(Quantity::length)
}
