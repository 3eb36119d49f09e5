//! What is written for left and right, beside what stands for both: a part or a figure on the other side than the
//! record says elsewhere.

use std::collections::BTreeSet;

use crate::catalogue::{FieldId, Key, Works, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::Quantity;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::text::Span;
use crate::words::lower_first;

/// legs-contradict: an amount that the legs do not share is not given once where the other amount of the same work is
/// given by leg, and of both the same leg takes more; what a closed cartridge has its own of is not given once where only
/// one leg holds one; a leg that is only lubricated does not take more oil than the one that damps; a note names the leg that its value stands on.
pub(crate) fn legs(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let mut seen: BTreeSet<Span> = BTreeSet::new();
    for &(amount, _) in shop.catalogue.relations().poured() {
        for other in shop.catalogue.relations().instead(amount).filter(|other| *other != amount) {
            findings.extend(once(shop, fork, amount, other).filter(|finding| seen.insert(finding.span)));
        }
    }
    findings.extend(OF_TWO_JOBS.into_iter().filter_map(|key| two_jobs(shop, fork, key)));
    findings.extend(more_where_none_damps(shop, fork));
    for side in Side::BOTH {
        for value in fork.leg(side).values.values() {
            if seen.insert(value.entry.span) {
                findings.extend(note(shop, fork, value));
            }
        }
    }
}

/// What a leg with a closed cartridge has otherwise than one that does not damp: its oil, how much of it stands
/// outside, and the air above that.
const OF_TWO_JOBS: [Key; 3] = [key::OIL_OIL, key::OIL_OUTER_VOLUME, key::OIL_OUTER_AIR_VOLUME];

/// The leg that damps and the one that does not; `None` where both do, or none.
fn damping_leg(fork: &ResolvedFork) -> Option<[Side; 2]> {
    match Side::BOTH.map(|side| fork.leg(side).work.holds(Works::Damper)) {
        [true, false] => Some([Side::Left, Side::Right]),
        [false, true] => Some([Side::Right, Side::Left]),
        _ => None,
    }
}

/// What is said once for a leg with a closed cartridge and one that does not damp.
fn two_jobs(shop: &Shop, fork: &ResolvedFork, key: Key) -> Option<Finding> {
    let closed = fork.choices.get("damping").is_some_and(|made| made == "closed-cartridge");
    damping_leg(fork).filter(|_| closed)?;
    let id = FieldId::from(key);
    let [left, right] = [Side::Left, Side::Right].map(|side| fork.leg(side).values.get(&id));
    let (left, right) = (left?, right?);
    let known = !left.not_fitted() && !left.is_unknown();
    (known && std::sync::Arc::ptr_eq(&left.entry, &right.entry)).then(|| {
        let field = shop.catalogue.field(id);
        let (title, said) = (lower_first(&field.title), &left.entry.text);
        let bench = match key == key::OIL_OUTER_VOLUME {
            true => "one leg gets the other one's oil: too much locks it, too little draws air".to_owned(),
            false => lower_first(&field.wrong),
        };
        rules::LEGS_CONTRADICT
            .graded(
                weight(fork),
                left.entry.span,
                format!("{title} is {said} in both legs, and one of them damps and the other does not"),
            )
            .bench(bench)
            .instead("read the sheet again for each leg, and write both under `left:` and `right:`")
    })
}

/// More oil in the leg that it only lubricates than around the cartridge of the other (common practice, no source).
fn more_where_none_damps(shop: &Shop, fork: &ResolvedFork) -> Option<Finding> {
    let field = FieldId::from(key::OIL_OUTER_VOLUME);
    let sides = damping_leg(fork)?;
    let [left, right] = both(fork, field)?;
    let [damps, not] = sides.map(|side| if side == Side::Left { left } else { right });
    (not.1.least_si() > damps.1.greatest_si()).then(|| {
        let title = lower_first(&shop.catalogue.field(field).title);
        rules::LEGS_CONTRADICT
            .graded(
                weight(fork),
                not.0.entry.span,
                format!(
                    "{title} is {} in the {} leg, which it only lubricates, and {} in the {} one, which damps",
                    not.0.entry.text,
                    sides[1].word(),
                    damps.0.entry.text,
                    sides[0].word()
                ),
            )
            .bench("one leg gets the other one's oil: too much locks it, too little draws air")
            .instead("read the sheet again for each leg; left and right may be exchanged")
            .also(damps.0.entry.span, "beside this")
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
