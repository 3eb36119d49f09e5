//! Every condition and every caution that is named is there.

use std::collections::BTreeSet;

use super::condition_words::lists;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::record::{RecordKind, Text};
use crate::resolve::Shop;

/// unknown-condition, dangling-reference: every condition and every caution named is there.
pub(crate) fn names(shop: &Shop, findings: &mut Vec<Finding>) {
    // A file that cannot be read has been told about; what it would have held stays silent.
    if shop.unread(RecordKind::Conditions) {
        return;
    }
    if shop.conditions.file.is_none() {
        findings.extend(no_file(shop));
        return;
    }
    let declared: BTreeSet<&str> =
        shop.conditions.list.iter().map(|condition| condition.id.text.as_str()).collect();
    let between_conditions = shop.conditions.list.iter().flat_map(|condition| {
        let orders = condition.only_after.iter().chain(&condition.ended_by);
        condition.implies.iter().chain(&condition.excludes).chain(orders)
    });
    let of_cautions = shop
        .cautions
        .iter()
        .flat_map(|one| one.warns_at.iter().chain(&one.warns_also_at).chain(&one.warns_at_end_of));
    let all = lists(shop).flat_map(|(_, names)| names).chain(between_conditions).chain(of_cautions);
    for name in all {
        if declared.contains(name.text.as_str()) {
            continue;
        }
        let add = || "say it in procedures/conditions.yaml, or name one that is there".to_owned();
        findings.push(
            rules::UNKNOWN_CONDITION
                .at(name.span, format!("there is no condition `{}`", name.text))
                .bench("the order it should guard is not checked")
                .instead(did_you_mean(&name.text, declared.iter().copied(), add)),
        );
    }
    for caution in shop.conditions.list.iter().flat_map(|condition| &condition.cautions) {
        crate::check::shop::links::dangling(shop, RecordKind::Caution, &caution.text, caution.span, findings);
    }
}

/// The whole file of conditions is not there: one finding, however many it should hold.
fn no_file(shop: &Shop) -> Option<Finding> {
    let names: Vec<&Text> = lists(shop).flat_map(|(_, names)| names).collect();
    let first = names.iter().min_by_key(|name| name.span)?;
    let count = names.iter().map(|name| name.text.as_str()).collect::<BTreeSet<_>>().len();
    let what = if count == 1 {
        format!("there is no condition `{}`: procedures/conditions.yaml is not there", first.text)
    } else {
        format!("there are no conditions: procedures/conditions.yaml is not there, and {count} are named")
    };
    Some(
        rules::UNKNOWN_CONDITION
            .at(first.span, what)
            .bench("no service's order is checked")
            .instead("restore procedures/conditions.yaml from git, or write it anew"),
    )
}
