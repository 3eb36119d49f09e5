//! What is read as found and as left.

use super::asked::is_read;
use super::view::FoundRow;
use crate::book::Book;
use crate::book::doubt::IN_DOUBT;
use crate::book::figure::{grouped, main_said};
use crate::book::reading::{holds, is_read_apart};
use crate::book::reading::{is_amount, named_on};
use crate::book::short::sides;
use crate::book::sign::signed;
use crate::book::texts::ForkTexts;
use crate::catalogue::{FieldId, Form, Key, key};
use crate::plan::Plan;
use crate::record::Phase;
use crate::resolve::Side;
use crate::syntax::Scheme;

/// The table of what is read as found and as left: the rows of the catalogue, then what else the steps ask for.
pub(super) fn readings(book: &Book, texts: &ForkTexts<'_>, plan: &Plan<'_>) -> Vec<FoundRow> {
    let catalogue = &book.shop.catalogue;
    let mut done: Vec<FieldId> = Vec::new();
    let mut rows = Vec::new();
    let mut add = |rows: &mut Vec<FoundRow>, id: FieldId, label: &str, without_value: bool| {
        if done.contains(&id) || !without_value && sides(texts.fork, id).is_empty() {
            return;
        }
        done.push(id);
        rows.extend(reading_row(book, texts, plan, id, label));
    };
    // Where the steps say what is read, a box that none of them asks for would stay empty: at an oil change the
    // tubes stay together, and nobody can read their run-out.
    let asked = plan.references().any(|reference| reference.scheme == Scheme::Reading);
    for &id in catalogue.relations().card_rows() {
        let field = catalogue.field(id);
        let Some(row) = field.card_row.as_ref().filter(|_| !asked || is_read(plan, &field.key)) else {
            continue;
        };
        if !is_amount(field) {
            add(&mut rows, id, &row.label, row.without_value);
        }
    }
    let worn = [key::BUSHINGS_INNER_WALL, key::BUSHINGS_OUTER_WALL].map(Key::name);
    if !asked || worn.iter().any(|key| named_on(plan, key) != [false; 2] && !is_read(plan, key)) {
        let (label, hint) = ("Bushings".to_owned(), "lining, play".to_owned());
        rows.push(FoundRow { label, hint, legs: true, found: vec![true; 2], left: vec![!asked; 2] });
    }
    for reference in plan.references().filter(|reference| reference.scheme == Scheme::Reading) {
        let Some(id) = catalogue.find(&reference.target) else { continue };
        // Torques and amounts have their boxes beside the number.
        let field = catalogue.field(id);
        if field.group != "torque" && !is_amount(field) {
            add(&mut rows, id, "", true);
        }
    }
    rows
}

/// One row of the table: what is read, and the boxes for it. `None` where no leg has it.
fn reading_row(
    book: &Book,
    texts: &ForkTexts<'_>,
    plan: &Plan<'_>,
    id: FieldId,
    label: &str,
) -> Option<FoundRow> {
    let fork = texts.fork;
    let field = book.shop.catalogue.field(id);
    let quantity = sides(fork, id).first().and_then(|(_, resolved)| resolved.quantity());
    let hint = match (quantity, field.form) {
        (Some(quantity), Form::Limit | Form::Difference) => {
            let limit = grouped(&main_said(book.shop, Some(field), quantity).shown());
            let limit = signed(&limit, fork.is_uncompared(id));
            if texts.in_doubt(id) { format!("{limit} ({})", IN_DOUBT) } else { limit }
        }
        (Some(quantity), _) => main_said(book.shop, Some(field), quantity).unit.symbol.to_owned(),
        (None, _) => field.units.first().map(|unit| unit.symbol.to_owned()).unwrap_or_default(),
    };
    let label = [label, &field.reading, &field.short].into_iter().find(|text| !text.is_empty());
    let label = label.map(|text| (*text).to_owned()).unwrap_or_default();
    // Where no step says when it is read, it is read before and after.
    let [mut found, mut left] = read_on(plan, &field.key);
    if found == [false; 2] && left == [false; 2] {
        (found, left) = ([true; 2], [true; 2]);
    }
    let legs = is_read_apart(field);
    let open = |on: [bool; 2]| {
        let sides = Side::BOTH.into_iter().zip(on);
        let open: Vec<bool> = sides.map(|(side, on)| on && holds(fork, side, id, field)).collect();
        if legs { open } else { vec![open.contains(&true)] }
    };
    let (found, left) = (open(found), open(left));
    (found.contains(&true) || left.contains(&true)).then_some(FoundRow { label, hint, legs, found, left })
}

/// The legs on which the steps read a value as found, and as left.
fn read_on(plan: &Plan<'_>, key: &str) -> [[bool; 2]; 2] {
    let mut on = [[false; 2]; 2];
    for item in &plan.items {
        let mut references = item.procedure.body.references.iter();
        if references.any(|reference| reference.scheme == Scheme::Reading && reference.target == key) {
            let when = usize::from(!item.procedure.phase.is_some_and(Phase::is_as_found));
            (0..2).for_each(|leg| on[when][leg] |= item.legs[leg]);
        }
    }
    on
}
