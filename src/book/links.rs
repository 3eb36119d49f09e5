//! Where each page of the site stands: its path from the site's top folder.

use crate::picture::Picture;

/// The page of a fork.
pub fn fork_href(id: &str) -> String {
    format!("forks/{id}.html")
}

/// The page to work from, of a fork and a service.
pub fn service_href(fork: &str, service: &str) -> String {
    format!("forks/{fork}/{service}.html")
}

/// The bench card of a fork and a service.
pub fn card_href(fork: &str, service: &str) -> String {
    format!("cards/{fork}--{service}.html")
}

/// The hang cards of the forks of a volume, counted from 0, to print in one go.
pub fn wall_binder_href(volume: usize) -> String {
    format!("cards/hang/{}.html", volume + 1)
}

/// The page of an oil.
pub fn oil_href(id: &str) -> String {
    format!("oils/{id}.html")
}

/// The entry of a spring of the stock.
pub fn spring_href(id: &str) -> String {
    format!("springs.html#{id}")
}

/// The entry of a valving.
pub fn valving_href(id: &str) -> String {
    format!("valvings.html#{id}")
}

/// The page of a procedure in its general form.
pub fn procedure_href(id: &str) -> String {
    format!("procedures/{id}.html")
}

/// The sequence of a service.
pub fn sequence_href(service: &str) -> String {
    format!("procedures/sequence/{service}.html")
}

/// The page of a complaint in its general form.
pub fn complaint_href(id: &str) -> String {
    format!("complaints/{id}.html")
}

/// The complaints about a fork, with its numbers.
pub fn fork_complaints_href(fork: &str) -> String {
    format!("forks/{fork}/complaints.html")
}

/// A fork's entry for a field.
pub fn value_href(fork: &str, key: &str) -> String {
    format!("forks/{fork}.html#{key}")
}

/// A field's entry in the field reference.
pub fn field_href(key: &str) -> String {
    format!("reference/fields.html#{key}")
}

/// All cards of a fork, to print in one go.
pub fn binder_href(fork: &str) -> String {
    format!("cards/fork/{fork}.html")
}

/// A picture of the shop's own: its file's name, and the beginning of its digest, so that a changed picture is not
/// taken from a browser's store.
pub fn picture_href(name: &str, picture: &Picture) -> String {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let stem: String = stem.chars().map(plain).collect();
    format!("pictures/{stem}-{}.{}", &picture.digest[..8], picture.kind.ending())
}
