//! What stands beside a number that is another model's: taken over from the family, and compared with no sheet of this
//! very fork.

use super::lookups::Book;
use super::sign::SIGN;
use super::view::{Link, TakenOver};
use super::vouch::link;
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::words::count;

/// What the pages of a fork say of the sign; `page` is the fork's own.
pub fn taken_over(book: &Book, fork: &CheckedFork, page: &str) -> TakenOver {
    let is_open = |field: &&FieldId| fork.is_uncompared(**field);
    let key = |field: &FieldId| book.shop.catalogue.field(*field).key.as_str();
    let values: Vec<Link> =
        fork.inherited.keys().filter(is_open).map(|field| link(book, page, key(field))).collect();
    let Some(family) = fork.family.as_ref().filter(|_| !values.is_empty()) else {
        return TakenOver::default();
    };
    let sentence = format!(
        "{} of the family “{}”, compared with no sheet of this very fork.",
        count(values.len(), "value", "values"),
        family.title()
    );
    TakenOver { sign: SIGN.to_owned(), sentence, values }
}
