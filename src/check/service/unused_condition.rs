//! A condition that is declared guards something.

use std::collections::BTreeSet;

use super::condition_words::lists;
use crate::diagnostic::{Finding, rules};
use crate::resolve::Shop;

/// unused-condition: what is declared guards something.
pub(crate) fn unused(shop: &Shop, findings: &mut Vec<Finding>) {
    let named =
        lists(shop).filter(|(list, _)| matches!(*list, "needs" | "hand_back")).flat_map(|(_, names)| names);
    let between_conditions = shop.conditions.list.iter().flat_map(|condition| {
        condition.implies.iter().chain(&condition.excludes).chain(&condition.only_after)
    });
    let used: BTreeSet<&str> = named.chain(between_conditions).map(|name| name.text.as_str()).collect();
    for condition in &shop.conditions.list {
        let guards_values = !condition.only_then.is_empty() || !condition.not_then.is_empty();
        if !used.contains(condition.id.text.as_str()) && condition.excludes.is_empty() && !guards_values {
            findings.push(
                rules::UNUSED_CONDITION
                    .at(condition.id.span, format!("nothing needs the condition `{}`", condition.id.text))
                    .bench("work that brings it about could be left out without a word")
                    .instead("name it under a procedure's `needs:` or a service's `hand_back:`"),
            );
        }
    }
}
