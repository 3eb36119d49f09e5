//! Guards of procedures, cautions, conditions and services that went or came, by name.

use super::change::GuardChange;
use crate::resolve::Shop;
use crate::review::{Change, changes, of_shop};

/// Every guard that one side has and the other has not, in the texts that both have.
pub(super) fn guards(old: &Shop, new: &Shop) -> Vec<GuardChange> {
    let (was, is) = (of_shop(old), of_shop(new));
    let mut out = Vec::new();
    for (key, now) in &is {
        let Some(before) = was.get(key) else { continue };
        let record = format!("{} {}", key.0.word(), key.1);
        // What is kept as a code is told with its words before and after.
        let by_name = |change: &Change| change.guard || !change.name.is_empty();
        out.extend(changes(key.0, before, now).into_iter().filter(by_name).map(|change| GuardChange {
            record: record.clone(),
            lost: change.guard,
            what: in_words(old, new, &change),
        }));
    }
    out
}

/// A change with the sentence of the condition that it names.
fn in_words(old: &Shop, new: &Shop, change: &Change) -> String {
    let says = |shop: &Shop| {
        let one = shop.conditions.list.iter().find(|condition| condition.id.text == change.name)?;
        Some(one.says.clone())
    };
    match says(new).or_else(|| says(old)) {
        Some(says) => format!("{} ({says})", change.what),
        None => change.what.clone(),
    }
}
