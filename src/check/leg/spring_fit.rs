//! A spring goes round what it stands over, and does not rub on the tube it stands in.

use crate::bench::units::{Length, length};
use crate::catalogue::choice::Springing;
use crate::catalogue::{Key, MadeChoice, key};
use crate::check::look::mm;
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Quantity, Value};
use crate::resolve::{Resolved, ResolvedFork, Side};

/// A spring with less room than this on its diameter rubs on its tube, m (common practice, no source).
const FREE: f64 = 0.001;

/// The least diameter of a value that may be given in stretches.
fn least(value: &Resolved) -> Option<Length> {
    match value.value()? {
        Value::Sections(sections) => {
            let lengths = sections.iter().filter_map(|section| section.value.length());
            lengths.min_by(|a, b| a.value.total_cmp(&b.value))
        }
        Value::Quantity(quantity) => quantity.length(),
        _ => None,
    }
}

/// spring-inside, spring-rubs: the spring's inside is more than what stands in it, and its outside is less than the
/// bore it stands in.
pub(super) fn spring_fit(fork: &ResolvedFork, side: Side, findings: &mut Vec<Finding>) {
    let look = |key: Key| fork.on(side, key.id());
    let amount = |key: Key| look(key).and_then(Resolved::quantity).and_then(Quantity::length);
    let (Some(mean), Some(wire)) = (amount(key::SPRING_MEAN_DIAMETER), amount(key::SPRING_WIRE_DIAMETER))
    else {
        return;
    };
    let Some(at) = look(key::SPRING_MEAN_DIAMETER).map(|mean| mean.entry.span) else { return };
    // A bottom spring stands under the damper, not round it.
    let round_it = Springing::of(&fork.choices) != Some(Springing::CoilBottom);
    let through = look(key::TUBES_ROD_DIAMETER).filter(|_| round_it);
    if let Some((value, stands_in_it)) = through.and_then(|value| Some((value, least(value)?)))
        && mean.value - wire.value <= stands_in_it.value
    {
        let inside = length(mean.value - wire.value);
        findings.push(
            rules::SPRING_INSIDE
                .at(
                    at,
                    format!("the spring is {} inside and stands over {}", tenths(inside), mm(stands_in_it)),
                )
                .bench("it does not go over its rod or cartridge, so one of the figures is another part's")
                .instead("measure wire and spring again: mean diameter is outside less one wire")
                .also(value.entry.span, "what stands in it"),
        );
    }
    let bore = look(key::TUBES_BORE).and_then(|value| Some((value, least(value)?)));
    if let Some((value, bore)) = bore
        && bore.value - (mean.value + wire.value) < FREE
    {
        let outside = length(mean.value + wire.value);
        findings.push(
            rules::SPRING_RUBS
                .at(at, format!("the spring is {} outside in a bore of {}", tenths(outside), tenths(bore)))
                .bench("it rubs on the tube as it is squeezed, sheds metal into the oil and sticks")
                .instead("measure spring and bore again; a spring has a millimeter of room or more")
                .also(value.entry.span, "the bore"),
        );
    }
}

/// Millimetres to a tenth: whole ones would hide the difference.
fn tenths(length: Length) -> String {
    format!("{:.1} mm", length.value * 1000.0)
}
