//! The parts of a job that are ordered by number.

use std::collections::BTreeSet;

use crate::catalogue::{FieldId, Per};
use crate::plan::Plan;
use crate::record::{Entry, Part};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::syntax::Scheme;

/// The attribute that says a part's number.
pub const NUMBER: &str = "part_number";

/// A part with its number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct NumberedPart {
    /// What it is called.
    pub title: String,
    /// Its number, as the maker writes it.
    pub number: String,
    /// How many are taken; `None`: as many as the pull list counts.
    pub count: Option<u32>,
}

/// The number that a value says of its part.
pub fn number(entry: &Entry) -> Option<&str> {
    entry.attributes.get(NUMBER).filter(|named| named.is_known()).map(|named| named.text.text.as_str())
}

/// A part's size with its number behind it, where it has one.
pub fn with_number(size: &str, entry: &Entry) -> String {
    number(entry).map_or_else(|| size.to_owned(), |number| format!("{size}, no. {number}"))
}

/// A size as [`with_number`] gives it, apart from the number; both may be empty.
pub fn apart(sized: &str) -> (&str, &str) {
    match sized.rsplit_once(", no. ") {
        Some(both) => both,
        None => sized.strip_prefix("no. ").map_or((sized, ""), |number| ("", number)),
    }
}

/// The parts that the records list for a service, apart from those that values tell of.
pub fn listed<'f>(fork: &'f ResolvedFork, service: &'f str) -> impl Iterator<Item = NumberedPart> + 'f {
    of_service(fork, service).map(|part| NumberedPart {
        title: part.title.text.clone(),
        number: part.number.text.clone(),
        count: Some(part.count),
    })
}

/// The parts of the records that a service takes.
fn of_service<'f>(fork: &'f ResolvedFork, service: &'f str) -> impl Iterator<Item = &'f Part> + 'f {
    let is_of =
        move |part: &&Part| part.services.is_empty() || part.services.iter().any(|id| id.text == service);
    fork.parts().filter(is_of)
}

/// The keys of the values whose parts a listed one brings, such as the seals of a kit: they are ordered once.
pub fn held<'f>(fork: &'f ResolvedFork, service: &'f str) -> BTreeSet<&'f str> {
    of_service(fork, service).flat_map(|part| &part.holds).map(|key| key.text.as_str()).collect()
}

/// The parts with a number that a plan takes, sorted: those listed, and those that its steps and consumables name.
pub fn numbered(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>) -> Vec<NumberedPart> {
    let mut out: BTreeSet<NumberedPart> = listed(fork, &plan.service.id.text).collect();
    let mut add = |field: FieldId, legs: [bool; 2]| {
        let per_leg = shop.catalogue.field(field).per == Per::Leg;
        for (n, side) in Side::BOTH.into_iter().enumerate() {
            let value = fork.on(side, field).filter(|_| legs[n] || !per_leg);
            let Some(number) = value.and_then(|value| number(&value.entry)) else { continue };
            let title = shop.catalogue.field(field).title.clone();
            out.insert(NumberedPart { title, number: number.to_owned(), count: None });
        }
    };
    for item in &plan.items {
        let used = item.procedure.consumables.iter().filter_map(|id| shop.tool(&id.text)?.sized_by.as_ref());
        used.filter_map(|key| shop.catalogue.find(&key.text)).for_each(|field| add(field, item.legs));
    }
    let linked = plan.references().filter(|reference| reference.scheme == Scheme::Spec);
    for reference in linked {
        let Some(field) = shop.catalogue.find(&reference.target) else { continue };
        add(field, plan.legs_of(Scheme::Spec, &reference.target));
    }
    out.into_iter().collect()
}

/// The same in a line of a card; empty where no part has a number.
pub fn in_line(parts: &[NumberedPart]) -> String {
    let said = parts.iter().map(|part| {
        let count = part.count.map(|count| format!("{count}\u{a0}×\u{a0}")).unwrap_or_default();
        format!("{count}{} {}", part.title, part.number)
    });
    said.collect::<Vec<_>>().join("; ")
}
