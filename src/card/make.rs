//! The bench card: what goes on it, and how it is made to fit.

use super::content::codes_of;
use super::paper::{back, front};
use super::qr::qr;
use super::view::{CardNumber, CardTorque, CardView, FoundRow, JobBox};
use crate::book::doubt::IN_DOUBT;
use crate::book::due::due;
use crate::book::facts::{beside, card_tables};
use crate::book::figure::{attribute_text, grouped, machines_line, main_said, state, value_text};
use crate::book::links::service_href;
use crate::book::reading::{holds, is_number, is_read_apart};
use crate::book::short::{card_figure, sides};
use crate::book::texts::ForkTexts;
use crate::book::view::DueView;
use crate::book::{Book, vouch};
use crate::catalogue::{Field, FieldId, Form, Key, Owner, Role, key};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::Plan;
use crate::quantity::{Dimension, Kind};
use crate::record::Phase;
use crate::resolve::{Resolved, ResolvedFork, Side};
use crate::syntax::Scheme;
use crate::syntax::markdown::Piece;
use crate::words::lower;

/// A card with how far it goes over the sheet's edge.
#[derive(Debug, Clone)]
pub struct Card {
    /// What the template receives.
    pub view: CardView,
    /// Millimetres too many on the front; zero or less when it fits.
    pub front_over: f64,
    /// Millimetres too many on the back; zero or less when it fits.
    pub back_over: f64,
}

/// Makes the card of a fork and the service in this place among its own.
pub fn card<'s>(book: &Book<'s>, fork: &'s CheckedFork, n: usize) -> Card {
    let shop = book.shop;
    let plan = &book.plans.of(fork)[n];
    let record = &fork.record;
    let id = &plan.service.id.text;
    let page = service_href(&fork.id, id);
    let site = shop
        .settings
        .site
        .as_ref()
        .map(|text| text.text.trim_end_matches('/').to_owned())
        .unwrap_or_default();
    let address = if site.is_empty() { String::new() } else { format!("{site}/{page}") };
    let told = book.texts(fork);
    let facts = told.facts();
    let due = due(shop, fork, Some(&plan.renewed()));
    let codes = codes_of(book, fork)[n].clone();
    let mut view = CardView {
        fork: record.title(),
        service: plan.service.title.clone(),
        machines: machines_line(record),
        review: vouch::on_card(book, fork),
        values_code: codes.values,
        print_code: codes.card,
        qr_html: if address.is_empty() { String::new() } else { qr(&address) },
        address,
        job: boxes(&[
            ("Job", 2),
            ("Frame number", 4),
            ("Distance or hours", 3),
            ("Date", 3),
            ("Rider: mass, use", 3),
            ("Complaint", 5),
            ("Oil as it came out: colour, water, metal", 4),
        ]),
        numbers: numbers(book, &told, plan, true),
        found: found(book, &told, plan),
        torques: torques(book, &told, plan),
        not_made: facts.not_made.clone(),
        tables: card_tables(fork),
        parts: parts_boxes(&due),
        sign: boxes(&[
            ("Technician", 3),
            ("Date", 3),
            ("Second check: every number read back", 4),
            ("Date", 2),
        ]),
        ..CardView::default()
    };
    let fitted = fit_on(book, &told, plan, view.clone());
    let fits = |card: &Card| card.front_over <= 0.0 && card.back_over <= 0.0;
    let own = view.numbers.iter().map(|number| &number.mark);
    let marks: Vec<&String> =
        own.chain(view.torques.iter().map(|torque| &torque.mark)).filter(|mark| !mark.is_empty()).collect();
    if fits(&fitted) || marks.is_empty() && !in_doubt(&view) {
        return fitted;
    }
    // Where the marks do not fit, one at the head stands for all of them; what changed stands there anyway. A doubt
    // keeps its mark at the number as long as it can.
    if !marks.is_empty() {
        if marks.iter().any(|mark| *mark == "UNREVIEWED") {
            view.review = format!("UNREVIEWED: {}", view.review);
        }
        view.numbers.iter_mut().for_each(|number| number.mark.clear());
        view.torques.iter_mut().for_each(|torque| torque.mark.clear());
        let fitted = fit_on(book, &told, plan, view.clone());
        if fits(&fitted) || !in_doubt(&view) {
            return fitted;
        }
    }
    let numbers = view.numbers.iter().filter(|number| number.doubt).map(|number| number.label.as_str());
    let torques = view.torques.iter().filter(|torque| torque.doubt).map(|torque| torque.label.as_str());
    let names: Vec<&str> = numbers.chain(torques).collect();
    view.review = format!("{}: {}. {}", IN_DOUBT, names.join(", "), view.review);
    view.numbers.iter_mut().for_each(|number| number.doubt = false);
    view.torques.iter_mut().for_each(|torque| torque.doubt = false);
    fit_on(book, &told, plan, view)
}

/// Whether a number carries the mark that it is in doubt.
fn in_doubt(view: &CardView) -> bool {
    view.numbers.iter().any(|number| number.doubt) || view.torques.iter().any(|torque| torque.doubt)
}

