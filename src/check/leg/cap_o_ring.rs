//! The O-ring of a cap goes into the tube that the cap closes.

use crate::catalogue::choice::Orientation;
use crate::catalogue::{MadeChoice, key};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Quantity, Value};
use crate::resolve::{ResolvedFork, Side};

/// o-ring-over-tube: on conventional legs the cap closes the stanchion from inside, so its O-ring is smaller than the
/// stanchion.
pub(super) fn cap_o_ring(fork: &ResolvedFork, side: Side, findings: &mut Vec<Finding>) {
    if Orientation::of(&fork.choices) != Some(Orientation::Conventional) {
        return;
    }
    let (Some(ring), Some(tube)) =
        (fork.on(side, key::SEALS_CAP_O_RING.id()), fork.on(side, key::TUBES_STANCHION_DIAMETER.id()))
    else {
        return;
    };
    let (Some(Value::Size(size)), Some(diameter)) =
        (ring.value(), tube.quantity().and_then(Quantity::length))
    else {
        return;
    };
    let [inside, section, ..] = size.parts_si()[..] else { return };
    let outside = inside + 2.0 * section;
    if outside < diameter.value {
        return;
    }
    findings.push(
        rules::O_RING_OVER_TUBE
            .at(
                ring.entry.span,
                format!(
                    "the cap's O-ring is {:.1} mm outside, and the stanchion it goes into is {} outside",
                    outside * 1000.0,
                    tube.entry.text
                ),
            )
            .bench("it does not go into the tube, or is cut as the cap is screwed in, and the leg leaks")
            .instead("measure the O-ring lying free, inside and section, and the seat in the cap")
            .also(tube.entry.span, "the stanchion"),
    );
}
