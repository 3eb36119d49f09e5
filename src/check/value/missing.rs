//! What a fork's choices call for is given.

use crate::catalogue::Per;
use crate::check::look::{head, weight};
use crate::check::sample;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// missing-value: what this fork's choices call for is given, on every leg that needs it.
pub(crate) fn missing(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    if fork.family_lost {
        return;
    }
    for (id, field) in shop.catalogue.of(crate::catalogue::Owner::Fork) {
        if !field.applies.holds(&fork.choices) || !field.required.holds(&fork.choices) {
            continue;
        }
        let lacks = |side: Side| fork.takes(side, field) && fork.on(side, id).is_none();
        let (left, right) = (lacks(Side::Left), lacks(Side::Right));
        if !left && !right {
            continue;
        }
        let where_from = match (left && right, field.per) {
            (true, _) | (_, Per::Pair | Per::Fork) => String::new(),
            (false, Per::Leg) => format!(" for the {} leg", if left { "left" } else { "right" }),
        };
        let bench = if field.wrong.is_empty() {
            "the card could not be filled in".to_owned()
        } else {
            lower_first(&field.wrong)
        };
        findings.push(
            rules::MISSING_VALUE
                .graded(weight(fork), head(fork), format!("`{}` is missing{where_from}", field.key))
                .bench(bench)
                .instead(format!(
                    "under `{}:` add `{}`, {}",
                    field.group,
                    sample::line(field),
                    sample::words(shop, field, "maker's sheet")
                )),
        );
    }
}
