//! What holds when a job begins and is undone on the way is asked for at hand-back.

use std::collections::BTreeSet;

use super::condition_words::{otherwise, quoted};
use crate::diagnostic::{Finding, rules};
use crate::record::{Condition, Service, Text};
use crate::resolve::Shop;

/// hand-back-leaves-out: what holds at the start of every job must hold at hand-back, or something in its place.
pub(crate) fn left_out(shop: &Shop, findings: &mut Vec<Finding>) {
    let conditions = &shop.conditions;
    // A shop that asks for nothing at hand-back has not begun to.
    if conditions.hand_back.is_empty() {
        return;
    }
    let asked: Vec<&Text> = conditions.hand_back.iter().collect();
    for start in conditions.start.iter().filter(|start| is_lost(shop, start, &asked)) {
        let Some(condition) = find(shop, &start.text) else { continue };
        findings.push(
            rules::HAND_BACK_LEAVES_OUT
                .at(
                    start.span,
                    format!(
                        "{} holds when a job begins, and nothing asks for it at hand-back",
                        quoted(condition)
                    ),
                )
                .bench(otherwise(shop, &start.text).unwrap_or_else(|| {
                    "what was undone for the work is forgotten, and the machine goes out".to_owned()
                }))
                .instead(format!("put `{}`, or what takes its place, under `hand_back:`", start.text)),
        );
    }
}

fn find<'s>(shop: &'s Shop, id: &str) -> Option<&'s Condition> {
    shop.conditions.list.iter().find(|condition| condition.id.text == id)
}

/// Whether a condition is undone by some procedure, and neither asked for at hand-back nor replaced by what is.
fn is_lost(shop: &Shop, start: &Text, asked: &[&Text]) -> bool {
    let undone = shop.procedures.iter().any(|procedure| {
        let ends = procedure.ends.iter().any(|end| end.text == start.text);
        ends || procedure.brings.iter().any(|brings| excludes(shop, &brings.text, &start.text))
    });
    // What no procedure can bring back, such as a setting as it was found, is not asked for.
    let restored = shop.procedures.iter().any(|procedure| {
        implied(shop, procedure.brings.iter().map(|id| id.text.as_str())).contains(start.text.as_str())
    });
    let held: BTreeSet<&str> = implied(shop, asked.iter().map(|id| id.text.as_str()));
    let excluded = |by: &str, id: &str| excludes(shop, by, id);
    // New oil takes the place of old; a setting that is made takes that of "turned out", which took that of "as found".
    let replaced = held.iter().any(|by| {
        excluded(by, &start.text)
            || shop
                .conditions
                .list
                .iter()
                .any(|between| excluded(by, &between.id.text) && excluded(&between.id.text, &start.text))
    });
    let by_service = |service: &Service| service.hand_back.iter().any(|id| id.text == start.text);
    undone
        && restored
        && !held.contains(start.text.as_str())
        && !replaced
        && !shop.services.iter().all(by_service)
}

/// These and all that they imply.
fn implied<'s>(shop: &'s Shop, ids: impl Iterator<Item = &'s str>) -> BTreeSet<&'s str> {
    let mut open: Vec<&str> = ids.collect();
    let mut out = BTreeSet::new();
    while let Some(id) = open.pop() {
        if out.insert(id) {
            let implies = find(shop, id).into_iter().flat_map(|condition| &condition.implies);
            open.extend(implies.map(|id| id.text.as_str()));
        }
    }
    out
}

/// Whether two conditions exclude one another, said at either.
fn excludes(shop: &Shop, one: &str, other: &str) -> bool {
    let says = |one: &str, other: &str| {
        find(shop, one).is_some_and(|condition| condition.excludes.iter().any(|id| id.text == other))
    };
    says(one, other) || says(other, one)
}
