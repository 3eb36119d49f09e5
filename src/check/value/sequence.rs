//! The order in which joints are tightened.

use std::collections::BTreeMap;

use crate::diagnostic::{Finding, rules};
use crate::quantity::Value;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// torque-sequence-twice: on one leg, no two torques have the same place in the order.
pub(crate) fn twice(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for side in Side::BOTH {
        let mut places: BTreeMap<u32, &Resolved> = BTreeMap::new();
        for value in fork.whole.values().chain(fork.leg(side).values.values()) {
            let place = value.entry.attributes.get("sequence").and_then(|place| place.value.as_ref());
            let Some(Value::Count(place)) = place else { continue };
            let Some(first) = places.get(place) else {
                places.insert(*place, value);
                continue;
            };
            let title = |value: &Resolved| lower_first(&shop.catalogue.field(value.field).title);
            let message =
                format!("{} and {} are both number {place} in the order", title(first), title(value));
            // Said for the left leg; where the right one has the same two, it is the same mistake.
            if findings
                .iter()
                .any(|earlier| earlier.rule == &rules::TORQUE_SEQUENCE_TWICE && earlier.message == message)
            {
                continue;
            }
            let also = first.entry.span;
            findings.push(
                rules::TORQUE_SEQUENCE_TWICE
                    .at(value.entry.span, message)
                    .bench("a joint that is tightened too early is strained or loosened by the other one")
                    .instead(
                        "give each `sequence:` a number of its own, counted in the order they are tightened",
                    )
                    .also(also, "the same number"),
            );
        }
    }
}
