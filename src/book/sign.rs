//! The sign at a number that is another model's, and what a card says of it.

/// The sign beside such a number.
pub const SIGN: &str = "†";

/// What a card says of the sign, once.
pub const ON_CARD: &str =
    "† From the family’s record, compared with no sheet of this fork: ask before you use it.";

/// A text with the sign, where it is one; a text that says nothing needs none.
pub fn signed(text: &str, taken_over: bool) -> String {
    if taken_over && !text.is_empty() { format!("{text}\u{a0}{SIGN}") } else { text.to_owned() }
}