/// Makes the card fit, as far as it goes.
fn fit_on(book: &Book, told: &ForkTexts<'_>, plan: &Plan<'_>, mut view: CardView) -> Card {
    let mut front_over = front(book, told, plan, &mut view);
    if front_over > 0.0 {
        // The fork's page has what is worked out beside them.
        let marked = view.numbers.iter().any(|number| !number.mark.is_empty());
        let doubt = view.numbers.iter().any(|number| number.doubt);
        view.numbers = numbers(book, told, plan, false);
        for number in &mut view.numbers {
            number.doubt &= doubt;
            if !marked {
                number.mark.clear();
            }
        }
        front_over = front(book, told, plan, &mut view);
    }
    let back_over = back(book, told, plan, &mut view);
    Card { view, front_over, back_over }
}

/// The finding of a card that does not fit on its sheet.
pub fn overflow(book: &Book, fork: &CheckedFork, n: usize, made: &Card) -> Option<Finding> {
    let service = book.plans.of(fork)[n].service;
    let (side, over, instead) = if made.front_over > 0.0 {
        (
            "front",
            made.front_over,
            "shorten states and caution titles, or keep fewer readings in this service",
        )
    } else if made.back_over > 0.0 {
        (
            "back",
            made.back_over,
            "split the service in two, or shorten the titles of its procedures and the notes at its torques",
        )
    } else {
        return None;
    };
    let what = format!(
        "the {side} of this service’s card for `{}` is {:.0} mm too long for the sheet",
        fork.id,
        over.ceil()
    );
    let mut finding = rules::CARD_OVERFLOW
        .at(service.id.span, what)
        .bench("the last lines would be cut off or land on a third page that nobody keeps")
        .instead(instead);
    finding.reaches = vec![fork.id.clone()];
    Some(finding)
}

/// What was fitted, and when what was renewed is due again: the reading and the interval to be added.
fn parts_boxes(due: &DueView) -> Vec<JobBox> {
    let due: Vec<String> = due
        .rows
        .iter()
        .filter(|row| row.renewed)
        .take(2)
        .map(|row| format!("{} due: now + {}\u{a0}{} =", row.title, grouped(&row.add), row.unit))
        .collect();
    match due.as_slice() {
        [] => boxes(&[("Oil and batch", 3), ("Parts fitted", 6), ("Torque tool and its date", 3)]),
        [one] => {
            boxes(&[("Oil and batch", 3), ("Parts fitted", 4), ("Torque tool and its date", 2), (one, 3)])
        }
        [one, two, ..] => boxes(&[
            ("Oil and batch", 2),
            ("Parts fitted", 3),
            ("Torque tool and its date", 2),
            (one, 3),
            (two, 2),
        ]),
    }
}

fn boxes(list: &[(&str, u8)]) -> Vec<JobBox> {
    list.iter().map(|(label, span)| JobBox { label: (*label).to_owned(), span: *span }).collect()
}

/// Whether the procedures ask for a value to be written down.
fn is_read(plan: &Plan<'_>, key: &str) -> bool {
    plan.links_to(Scheme::Reading, key)
}

/// The legs on which a step names a value, or asks for it to be written down.
fn named_on(plan: &Plan<'_>, key: &str) -> [bool; 2] {
    let (named, read) = (plan.legs_of(Scheme::Spec, key), plan.legs_of(Scheme::Reading, key));
    [named[0] || read[0], named[1] || read[1]]
}

/// An amount that goes in: it is written as left, and beside the number itself.
fn is_amount(field: &Field) -> bool {
    field.role == Role::Set && matches!(field.kind, Kind::Quantity(Dimension::Volume))
}

fn join(first: &str, second: &str) -> String {
    let parts = [first, second].into_iter().filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join(", ")
}

/// The two faces between which a height is measured, in a sentence; empty where the record does not name both.
fn faces(book: &Book, fork: &ResolvedFork, height: FieldId) -> Option<String> {
    let catalogue = &book.shop.catalogue;
    let [from, to] = catalogue.relations().faces(height)?.map(|face| {
        let value = fork.any(face).and_then(Resolved::value)?;
        Some(lower(&value_text(book.shop, catalogue.field(face), value).0))
    });
    Some(format!("from {} to {}", from?, to?))
}

