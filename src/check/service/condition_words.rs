//! The lists of conditions, and a condition as a mechanic says it.

use crate::record::{Condition, Text};
use crate::resolve::Shop;

/// Every list of conditions that is not a condition's own.
pub(super) fn lists(shop: &Shop) -> impl Iterator<Item = (&'static str, &[Text])> {
    let common = [("start", shop.conditions.start.as_slice()), ("hand_back", &shop.conditions.hand_back)];
    let services =
        shop.services.iter().flat_map(|s| [("start", s.start.as_slice()), ("hand_back", &s.hand_back)]);
    let procedures = shop
        .procedures
        .iter()
        .flat_map(|p| [("needs", p.needs.as_slice()), ("brings", &p.brings), ("ends", &p.ends)]);
    common.into_iter().chain(services).chain(procedures)
}

/// A condition as a mechanic says it, between quotation marks.
pub(crate) fn quoted(condition: &Condition) -> String {
    format!("“{}”", condition.says)
}

/// What happens where a condition is needed and does not hold; `None` where the shop does not say, or has no such
/// condition.
pub(crate) fn otherwise(shop: &Shop, id: &str) -> Option<String> {
    shop.conditions.list.iter().find(|condition| condition.id.text == id)?.otherwise.clone()
}
