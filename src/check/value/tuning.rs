//! A chosen value lies in the range it may be chosen from.

use crate::catalogue::FieldId;
use crate::check::value::state_differs::differ;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Shape;
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// outside-tuning-range: a value lies in the range it may be chosen from. A pressure is compared with its range at one
/// temperature, where pressures are judged.
pub(crate) fn tuning(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let relations = shop.catalogue.relations();
    for (target, range) in relations.ranges().filter(|(target, _)| !relations.gauges().contains(target)) {
        outside(shop, fork, target, range, findings);
    }
}

fn outside(shop: &Shop, fork: &ResolvedFork, target: FieldId, range: FieldId, findings: &mut Vec<Finding>) {
    for side in Side::BOTH {
        let (Some(value), Some(limits)) = (fork.on(side, target), fork.on(side, range)) else { continue };
        let (Some(chosen), Some(between)) = (value.quantity(), limits.quantity()) else { continue };
        // In different states the two say nothing about each other; that has been said.
        if differ(value, limits).is_some() {
            continue;
        }
        // That a range is one figure has been said.
        if !matches!(between.main().shape, Shape::Range { .. }) {
            continue;
        }
        let slack = 1e-9;
        // The tolerance counts: a leg that is set to its end must be one that may be chosen.
        let leaves = |middle: f64, end: f64| if end.is_finite() { end } else { middle };
        let least = leaves(chosen.middle_si(), chosen.least_si());
        let greatest = leaves(chosen.middle_si(), chosen.greatest_si());
        if least < between.least_si() - slack || greatest > between.greatest_si() + slack {
            let field = shop.catalogue.field(target);
            findings.push(
                rules::OUTSIDE_TUNING_RANGE
                    .at(
                        value.entry.span,
                        format!(
                            "{} of {} lies outside the tuning range {}",
                            lower_first(&field.title),
                            value.entry.text,
                            limits.entry.text
                        ),
                    )
                    .bench(lower_first(&field.wrong))
                    .instead("correct the one that is wrong")
                    .also(limits.entry.span, "the range that may be chosen"),
            );
        }
    }
}
