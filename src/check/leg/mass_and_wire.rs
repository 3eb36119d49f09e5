//! A spring weighs what its wire weighs.

use crate::bench::spring::{STEEL_DENSITY, volume_from_wire};
use crate::catalogue::{Key, key};
use crate::check::look::{length, weight};
use crate::diagnostic::{Finding, rules};
use crate::quantity::Quantity;
use crate::resolve::{Resolved, ResolvedFork};

/// How many dead coils a spring's ends have together, at least and at most (common practice, no source).
const DEAD: (f64, f64) = (1.0, 5.0);
/// What ground ends, other wire and a kitchen scale make of it.
const ROOM: f64 = 0.1;

/// mass-and-wire-disagree: the stated mass of a spring is about that of its wire.
pub(super) fn mass_and_wire<'f>(
    fork: &ResolvedFork,
    look: impl Fn(Key) -> Option<&'f Resolved>,
    findings: &mut Vec<Finding>,
) {
    let Some(stated) = look(key::SPRING_MASS) else { return };
    let (Some(mass), Some(wire), Some(mean), Some(coils)) = (
        stated.quantity().map(Quantity::middle_si),
        length(look(key::SPRING_WIRE_DIAMETER)),
        length(look(key::SPRING_MEAN_DIAMETER)),
        look(key::SPRING_ACTIVE_COILS).and_then(Resolved::quantity).map(Quantity::middle_si),
    ) else {
        return;
    };
    let weighs = |dead: f64| Some(volume_from_wire(wire, mean, coils + dead).ok()?.value * STEEL_DENSITY);
    let (Some(least), Some(most)) = (weighs(DEAD.0), weighs(DEAD.1)) else { return };
    let (least, most) = (least * (1.0 - ROOM), most * (1.0 + ROOM));
    if (least..=most).contains(&mass) {
        return;
    }
    let mut finding = rules::MASS_AND_WIRE_DISAGREE
        .graded(
            weight(fork),
            stated.entry.span,
            format!(
                "the wire weighs {:.0} to {:.0} g, not {}",
                least * 1000.0,
                most * 1000.0,
                stated.entry.text
            ),
        )
        .bench("one of the figures is another spring's, and the room it takes from the air is computed wrong")
        .instead("weigh the spring again, washed and dry, or measure wire, coil and count again");
    if let Some(wire) = look(key::SPRING_WIRE_DIAMETER) {
        finding = finding.also(wire.entry.span, "the wire");
    }
    findings.push(finding);
}
