//! The numbers to set.

use super::view::CardNumber;
use crate::book::facts::beside;
use crate::book::figure::{attribute_text, instead_of_figure, state, value_text};
use crate::book::reading::{is_amount, is_meant, is_number};
use crate::book::short::{card_figure, sides};
use crate::book::sign::{SIGN, signed};
use crate::book::texts::ForkTexts;
use crate::book::{Book, vouch};
use crate::catalogue::{Field, FieldId, Owner, Role};
use crate::check::CheckedFork;
use crate::plan::Plan;
use crate::resolve::Resolved;
use crate::syntax::Scheme;
use crate::words::lower;

/// What stands beside a number besides its state, where there is room for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Beside {
    /// Nothing.
    Nothing,
    /// The oil, and what oil or leg of another temperature asks for.
    Temperature,
    /// That, and the record's note.
    Note,
    /// The note, and all that is worked out: what fills weigh as well.
    All,
}

/// The numbers to set, with as much beside them as there is room for.
pub(super) fn numbers(
    book: &Book,
    texts: &ForkTexts<'_>,
    plan: &Plan<'_>,
    beside: Beside,
) -> Vec<CardNumber> {
    let set =
        book.shop.catalogue.of(Owner::Fork).filter(|(_, field)| {
            field.role == Role::Set && field.group != "torque" && is_number(&field.kind)
        });
    let meant = set.filter(|(_, field)| is_meant(plan, field));
    meant.filter_map(|(id, field)| number(book, texts, plan, (id, field), beside)).collect()
}

/// A number to set; `None` where the fork has no value for it, or it stands with another.
fn number(
    book: &Book,
    texts: &ForkTexts<'_>,
    plan: &Plan<'_>,
    (id, field): (FieldId, &Field),
    room: Beside,
) -> Option<CardNumber> {
    let fork = texts.fork;
    let relations = book.shop.catalogue.relations();
    // A tuning range stands with its target.
    if relations.target_of(id).is_some_and(|target| !sides(fork, target).is_empty()) {
        return None;
    }
    let sides = sides(fork, id);
    let (_, first) = sides.first()?;
    let range = relations.range_of(id);
    let estimate = sides.iter().any(|(_, resolved)| resolved.is_estimate());
    let figures = sides.iter().map(|(side, resolved)| card_figure(book.shop, field, side, resolved));
    let mut state = number_state(book, texts, id, first);
    // Where there is no room for it, the page to work from has it.
    if room > Beside::Nothing {
        state = join(&oil_of(book, texts, id), &state);
    }
    if room >= Beside::Note {
        state = join(&state, first.entry.note.as_deref().unwrap_or_default());
    }
    if room >= Beside::Temperature {
        state = join(&state, &beside(book.shop, fork, id, field, room == Beside::All));
    }
    let ranged = range.map(|id| format!(" {}", book.shop.catalogue.field(id).key)).unwrap_or_default();
    Some(CardNumber {
        key: format!("{}{ranged}", field.key),
        label: field.short.clone(),
        figures: figures.collect(),
        state,
        boxes: amount_boxes(plan, field, &sides),
        safety: field.safety,
        estimate,
        mark: vouch::card_mark(book, fork, field, estimate).to_owned(),
        doubt: texts.in_doubt(id) || range.is_some_and(|id| texts.in_doubt(id)),
        sign: if fork.is_uncompared(id) { SIGN.to_owned() } else { String::new() },
    })
}

/// The state a number holds in, with its range and how it is counted.
fn number_state(book: &Book, texts: &ForkTexts<'_>, id: FieldId, resolved: &Resolved) -> String {
    let mut text = state(&resolved.entry);
    if resolved.is_unknown() {
        let aside = instead_of_figure(resolved);
        text = if text.is_empty() { aside } else { format!("{aside}; {text}") };
    }
    let range = book.shop.catalogue.relations().range_of(id).map(|range| of_one_leg(texts, id, range));
    if let Some(range) = range.filter(|range| !range.is_empty()) {
        text = join(&text, &format!("range {range}"));
    }
    text = join(&text, &told_with(book, texts, id));
    if let Some(faces) = faces(book, texts.fork, id) {
        text = faces;
    }
    for key in ["counted", "first_click"] {
        text = join(&text, &attribute_text(&resolved.entry, key));
    }
    text
}

/// The oil that an amount is of, as its bottle is called: nobody fills from memory.
fn oil_of(book: &Book, texts: &ForkTexts<'_>, id: FieldId) -> String {
    let poured = book.shop.catalogue.relations().poured().iter().find(|(amount, _)| *amount == id);
    let mut oils = poured.into_iter().flat_map(|(_, oils)| oils).map(|oil| texts.short(*oil));
    oils.find(|oil| !oil.is_empty()).map(|oil| oil.to_string()).unwrap_or_default()
}

/// What is told with a number of one leg alone: the number says the leg already.
fn of_one_leg(texts: &ForkTexts<'_>, number: FieldId, told: FieldId) -> String {
    let text = texts.short(told);
    match (sides(texts.fork, number).as_slice(), sides(texts.fork, told).as_slice()) {
        ([(leg, _)], [(same, _)]) if leg == same && !leg.is_empty() => {
            text.strip_prefix(*leg).map_or(&**text, str::trim_start).to_owned()
        }
        _ => text.to_string(),
    }
}

/// The limit of a number, and the shares of an amount, where the record has them: neither may be looked up elsewhere.
fn told_with(book: &Book, texts: &ForkTexts<'_>, id: FieldId) -> String {
    let (catalogue, relations) = (&book.shop.catalogue, book.shop.catalogue.relations());
    let limit = relations.limit_of(id).map(|limit| ("limit".to_owned(), limit));
    let shares = relations.shares_of(id).map(|share| (lower(&catalogue.field(share).short), share));
    let told = limit.into_iter().chain(shares).map(|(name, told)| (name, of_one_leg(texts, id, told)));
    let told = told.filter(|(_, text)| !text.is_empty()).map(|(name, text)| format!("{name} {text}"));
    told.collect::<Vec<_>>().join(", ")
}

/// The boxes beside an amount, for the legs on which it is written down.
fn amount_boxes(plan: &Plan<'_>, field: &Field, sides: &[(&str, &Resolved)]) -> Vec<String> {
    if !is_amount(field) {
        return Vec::new();
    }
    let has = |leg: &str| sides.iter().any(|(side, _)| side.is_empty() || *side == leg);
    let read = ["L", "R"].into_iter().zip(plan.legs_of(Scheme::Reading, &field.key));
    read.filter(|(leg, is_read)| *is_read && has(leg)).map(|(leg, _)| leg.to_owned()).collect()
}

fn join(first: &str, second: &str) -> String {
    let parts = [first, second].into_iter().filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join(", ")
}

/// The two faces between which a height is measured, in a sentence; empty where the record does not name both.
fn faces(book: &Book, fork: &CheckedFork, height: FieldId) -> Option<String> {
    let catalogue = &book.shop.catalogue;
    let faces = catalogue.relations().faces(height)?;
    let [from, to] = faces.map(|face| {
        let value = fork.any(face).and_then(Resolved::value)?;
        let text = lower(&value_text(book.shop, catalogue.field(face), value).0);
        Some(signed(&text, fork.is_uncompared(face)))
    });
    Some(format!("from {} to {}", from?, to?))
}
