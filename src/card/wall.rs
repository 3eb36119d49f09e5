//! What hangs on the wall: the day a fork's hang card was released, and which copies of it are to be taken down.

use std::collections::BTreeSet;

use super::content::hang_codes;
use crate::book::Book;
use crate::check::CheckedFork;
use crate::record::ReleasedCard;
use crate::review::HANG;

/// The day on which the hang card was released as it is now.
pub fn released_on<'b, 's>(book: &'b Book<'s>, fork: &'s CheckedFork) -> Option<&'b str> {
    let now = hang_codes(book, fork).card;
    let released = book.shop.released.cards.iter().rev();
    released
        .into_iter()
        .find(|old| is_of(old, fork) && old.card.text == now)
        .map(|old| old.date.text.as_str())
}

/// The hang cards of a fork that were released and say something else than now, the latest first, each code once: to be
/// taken down where they hang.
pub fn to_take_down<'b, 's>(book: &'b Book<'s>, fork: &'s CheckedFork) -> Vec<&'b ReleasedCard> {
    let mut seen = BTreeSet::from([hang_codes(book, fork).card]);
    let released = book.shop.released.cards.iter().rev();
    released.filter(|old| is_of(old, fork) && seen.insert(old.card.text.clone())).collect()
}

fn is_of(old: &ReleasedCard, fork: &CheckedFork) -> bool {
    old.fork.text == fork.id && old.service.text == HANG
}
