//! What stands at the head of each printed sheet of a fork, so that a sheet alone says what it is of and whether it is
//! current.

use crate::book::Book;
use crate::card::content::codes_of;
use crate::check::CheckedFork;

/// The fork, a title, and the code of its values; a draft says so and has none.
pub fn of_fork<'s>(book: &Book<'s>, fork: &'s CheckedFork, title: &str) -> String {
    let code = codes_of(book, fork).first().map(|codes| format!("values {}", codes.values));
    head(book, fork, title, code)
}

/// The fork, its service, and the code of the card of that service, by its place among the fork's.
pub fn of_service<'s>(book: &Book<'s>, fork: &'s CheckedFork, title: &str, service: usize) -> String {
    let code = codes_of(book, fork).get(service).map(|codes| format!("card {}", codes.card));
    head(book, fork, title, code)
}

fn head(book: &Book<'_>, fork: &CheckedFork, title: &str, code: Option<String>) -> String {
    let name = fork.record.title();
    let title = if title == name { String::new() } else { format!(". {title}") };
    let code = match (fork.record.draft, book.working) {
        (true, _) => Some("DRAFT".to_owned()),
        (false, true) => Some("working copy".to_owned()),
        (false, false) => code,
    };
    let code = code.map(|code| format!(". {code}")).unwrap_or_default();
    format!("{name}{title}{code}")
}
