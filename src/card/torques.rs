//! The torques of a service.

use super::view::CardTorque;
use crate::book::figure::{attribute_text, instead_of_figure};
use crate::book::reading::named_on;
use crate::book::reading::{holds, is_read_apart};
use crate::book::short::{card_figure, sides};
use crate::book::sign::SIGN;
use crate::book::texts::ForkTexts;
use crate::book::{Book, vouch};
use crate::catalogue::{Field, FieldId, Owner};
use crate::plan::Plan;
use crate::resolve::{Resolved, ResolvedFork, Side};
use crate::syntax::Scheme;
use crate::syntax::markdown::{Piece, Reference};
use crate::words::capital;

/// The joints that this service tightens, in their order.
pub(super) fn torques(book: &Book, texts: &ForkTexts<'_>, plan: &Plan<'_>) -> Vec<CardTorque> {
    let mut out: Vec<(u32, CardTorque)> = Vec::new();
    for (id, field) in book.shop.catalogue.of(Owner::Fork).filter(|(_, field)| field.group == "torque") {
        // Only what this service tightens, on the legs on which it does.
        let on = named_on(plan, &field.key);
        let away =
            |side: &str| matches!((side, on), (_, [false, false]) | ("L", [false, _]) | ("R", [_, false]));
        for (side, resolved) in sides(texts.fork, id).into_iter().filter(|(side, _)| !away(side)) {
            out.push(torque(book, texts, plan, (id, field), (side, resolved)));
        }
    }
    // A stable sort: joints without an order keep the catalogue's, after the others.
    out.sort_by_key(|(order, _)| *order);
    out.into_iter().map(|(_, torque)| torque).collect()
}

/// A joint with its place in the order; the last place where the record gives none.
fn torque(
    book: &Book,
    texts: &ForkTexts<'_>,
    plan: &Plan<'_>,
    (id, field): (FieldId, &Field),
    (side, resolved): (&str, &Resolved),
) -> (u32, CardTorque) {
    let entry = &resolved.entry;
    let figure = card_figure(book.shop, field, side, resolved);
    let order = attribute_text(entry, "sequence").parse::<u32>().ok();
    // Without a place in the order it is tightened where the steps come to it.
    let step = step_of(plan, &field.key).filter(|_| order.is_none());
    let mut detail: Vec<String> = step.map(|step| format!("step {step}")).into_iter().collect();
    for key in ["thread", "property_class", "into", "thread_state"] {
        let text = attribute_text(entry, key);
        if !text.is_empty() {
            detail.push(if key == "into" { format!("into {text}") } else { text });
        }
    }
    if attribute_text(entry, "single_use").starts_with("new") {
        detail.push("NEW each time".to_owned());
    }
    let torque = CardTorque {
        key: field.key.clone(),
        order: order.map(|n| n.to_string()).unwrap_or_default(),
        label: format!("{} {side}", field.short).trim().to_owned(),
        main: figure.main,
        tolerance: figure.tolerance,
        second: figure.second,
        detail: match resolved.is_unknown() {
            // A sentence of its own, and not one of a list.
            true if detail.is_empty() => format!("{}.", capital(&instead_of_figure(resolved))),
            true => format!("{}. {}", capital(&instead_of_figure(resolved)), detail.join(", ")),
            false => detail.join(", "),
        },
        note: entry.note.clone().unwrap_or_default(),
        boxes: torque_boxes(texts.fork, plan, id, field, side),
        estimate: resolved.is_estimate(),
        mark: vouch::card_mark(book, texts.fork, field, resolved.is_estimate()).to_owned(),
        doubt: texts.in_doubt(id),
        sign: if texts.fork.is_uncompared(id) { SIGN.to_owned() } else { String::new() },
    };
    (order.unwrap_or(u32::MAX), torque)
}

/// The first step that names a value or asks for it to be written down.
fn step_of(plan: &Plan<'_>, key: &str) -> Option<usize> {
    let names = |r: &Reference| r.target == key && matches!(r.scheme, Scheme::Spec | Scheme::Reading);
    let asked = |piece: &Piece| matches!(piece, Piece::Reference(reference) if names(reference));
    plan.steps().find(|step| step.step.action.pieces.iter().any(asked)).map(|step| step.number)
}

/// The boxes beside a torque: left and right where the joint is on both legs, as what both reached is written.
fn torque_boxes(fork: &ResolvedFork, plan: &Plan<'_>, id: FieldId, field: &Field, side: &str) -> Vec<String> {
    let read = plan.legs_of(Scheme::Reading, &field.key);
    if read == [false; 2] {
        return Vec::new();
    }
    if !side.is_empty() || !is_read_apart(field) {
        return vec![String::new()];
    }
    let on = Side::BOTH.into_iter().zip(read).filter(|(side, on)| *on && holds(fork, *side, id, field));
    on.map(|(side, _)| if side == Side::Left { "L" } else { "R" }.to_owned()).collect()
}