/// The numbers to set; with what is worked out beside them where there is room for it.
fn numbers(book: &Book, told: &ForkTexts<'_>, plan: &Plan<'_>, worked_out: bool) -> Vec<CardNumber> {
    let fork = told.fork;
    let catalogue = &book.shop.catalogue;
    let mut out = Vec::new();
    for (id, field) in catalogue.of(Owner::Fork) {
        if field.role != Role::Set || field.group == "torque" || !is_number(&field.kind) {
            continue;
        }
        // The refill of an oil change beside the dry fill of a strip would be poured by mistake.
        if is_amount(field) && named_on(plan, &field.key) == [false; 2] {
            continue;
        }
        // A tuning range stands with its target.
        let target = catalogue.relations().target_of(id);
        if target.is_some_and(|target| !sides(fork, target).is_empty()) {
            continue;
        }
        let sides = sides(fork, id);
        let Some((_, first)) = sides.first() else { continue };
        let mut state = state(&first.entry);
        let range = catalogue.relations().range_of(id);
        if let Some(text) = range.map(|id| told.short(id)).filter(|text| !text.is_empty()) {
            state = join(&state, &format!("range {text}"));
        }
        if let Some(faces) = faces(book, fork, id) {
            state = faces;
        }
        for key in ["counted", "first_click"] {
            state = join(&state, &attribute_text(&first.entry, key));
        }
        if worked_out {
            state = join(&state, &beside(fork, id, field));
        }
        out.push(CardNumber {
            label: field.short.clone(),
            figures: sides
                .iter()
                .map(|(side, resolved)| card_figure(book.shop, field, side, resolved))
                .collect(),
            state,
            boxes: match is_amount(field).then(|| plan.legs_of(Scheme::Reading, &field.key)) {
                None => Vec::new(),
                Some(read) => {
                    let has = |side: &str| sides.iter().any(|(own, _)| own.is_empty() || *own == side);
                    let boxes = ["L", "R"].into_iter().zip(read).filter(|(side, on)| *on && has(side));
                    boxes.map(|(side, _)| side.to_owned()).collect()
                }
            },
            safety: field.safety,
            estimate: sides.iter().any(|(_, resolved)| resolved.is_estimate()),
            mark: {
                let estimate = sides.iter().any(|(_, resolved)| resolved.is_estimate());
                vouch::card_mark(book, fork, field, estimate).to_owned()
            },
            doubt: told.in_doubt(id) || range.is_some_and(|id| told.in_doubt(id)),
        });
    }
    out
}

fn torques(book: &Book, told: &ForkTexts<'_>, plan: &Plan<'_>) -> Vec<CardTorque> {
    let fork = told.fork;
    let mut out: Vec<(u32, CardTorque)> = Vec::new();
    for (id, field) in book.shop.catalogue.of(Owner::Fork).filter(|(_, field)| field.group == "torque") {
        // Only what this service tightens, on the legs on which it does.
        let on = named_on(plan, &field.key);
        let away =
            |side: &str| matches!((side, on), (_, [false, false]) | ("L", [false, _]) | ("R", [_, false]));
        for (side, resolved) in sides(fork, id).into_iter().filter(|(side, _)| !away(side)) {
            let figure = card_figure(book.shop, field, side, resolved);
            let entry = &resolved.entry;
            let mut detail: Vec<String> = Vec::new();
            for key in ["thread", "property_class", "into", "thread_state"] {
                let text = attribute_text(entry, key);
                if !text.is_empty() {
                    detail.push(if key == "into" { format!("into {text}") } else { text });
                }
            }
            if attribute_text(entry, "single_use").starts_with("new") {
                detail.push("NEW each time".to_owned());
            }
            let order = attribute_text(entry, "sequence").parse::<u32>().ok();
            // Without a place in the order it is tightened where the steps come to it.
            if let Some(step) = step_of(plan, &field.key).filter(|_| order.is_none()) {
                detail.insert(0, format!("step {step}"));
            }
            out.push((
                order.unwrap_or(u32::MAX),
                CardTorque {
                    order: order.map(|n| n.to_string()).unwrap_or_default(),
                    label: format!("{} {side}", field.short).trim().to_owned(),
                    main: figure.main,
                    tolerance: figure.tolerance,
                    second: figure.second,
                    detail: detail.join(", "),
                    boxes: torque_boxes(fork, plan, id, field, side),
                    estimate: resolved.is_estimate(),
                    mark: vouch::card_mark(book, fork, field, resolved.is_estimate()).to_owned(),
                    doubt: told.in_doubt(id),
                },
            ));
        }
    }
    // A stable sort: joints without an order keep the catalogue's, after the others.
    out.sort_by_key(|(order, _)| *order);
    out.into_iter().map(|(_, torque)| torque).collect()
}

/// The first step that names a value or asks for it to be written down.
fn step_of(plan: &Plan<'_>, key: &str) -> Option<usize> {
    let names = |r: &crate::syntax::markdown::Reference| {
        r.target == key && matches!(r.scheme, Scheme::Spec | Scheme::Reading)
    };
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

/// One row of the table: what is read, and the boxes for it. `None` where no leg has it.
fn found_row(
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

/// The table of what is read as found and as left: the rows of the catalogue, then what else the steps ask for.
fn found(book: &Book, texts: &ForkTexts<'_>, plan: &Plan<'_>) -> Vec<FoundRow> {
    let catalogue = &book.shop.catalogue;
    let mut done: Vec<FieldId> = Vec::new();
    let mut rows = Vec::new();
    let mut add = |rows: &mut Vec<FoundRow>, id: FieldId, label: &str, without_value: bool| {
        if done.contains(&id) || !without_value && sides(texts.fork, id).is_empty() {
            return;
        }
        done.push(id);
        rows.extend(found_row(book, texts, plan, id, label));
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
