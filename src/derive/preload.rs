//! The preload of one leg's spring: one account, from which sag, coil bind and the stored forces all start.
//!
//! What is built in is there with the adjuster fully out. The adjuster adds its baseline, and at most its range.

use super::answer::{Answer, Ask, Given};
use crate::bench::units::{Length, length};
use crate::catalogue::{Key, key};
use crate::quantity::{Dimension, Quantity, Value};

/// How far the spring is squeezed in the extended leg.
#[derive(Debug, Clone, PartialEq)]
pub struct Preload {
    /// With the adjuster fully out, as for work on cap and rod nut: what is built in.
    pub backed_off: Length,
    /// With the adjuster where the record sets it; else the keys that are missing to say so. A force without what the
    /// adjuster adds would be too small, so nothing is taken in its place.
    pub set: Result<SetPreload, Vec<String>>,
}

/// The preload with what the adjuster adds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetPreload {
    /// With the adjuster where the record sets it.
    pub baseline: Length,
    /// With the adjuster all the way in.
    pub greatest: Length,
    /// There is an adjuster, and its whole range is not on record: the greatest is its baseline.
    pub range_unknown: bool,
}

/// The preload of a leg with a spring.
pub(super) fn preload_of(ask: &Ask) -> Answer<Preload> {
    if !ask.takes(key::SPRING_RATE) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    match preload(&mut ask) {
        Some(preload) => ask.answer(Ok(preload)),
        None => ask.lacking(),
    }
}

/// What the adjuster adds to the built-in preload.
struct Adjuster {
    set: Length,
    whole: Option<Length>,
}

/// The preload as it is set; what is missing to say so is asked for.
pub(super) fn set_preload(ask: &mut Ask) -> Option<SetPreload> {
    match preload(ask)?.set {
        Ok(set) => Some(set),
        Err(missing) => {
            missing.into_iter().for_each(|key| ask.lack_text(key));
            None
        }
    }
}

/// The preload, from what is built in and what the adjuster adds.
pub(super) fn preload(ask: &mut Ask) -> Option<Preload> {
    let built_in = built_in(ask)?;
    let fixed = Ok(SetPreload { baseline: built_in, greatest: built_in, range_unknown: false });
    let adjuster = match ask.look(key::ADJUSTERS_PRELOAD) {
        Given::NotFitted | Given::NotHere => return Some(Preload { backed_off: built_in, set: fixed }),
        _ => match adjuster(ask) {
            Ok(adjuster) => adjuster,
            Err(missing) => return Some(Preload { backed_off: built_in, set: Err(vec![missing]) }),
        },
    };
    let baseline = built_in + adjuster.set;
    ask.assume(format!(
        "a preload of {} mm: {} mm built in and {} mm by the adjuster at its baseline",
        millimetres(baseline),
        millimetres(built_in),
        millimetres(adjuster.set),
    ));
    let greatest = match adjuster.whole {
        Some(whole) => built_in + whole,
        None => {
            ask.assume("the preload adjuster stays where it is set: its whole range is not recorded");
            baseline
        }
    };
    let range_unknown = adjuster.whole.is_none();
    Some(Preload { backed_off: built_in, set: Ok(SetPreload { baseline, greatest, range_unknown }) })
}

/// The preload with the adjuster fully out: as recorded, or free length less fitted length.
fn built_in(ask: &mut Ask) -> Option<Length> {
    if let Some(preload) = ask.may_length(key::SPRING_PRELOAD) {
        return Some(preload);
    }
    let mut lengths = ask.clone();
    match (lengths.may_length(key::SPRING_FREE_LENGTH), lengths.may_length(key::SPRING_FITTED_LENGTH)) {
        (Some(free), Some(fitted)) => {
            *ask = lengths;
            Some(free - fitted)
        }
        _ => {
            ask.lack(key::SPRING_PRELOAD);
            None
        }
    }
}

/// What the adjuster adds; else what is missing to say so. Nothing is taken over from an account that cannot be
/// finished.
fn adjuster(ask: &mut Ask) -> Result<Adjuster, String> {
    let mut leg = ask.clone();
    let name = |key: Key| leg_key(ask, key);
    let own = name(key::ADJUSTERS_PRELOAD);
    let set = leg.may_quantity(key::ADJUSTERS_PRELOAD).ok_or_else(|| own.clone())?;
    let range = leg.may_quantity(key::ADJUSTERS_PRELOAD_RANGE);
    let per_turn = leg.may_length(key::ADJUSTERS_PRELOAD_PER_TURN);
    let moved = |quantity: &Quantity, value: f64| match quantity.dimension() {
        // Nothing is nothing, however far one turn goes.
        _ if value == 0.0 => Ok(length(0.0)),
        Dimension::Turns => per_turn.map(|turn| turn * value).ok_or(key::ADJUSTERS_PRELOAD_PER_TURN),
        Dimension::Length => Ok(length(value)),
        // Neither a click nor a ring says how far the spring is squeezed.
        _ => Err(key::ADJUSTERS_PRELOAD),
    };
    let lacks = |missing: Key| match missing {
        key::ADJUSTERS_PRELOAD => format!("{own}: turns or mm"),
        other => name(other),
    };
    let counted = moved(set, set.middle_si()).map_err(lacks)?;
    let whole = range.and_then(|range| moved(range, range.greatest_si()).ok());
    let from_out = match counted_from(&leg) {
        Some("from-slack" | "from-open") => counted,
        Some("from-closed") => {
            let whole = whole.ok_or_else(|| name(key::ADJUSTERS_PRELOAD_RANGE))?;
            length((whole - counted).value.max(0.0))
        }
        Some(_) => return Err(lacks(key::ADJUSTERS_PRELOAD)),
        None => return Err(format!("{own}: counted")),
    };
    *ask = leg;
    Ok(Adjuster { set: from_out, whole })
}

/// A key as it is written in a record.
fn leg_key(ask: &Ask, key: Key) -> String {
    ask.shop.catalogue.field(key.id()).key.clone()
}

/// Where the count of the preload adjuster begins.
fn counted_from<'a>(ask: &Ask<'a>) -> Option<&'a str> {
    let Given::Value(resolved, _) = ask.look(key::ADJUSTERS_PRELOAD) else { return None };
    match resolved.entry.attributes.get("counted")?.value.as_ref()? {
        Value::Choice(word) => Some(word),
        _ => None,
    }
}

/// To a tenth, without a nought behind the point.
fn millimetres(length: Length) -> String {
    let text = format!("{:.1}", length.value * 1000.0);
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}
