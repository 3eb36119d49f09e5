//! Texts that a shop took over from the library that comes with the program, and that have fewer guards than it.

use std::collections::BTreeMap;

use super::texts::{back, command, harm, name, place};
use crate::diagnostic::{Finding, rules};
use crate::resolve::Shop;
use crate::review::{CARRIED, Lost, Standing, TextKind, TextReviews, WORD_ORDER, lost};

/// library-guard-gone: a text that the shop took over from the library has the guards that the library gives it, unless
/// an approver has reviewed it as it is.
pub(crate) fn library(shop: &Shop, texts: &TextReviews, findings: &mut Vec<Finding>) {
    // A review keeps no order of sentences, no count of cautions, and not for which forks: where it is stale, the
    // library still does.
    let judged_by_review =
        |Lost { key, change }: &Lost| match texts.of(key.0, &key.1).map(|text| &text.standing) {
            None | Some(Standing::Never) => false,
            Some(Standing::Changed(_)) => ![WORD_ORDER, CARRIED, "for"].contains(&change.part.as_str()),
            Some(_) => true,
        };
    // What every service lost alike is said once.
    let mut once: BTreeMap<(String, String), (Lost, Vec<String>)> = BTreeMap::new();
    for lost in lost(shop) {
        if judged_by_review(&lost) {
            continue;
        }
        let common =
            lost.key.0 == TextKind::Service && matches!(lost.change.part.as_str(), "hand_back" | "start");
        if common {
            let key = (lost.change.part.clone(), lost.change.name.clone());
            once.entry(key).or_insert_with(|| (lost.clone(), Vec::new())).1.push(lost.key.1);
            continue;
        }
        findings.extend(told(shop, &lost, ""));
    }
    for (first, services) in once.into_values() {
        let others = match services.len() {
            1 => String::new(),
            n => format!(", and {} other services as well", n - 1),
        };
        findings.extend(told(shop, &first, &others));
    }
}

fn told(shop: &Shop, Lost { key, change }: &Lost, others: &str) -> Option<Finding> {
    let message = format!(
        "{} {}{others}; the library that comes with the program has it otherwise",
        name(key),
        change.what
    );
    Some(rules::LIBRARY_GUARD_GONE.at(place(shop, key)?, message).bench(harm(shop, change)).instead(format!(
        "{}; or, where it is right, let an approver say so with {}",
        back(key.0, change),
        command(key)
    )))
}
