//! Figures that are said in different states are never compared.

use crate::catalogue::{Owner, STATE_PARTS};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// Whether two values are said in states that cannot be compared: a part that both name differs.
pub(crate) fn differ(a: &Resolved, b: &Resolved) -> Option<&'static str> {
    differ_in(a, b, |_| true)
}

fn differ_in(a: &Resolved, b: &Resolved, counts: impl Fn(&str) -> bool) -> Option<&'static str> {
    STATE_PARTS.iter().map(|part| part.key).filter(|key| counts(key)).find(|key| {
        match (a.entry.state.get(*key), b.entry.state.get(*key)) {
            (Some(first), Some(second)) => {
                first.is_known() && second.is_known() && first.value != second.value
            }
            _ => false,
        }
    })
}

/// state-differs: left and right, or a target and its range, are said in one state. Of pressures the rule on pressures
/// allows for the temperature, so that it may differ.
pub(crate) fn differing(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for (id, field) in shop.catalogue.of(Owner::Fork) {
        let (Some(left), Some(right)) = (fork.legs[0].values.get(&id), fork.legs[1].values.get(&id)) else {
            continue;
        };
        if let Some(part) = differ(left, right) {
            let what =
                format!("left and right of {} differ in their state: {part}", lower_first(&field.title));
            findings.push(finding(what, right, left));
        }
    }
    let relations = shop.catalogue.relations();
    for (target, range) in relations.ranges() {
        for side in Side::BOTH {
            let (Some(value), Some(limits)) = (fork.on(side, target), fork.on(side, range)) else { continue };
            let pressure = relations.gauges().contains(&target);
            if let Some(part) = differ_in(value, limits, |part| !pressure || part != "temperature") {
                let title = lower_first(&shop.catalogue.field(target).title);
                findings.push(finding(
                    format!("{title} and its range differ in their state: {part}"),
                    limits,
                    value,
                ));
            }
        }
    }
}

fn finding(what: String, at: &Resolved, other: &Resolved) -> Finding {
    rules::STATE_DIFFERS.at(at.entry.span, what)
        .bench("the same oil reads differently in another state, so the two figures say nothing about each other")
        .instead("measure both in one state, or correct the part that is wrong")
        .also(other.entry.span, "said in another state")
}
