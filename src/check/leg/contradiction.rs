//! Values that are each plausible and make no sense together.

use crate::bench::OutOfRange;
use crate::check::look::on;
use crate::derive::{Answer, DerivedLeg};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop};
use crate::words::lower_first;

/// figures-contradict: values that are each plausible but make no sense together.
pub(super) fn refusals(shop: &Shop, fork: &ResolvedFork, leg: &DerivedLeg, findings: &mut Vec<Finding>) {
    let refused = [
        refused(&leg.surface),
        refused(&leg.drawn),
        refused(&leg.inserted),
        refused(&leg.corrections),
        refused(&leg.air),
        refused(&leg.outer),
        refused(&leg.main_chamber),
        refused(&leg.warm_gap),
        refused(&leg.spring),
        refused(&leg.coil_bind),
        refused(&leg.cap_force),
        refused(&leg.nut),
        refused(&leg.outer_bushing),
        refused(&leg.inner_bushing),
    ];
    let mut reported: Vec<&OutOfRange> = Vec::new();
    for (why, keys) in refused.into_iter().flatten() {
        // One contradiction shows in everything that rests on it.
        if reported.contains(&why) {
            continue;
        }
        reported.push(why);
        let places =
            keys.iter().filter_map(|key| Some((key, on(fork, leg.side, shop.catalogue.find(key)?)?)));
        let mut places: Vec<_> = places.collect();
        // What the sentence speaks of comes first.
        let words = why.to_string();
        let named = |value: &Resolved| words.find(&lower_first(&shop.catalogue.field(value.field).title));
        places.sort_by_key(|(_, value)| named(value).unwrap_or(usize::MAX));
        let mut places = places.into_iter();
        let Some((key, value)) = places.next() else { continue };
        let mut finding = rules::FIGURES_CONTRADICT
            .at(value.entry.span, format!("these figures make no sense together: {why}"))
            .bench("nothing that rests on them can be computed, and one of them would be set or fitted wrong")
            .instead(format!("read `{key}` and what stands with it again: one of them is wrong"));
        for (_, other) in places.filter(|(_, other)| other.entry.span != value.entry.span).take(3) {
            finding = finding.also(other.entry.span, lower_first(&shop.catalogue.field(other.field).title));
        }
        findings.push(finding);
    }
}

fn refused<T>(answer: &Answer<T>) -> Option<(&OutOfRange, &[String])> {
    match answer {
        Answer::Refused { why, rests_on } => Some((why, rests_on)),
        _ => None,
    }
}
