//! The sign at a number that is another model's, and what a card says of it.

use crate::check::CheckedFork;
use crate::resolve::Shop;

/// The sign beside such a number.
pub const SIGN: &str = "†";

/// What a card says of the sign, once.
pub const ON_CARD: &str =
    "† From the family’s record, compared with no sheet of this fork: ask before you use it.";

/// Whether something rests on a value that the fork takes over and nobody compared with a sheet of its own; `keys` are
/// those it was worked out from.
pub fn rests_on_family(shop: &Shop, fork: &CheckedFork, keys: &[String]) -> bool {
    keys.iter().any(|key| shop.catalogue.find(key).is_some_and(|field| fork.is_uncompared(field)))
}

/// A sentence with the sign before its full stop, where what it says rests on such a value.
pub fn signed_sentence(text: String, taken_over: bool) -> String {
    match text.strip_suffix('.').filter(|_| taken_over) {
        Some(sentence) => format!("{sentence}\u{a0}{SIGN}."),
        None => signed(&text, taken_over),
    }
}

/// A text without signs: what a card says, and not what is known of it.
pub fn unsigned(text: &str) -> String {
    text.replace(&format!("\u{a0}{SIGN}"), "")
}

/// A text with the sign, where it is one; a text that says nothing needs none.
pub fn signed(text: &str, taken_over: bool) -> String {
    if taken_over && !text.is_empty() { format!("{text}\u{a0}{SIGN}") } else { text.to_owned() }
}
