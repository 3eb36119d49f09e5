//! What a fork's choices call for is given.

use crate::catalogue::{Field, FieldId, Owner, Per};
use crate::check::look::{head, weight};
use crate::check::sample;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// The legs on which a fork lacks a value that its choices call for; neither where they do not.
fn lacks(fork: &ResolvedFork, id: FieldId, field: &Field) -> [bool; 2] {
    if !field.applies.holds(&fork.choices) || !field.required.holds(&fork.choices) {
        return [false; 2];
    }
    Side::BOTH.map(|side| fork.takes(side, field) && fork.on(side, id).is_none())
}

/// The values that a fork's choices call for and it does not give.
pub(crate) fn lacked(shop: &Shop, fork: &ResolvedFork) -> Vec<FieldId> {
    let all = shop.catalogue.of(Owner::Fork).filter(|(id, field)| lacks(fork, *id, field) != [false; 2]);
    all.map(|(id, _)| id).filter(|_| !fork.family_lost).collect()
}

/// missing-value: what this fork's choices call for is given, on every leg that needs it.
pub(crate) fn missing(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    if fork.family_lost {
        return;
    }
    for (id, field) in shop.catalogue.of(Owner::Fork) {
        let [left, right] = lacks(fork, id, field);
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
