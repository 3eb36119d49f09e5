//! The sag on record is about the one that springs, air and load come to.

use crate::bench::units::Length;
use crate::catalogue::{Key, key};
use crate::derive::{Answer, Derived};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Side};

/// How far a reading may be from the figure, m, beyond its own tolerance: what friction hides either way (common
/// practice, no source).
const FRICTION: f64 = 0.003;

/// What the sag hangs on most.
const RESTS_ON: [(Key, &str); 3] = [
    (key::SPRING_RATE, "the rate"),
    (key::SPRING_PRELOAD, "the preload"),
    (key::ADJUSTERS_PRELOAD, "the adjuster"),
];

/// sag-apart: sag said and sag calculated differ by no more than friction and tolerance.
pub(super) fn sag(fork: &ResolvedFork, derived: &Derived, findings: &mut Vec<Finding>) {
    compare(fork, key::SETUP_SAG_STATIC, "the machine alone", &derived.sag, findings);
    compare(fork, key::SETUP_SAG_RIDER, "the rider", &derived.sag_rider, findings);
}

fn compare(
    fork: &ResolvedFork,
    field: Key,
    load: &str,
    calculated: &Answer<Length>,
    findings: &mut Vec<Finding>,
) {
    let (Some(stated), Some(known)) = (fork.on(Side::Left, field.id()), calculated.known()) else { return };
    let Some(quantity) = stated.quantity() else { return };
    let sag = known.value.value;
    if sag >= quantity.least_si() - FRICTION && sag <= quantity.greatest_si() + FRICTION {
        return;
    }
    let mut finding = rules::SAG_APART
        .at(
            stated.entry.span,
            format!(
                "springs, air and load come to {:.0} mm with {load}, not {}",
                sag * 1000.0,
                stated.entry.text
            ),
        )
        .bench("sag, spring, preload or load is another fork's, and the machine is set up for it")
        .instead("read sag and axle load again, then rate, preload and the adjuster's turns");
    for (key, called) in RESTS_ON {
        if let Some(other) = fork.on(Side::Left, key.id()) {
            finding = finding.also(other.entry.span, called);
        }
    }
    findings.push(finding);
}
