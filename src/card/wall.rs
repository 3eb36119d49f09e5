//! What hangs on the wall: the day a fork's hang card was released, and which copies of it are to be taken down.

use std::collections::BTreeSet;

use super::content::hang_codes;
use crate::book::Book;
use crate::check::CheckedFork;
use crate::record::ReleasedCard;
use crate::review::HANG;

/// The day on which the hang card was released as it is now.
pub fn released_on<'b, 's>(book: &'b Book<'s>, fork: &'s CheckedFork) -> Option<&'b str> {
    let mut released = hung(book, fork).peekable();
    // Most have never been printed: what their card says need not be known.
    released.peek()?;
    let now = hang_codes(book, fork).card;
    released.find(|old| old.card.text == now).map(|old| old.date.text.as_str())
}

/// The hang cards of a fork that were released and say something else than now, the latest first, each code once: to be
/// taken down where they hang.
pub fn to_take_down<'b, 's>(book: &'b Book<'s>, fork: &'s CheckedFork) -> Vec<&'b ReleasedCard> {
    let mut released = hung(book, fork).peekable();
    if released.peek().is_none() {
        return Vec::new();
    }
    let mut seen = BTreeSet::from([hang_codes(book, fork).card]);
    released.filter(|old| seen.insert(old.card.text.clone())).collect()
}

/// The hang cards of a fork that were released, the latest first.
pub fn hung<'b>(book: &'b Book<'_>, fork: &CheckedFork) -> impl Iterator<Item = &'b ReleasedCard> {
    book.shop.released.cards.iter().rev().filter(|old| is_of(old, fork))
}

fn is_of(old: &ReleasedCard, fork: &CheckedFork) -> bool {
    old.fork.text == fork.id && old.service.text == HANG
}
