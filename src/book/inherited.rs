//! What stands beside a number that is another model's: taken over from the family, and compared with no sheet of this
//! fork.

use super::keys;
use super::lookups::Book;
use super::sign::{ON_CARD, SIGN};
use super::view::{Link, TakenOver};
use super::vouch::link;
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::record::Accept;
use crate::review::{CHOICES, counted};
use crate::words::count;

/// What the pages of a fork say of the sign; `page` is the fork's own.
pub fn taken_over(book: &Book, fork: &CheckedFork, page: &str) -> TakenOver {
    let is_open = |field: &&FieldId| fork.is_uncompared(**field);
    let key = |field: &FieldId| book.shop.catalogue.field(*field).key.as_str();
    let mut values: Vec<Link> =
        fork.inherited.values.keys().filter(is_open).map(|field| link(book, page, key(field))).collect();
    let choices = fork.inherited.open_choices().count();
    let accepted = accepted(fork);
    let Some(family) = fork.family.as_ref().filter(|_| choices + values.len() > 0) else {
        return TakenOver { accepted, ..TakenOver::default() };
    };
    let what = counted(values.len(), choices);
    let sentence = format!("{what} of the family “{}”, compared with no sheet of this fork.", family.title());
    if choices > 0 {
        values.push(link(book, page, CHOICES));
    }
    TakenOver { sign: SIGN.to_owned(), sentence, values, accepted }
}

/// What an approver lets stand of the fork as a whole, a sentence each.
fn accepted(fork: &CheckedFork) -> Vec<String> {
    let sentence = |accept: &Accept| {
        let what = keys::rule(&accept.finding.text);
        let reason = accept.reason.trim().trim_end_matches('.');
        format!("{what}, let stand by {}: {reason}.", accept.by.text)
    };
    fork.record.accept.iter().map(sentence).collect()
}

/// What a card says of the sign, and of choices that nobody compared: its steps hang on them. Empty where everything
/// was compared. Before it stands what an approver lets stand of the fork as a whole.
pub fn on_card(fork: &CheckedFork) -> String {
    let choices = fork.inherited.open_choices().count();
    let steps = match choices {
        0 => String::new(),
        n => format!(
            "The steps hang on {} of the family’s record that nobody compared with a sheet of this fork.",
            count(n, "choice", "choices")
        ),
    };
    let signs = on_wall(fork);
    [signs.as_str(), steps.as_str()].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ")
}

/// The same for a card without steps: what is let stand, and what the sign means.
pub fn on_wall(fork: &CheckedFork) -> String {
    let sign = fork.inherited.values.keys().any(|field| fork.is_uncompared(*field));
    let accepted = accepted(fork).join(" ");
    let sign = if sign { ON_CARD } else { "" };
    [accepted.as_str(), sign].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ")
}
