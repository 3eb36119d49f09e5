//! The sag on record is about the one that springs, air and load come to.

use crate::bench::units::Length;
use crate::catalogue::{Key, key};
use crate::check::look::weight;
use crate::derive::{Answer, Derived};
use crate::diagnostic::{Finding, Severity, rules};
use crate::resolve::{ResolvedFork, Side};

/// How far a reading may be from the figure, m, beyond its own tolerance: what friction hides either way (common
/// practice, no source).
const FRICTION: f64 = 0.003;
/// Beyond this, m, no friction and no rounding explains it: one of the figures is another fork's (common practice, no
/// source).
const ANOTHER_FORK: f64 = 0.008;

/// What the sag hangs on most.
const RESTS_ON: [(Key, &str); 5] = [
    (key::AIR_MAIN_PRESSURE, "the main chamber"),
    (key::AIR_BALANCE_PRESSURE, "the balance chamber"),
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
    let off = (quantity.least_si() - sag).max(sag - quantity.greatest_si());
    let severity = if off > ANOTHER_FORK { weight(fork) } else { Severity::Warning };
    let mut finding = rules::SAG_APART
        .graded(
            severity,
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
        let on = Side::BOTH.into_iter().find_map(|side| fork.on(side, key.id()));
        if let Some(other) = on {
            finding = finding.also(other.entry.span, called);
        }
    }
    findings.push(finding);
}
