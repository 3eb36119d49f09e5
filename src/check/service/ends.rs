//! A condition that says what ends it: whoever brings that about ends it.

use std::collections::BTreeMap;

use super::alike::alike;
use super::condition_words::{otherwise, quoted};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::{Bits, Planned, Plans, Vocabulary};
use crate::record::{Condition, Text};
use crate::resolve::Shop;

/// end-left-out: a procedure ends the conditions that say that they are ended by what it brings about.
pub(crate) fn ends(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, findings: &mut Vec<Finding>) {
    if shop.conditions.list.iter().all(|condition| condition.ended_by.is_empty()) {
        return;
    }
    let vocabulary = Vocabulary::of(shop);
    let mut missing: BTreeMap<(&str, &str), Finding> = BTreeMap::new();
    for alike in alike(forks, plans) {
        let fork = alike.first();
        let meant = vocabulary.meant(fork);
        for item in plans.of(fork).iter().flat_map(|plan| &plan.items) {
            for (condition, by) in kept(shop, &vocabulary, item, &meant) {
                let finding = missing
                    .entry((&item.procedure.id.text, &condition.id.text))
                    .or_insert_with(|| left_out(shop, item, condition, by));
                alike.reach(finding);
            }
        }
    }
    findings.extend(missing.into_values());
}

/// The conditions that should end with a procedure and do not, each with what ends it.
fn kept<'s>(
    shop: &'s Shop,
    vocabulary: &Vocabulary<'s>,
    item: &Planned<'_>,
    meant: &Bits,
) -> Vec<(&'s Condition, &'s Text)> {
    let procedure = item.procedure;
    let lists = [procedure.needs.as_slice(), &procedure.brings, &procedure.ends];
    let effect = vocabulary.effect(lists, item.legs, meant);
    let slots = |id: &Text| vocabulary.slots(std::slice::from_ref(id), item.legs, meant);
    let stays = |condition: &Condition| {
        let left = slots(&condition.id).without(&effect.ends);
        !left.without(&effect.brings).is_empty()
    };
    let of_condition = |condition: &'s Condition| {
        let by = condition.ended_by.iter().find(|by| !slots(by).and(&effect.brings).is_empty())?;
        stays(condition).then_some((condition, by))
    };
    shop.conditions.list.iter().filter_map(of_condition).collect()
}

fn left_out(shop: &Shop, item: &Planned<'_>, condition: &Condition, by: &Text) -> Finding {
    let procedure = item.procedure;
    let place = procedure.brings.iter().find(|id| id.text == by.text).unwrap_or(&procedure.id);
    let id = &condition.id.text;
    rules::END_LEFT_OUT
        .at(
            place.span,
            format!(
                "`{}` brings about `{}`, which ends {}, and does not say so",
                procedure.id.text,
                by.text,
                quoted(condition)
            ),
        )
        .bench(
            otherwise(shop, id)
                .unwrap_or_else(|| "what no longer holds is taken to hold, and is not done again".to_owned()),
        )
        .instead(format!("put `{id}` under `ends:`"))
        .also(by.span, "asked for here")
}
