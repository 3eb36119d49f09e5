//! The coils do not touch, and a new spring is longer than a worn one.

use crate::bench::units::Length;
use crate::catalogue::key;
use crate::check::look::{mm, on};
use crate::derive::DerivedLeg;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Quantity;
use crate::resolve::{ResolvedFork, Side};

/// coil-bind: the coils do not touch before full travel.
pub(super) fn coil_bind(fork: &ResolvedFork, leg: &DerivedLeg, findings: &mut Vec<Finding>) {
    let (Some(bind), Some(solid)) = (leg.coil_bind.value(), on(fork, leg.side, key::SPRING_SOLID_LENGTH))
    else {
        return;
    };
    if bind.binds() {
        let over = Length::new::<uom::si::length::meter>(-bind.margin.value);
        let mut finding = rules::COIL_BIND.at(solid.entry.span, format!("at the greatest preload the spring is {} long at full travel, {} less than its solid length of {}", mm(bind.least), mm(over), solid.entry.text))
            .bench("the coils touch before full travel: the leg stops dead, and the spring takes a set or breaks")
            .instead("read free length, preload, stroke and solid length again; one of them is not this spring's");
        if let Some(free) = on(fork, leg.side, key::SPRING_FREE_LENGTH) {
            finding = finding.also(free.entry.span, "free length");
        }
        findings.push(finding);
    }
}

/// free-length-under-limit: the new spring is longer than the length at which it is thrown away.
pub(super) fn free_length(fork: &ResolvedFork, side: Side, findings: &mut Vec<Finding>) {
    let (Some(free), Some(limit)) =
        (on(fork, side, key::SPRING_FREE_LENGTH), on(fork, side, key::SPRING_FREE_LENGTH_LIMIT))
    else {
        return;
    };
    let (Some(length), Some(least)) =
        (free.quantity().map(Quantity::least_si), limit.quantity().map(Quantity::middle_si))
    else {
        return;
    };
    if length < least * (1.0 - 1e-12) {
        findings.push(
            rules::FREE_LENGTH_UNDER_LIMIT
                .at(
                    limit.entry.span,
                    format!(
                        "the free length {} is under its own service limit {}",
                        free.entry.text, limit.entry.text
                    ),
                )
                .bench("a new spring would be thrown away, or a set one kept")
                .instead(
                    "correct the one that is wrong; a limit lies a few millimeters under the free length",
                )
                .also(free.entry.span, "free length"),
        );
    }
}
