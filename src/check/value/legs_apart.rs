//! What is written for left and right, beside what stands for both: a part or a figure on the other side than the
//! record says elsewhere.

use std::collections::BTreeSet;

use crate::catalogue::{FieldId, Works, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::Quantity;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::text::Span;
use crate::words::lower_first;

/// legs-contradict: an amount that the legs do not share is not given once where the other amount of the same work is
/// given by leg, and of both the same leg takes more; a note names the leg that its value stands on.
pub(crate) fn legs(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let mut seen: BTreeSet<Span> = BTreeSet::new();
    for &(amount, _) in shop.catalogue.relations().poured() {
        for other in shop.catalogue.relations().instead(amount).filter(|other| *other != amount) {
            findings.extend(once(shop, fork, amount, other).filter(|finding| seen.insert(finding.span)));
        }
    }
    findings.extend(two_jobs(shop, fork));
    for side in Side::BOTH {
        for value in fork.leg(side).values.values() {
            if seen.insert(value.entry.span) {
                findings.extend(note(shop, fork, value));
            }
        }
    }
}

/// The oil outside the cartridge, said once for a leg that damps and one that does not.
fn two_jobs(shop: &Shop, fork: &ResolvedFork) -> Option<Finding> {
    let field = FieldId::from(key::OIL_OUTER_VOLUME);
    let [left, right] = both(fork, field)?;
    let once = std::sync::Arc::ptr_eq(&left.0.entry, &right.0.entry);
    let damps = |side| fork.leg(side).work.holds(Works::Damper);
    (once && damps(Side::Left) != damps(Side::Right)).then(|| {
        let title = lower_first(&shop.catalogue.field(field).title);
        let said = &left.0.entry.text;
        rules::LEGS_CONTRADICT
            .graded(
                weight(fork),
                left.0.entry.span,
                format!("{title} is {said} in both legs, and one of them damps and the other does not"),
            )
            .bench("one leg gets the other one's oil: too much locks it, too little draws air")
            .instead("read the sheet again for each leg, and write both under `left:` and `right:`")
    })
}

/// Both legs' figures of a value.
fn both(fork: &ResolvedFork, field: FieldId) -> Option<[(&Resolved, &Quantity); 2]> {
    let of = |side| {
        let value = fork.leg(side).values.get(&field)?;
        Some((value, value.quantity()?))
    };
    Some([of(Side::Left)?, of(Side::Right)?])
}

fn once(shop: &Shop, fork: &ResolvedFork, amount: FieldId, other: FieldId) -> Option<Finding> {
    let (amounts, others) = (both(fork, amount)?, both(fork, other)?);
    let apart = |pair: &[(&Resolved, &Quantity); 2]| pair[0].1.middle_si() - pair[1].1.middle_si();
    let (here, there) = (apart(&amounts), apart(&others));
    let title = |field: FieldId| lower_first(&shop.catalogue.field(field).title);
    let written_once = std::sync::Arc::ptr_eq(&amounts[0].0.entry, &amounts[1].0.entry);
    let beyond = amounts[0].1.greatest_si() - amounts[0].1.least_si();
    let value = amounts[0].0;
    let message = if written_once && there.abs() > beyond + 1e-12 {
        format!(
            "{} is {} in both legs, and {} is {} in the left one and {} in the right",
            title(amount),
            value.entry.text,
            title(other),
            others[0].0.entry.text,
            others[1].0.entry.text
        )
    } else if here * there < 0.0 && amount < other {
        let more = |apart: f64| if apart > 0.0 { "left" } else { "right" };
        format!(
            "of {} the {} leg takes more, of {} the {}",
            title(amount),
            more(here),
            title(other),
            more(there)
        )
    } else {
        return None;
    };
    Some(
        rules::LEGS_CONTRADICT
            .graded(weight(fork), value.entry.span, message)
            .bench("one leg gets the other one's oil: too much locks it, too little draws air")
            .instead("read the sheet again for each leg, and write both under `left:` and `right:`")
            .also(others[1].0.entry.span, "beside this"),
    )
}

/// A note that names the other leg than the one its value stands on.
fn note(shop: &Shop, fork: &ResolvedFork, value: &Resolved) -> Option<Finding> {
    let note = value.entry.note.as_deref()?.to_lowercase();
    let names = |side: Side| {
        let word = side.word();
        ["leg", "hand", "side", "tube", "fork leg"]
            .iter()
            .any(|what| note.contains(&format!("{word} {what}")) || note.contains(&format!("{word}-{what}")))
    };
    let stands = |side: Side| {
        let there = fork.leg(side).values.get(&value.field);
        there.is_some_and(|there| std::sync::Arc::ptr_eq(&there.entry, &value.entry) && !there.not_fitted())
    };
    let named = match (names(Side::Left), names(Side::Right)) {
        (true, false) => Side::Left,
        (false, true) => Side::Right,
        _ => return None,
    };
    let other = if named == Side::Left { Side::Right } else { Side::Left };
    (stands(other) && !stands(named)).then(|| {
        rules::LEGS_CONTRADICT
            .graded(
                Severity::Warning.min(weight(fork)),
                value.entry.span,
                format!(
                    "{} stands for the {} leg, and its note speaks of the {} one",
                    lower_first(&shop.catalogue.field(value.field).title),
                    other.word(),
                    named.word()
                ),
            )
            .bench("the part would be looked for, or the figure set, on the wrong leg")
            .instead("correct the note, the side of the value, or which leg does what")
    })
}
