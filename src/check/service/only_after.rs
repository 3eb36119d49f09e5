//! A condition that may be brought about only after others: whoever brings it about needs them.

use std::collections::BTreeMap;

use super::alike::alike;
use super::condition_words::{otherwise, quoted};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::{Planned, Plans, Vocabulary};
use crate::record::{Condition, Text};
use crate::resolve::Shop;

/// guard-left-out: a procedure needs what the condition that it brings about may only come after.
pub(crate) fn only_after(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, findings: &mut Vec<Finding>) {
    if shop.conditions.list.iter().all(|condition| condition.only_after.is_empty()) {
        return;
    }
    let vocabulary = Vocabulary::of(shop);
    let mut missing: BTreeMap<(&str, &str, &str), Finding> = BTreeMap::new();
    for alike in alike(forks, plans) {
        let fork = alike.first();
        let meant = vocabulary.meant(fork);
        for item in plans.of(fork).iter().flat_map(|plan| &plan.items) {
            if brought(&vocabulary, item).all(|(condition, _)| condition.only_after.is_empty()) {
                continue;
            }
            let held = held(&vocabulary, item, &meant);
            for (condition, brings) in brought(&vocabulary, item) {
                for guard in &condition.only_after {
                    let asked = vocabulary.slots(std::slice::from_ref(guard), item.legs, &meant);
                    let lost = asked.without(&held);
                    let brings_it = vocabulary.slots(std::slice::from_ref(brings), item.legs, &meant);
                    if lost.is_empty() || brings_it.is_empty() {
                        continue;
                    }
                    let id = &item.procedure.id.text;
                    let finding = missing
                        .entry((id, &brings.text, &guard.text))
                        .or_insert_with(|| left_out(shop, &vocabulary, id, condition, brings, guard));
                    alike.reach(finding);
                }
            }
        }
    }
    findings.extend(missing.into_values());
}

/// What a procedure may count on: what it needs, what it brings about itself, and what these imply.
fn held(vocabulary: &Vocabulary<'_>, item: &Planned<'_>, meant: &crate::plan::Bits) -> crate::plan::Bits {
    let mut held = vocabulary.slots(&item.procedure.needs, item.legs, meant);
    held.join(&vocabulary.slots(&item.procedure.brings, item.legs, meant));
    vocabulary.with_implied(&held)
}

fn brought<'v, 'p: 'v>(
    vocabulary: &'v Vocabulary<'_>,
    item: &'v Planned<'p>,
) -> impl Iterator<Item = (&'v Condition, &'p Text)> {
    let procedure = item.procedure;
    procedure.brings.iter().filter_map(|brings| {
        let at = vocabulary.find(&brings.text)?;
        Some((&vocabulary.conditions[at], brings))
    })
}

fn left_out(
    shop: &Shop,
    vocabulary: &Vocabulary<'_>,
    procedure: &str,
    condition: &Condition,
    brings: &Text,
    guard: &Text,
) -> Finding {
    let says = vocabulary.find(&guard.text).map(|at| quoted(&vocabulary.conditions[at])).unwrap_or_default();
    rules::GUARD_LEFT_OUT
        .at(
            brings.span,
            format!(
                "`{procedure}` brings about {} and does not need {says}, and it may come only after that",
                quoted(condition)
            ),
        )
        .bench(otherwise(shop, &guard.text).unwrap_or_else(|| "it is begun too early".to_owned()))
        .instead(format!("put `{}` under `needs:`", guard.text))
        .also(guard.span, "asked for here")
}
