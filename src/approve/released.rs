//! The file of released cards, with cards added.

use super::edit::{CannotAdd, Item, append};
use crate::record::ReleasedCard;
use crate::review::CardNow;
use crate::syntax::scalar;

/// The file of released cards with these added; `None` where each is the last of its kind there already.
///
/// # Errors
/// Why it cannot be added to.
pub fn released_text(
    text: Option<&str>,
    released: &[ReleasedCard],
    cards: &[CardNow],
    date: &str,
) -> Result<Option<String>, CannotAdd> {
    let is_last = |card: &&CardNow| {
        let last =
            released.iter().rev().find(|old| old.fork.text == card.fork && old.service.text == card.service);
        last.is_some_and(|old| old.values.text == card.values && old.card.text == card.card)
    };
    let items: Vec<Item> =
        cards.iter().filter(|card| !is_last(card)).map(|card| card_item(card, date)).collect();
    if items.is_empty() {
        return Ok(None);
    }
    let start = text.unwrap_or(
        "# yaml-language-server: $schema=schema/released.schema.json\n\
         # The codes of released cards, oldest first. `benchleaf approve` adds to it; nothing is ever taken out.\n\
         cards:\n",
    );
    append(start, "cards", &items).map(Some)
}

pub(super) fn card_item(card: &CardNow, date: &str) -> Item {
    let CardNow { values, card: code, .. } = card;
    let (fork, service) = (scalar(&card.fork), scalar(&card.service));
    let flow =
        format!("{{fork: {fork}, service: {service}, values: {values}, card: {code}, date: \"{date}\"}}");
    Item { lines: vec![flow.clone()], flow }
}
