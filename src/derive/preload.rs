//! The preload of one leg's spring: one account, from which sag, coil bind and the stored forces all start.
//!
//! What is built in is there with the adjuster fully out. The adjuster adds its baseline, and at most its range.

use super::answer::{Answer, Ask, Given};
use crate::bench::units::{Length, length};
use crate::catalogue::key;
use crate::quantity::{Dimension, Quantity, Value};

/// How far the spring is squeezed in the extended leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preload {
    /// With the adjuster fully out, as for work on cap and rod nut: what is built in.
    pub backed_off: Length,
    /// With the adjuster where the record sets it.
    pub baseline: Length,
    /// With the adjuster all the way in.
    pub greatest: Length,
    /// How much of what the adjuster adds is on record.
    pub reach: Reach,
}

/// How much of what a preload adjuster adds is on record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// There is no adjuster.
    NoAdjuster,
    /// Its whole range.
    WholeRange,
    /// Its baseline, and not its range.
    Baseline,
    /// It is there, and what it adds is not on record as a length.
    NotRecorded,
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

/// The preload, from what is built in and what the adjuster adds.
pub(super) fn preload(ask: &mut Ask) -> Option<Preload> {
    let built_in = built_in(ask)?;
    let Some(adjuster) = adjuster(ask) else {
        if let Given::Unknown = ask.look(key::ADJUSTERS_PRELOAD) {
            ask.lack(key::ADJUSTERS_PRELOAD);
            return None;
        }
        let mut reach = Reach::NoAdjuster;
        if let Given::Value(..) = ask.look(key::ADJUSTERS_PRELOAD) {
            ask.assume(
                "the preload adjuster is fully out: what its baseline adds is not recorded in turns or millimetres",
            );
            reach = Reach::NotRecorded;
        }
        return Some(Preload { backed_off: built_in, baseline: built_in, greatest: built_in, reach });
    };
    let baseline = built_in + adjuster.set;
    ask.assume(format!(
        "a preload of {} mm: {} mm built in and {} mm by the adjuster at its baseline",
        millimetres(baseline),
        millimetres(built_in),
        millimetres(adjuster.set),
    ));
    let reach = if adjuster.whole.is_some() { Reach::WholeRange } else { Reach::Baseline };
    let greatest = match adjuster.whole {
        Some(whole) => built_in + whole,
        None => {
            ask.assume("the preload adjuster stays where it is set: its whole range is not recorded");
            baseline
        }
    };
    Some(Preload { backed_off: built_in, baseline, greatest, reach })
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

/// What the adjuster adds, where the record counts it in turns or millimetres. Nothing is taken over from an account
/// that cannot be finished.
fn adjuster(ask: &mut Ask) -> Option<Adjuster> {
    let mut leg = ask.clone();
    let per_turn = leg.may_length(key::ADJUSTERS_PRELOAD_PER_TURN);
    let moved = |quantity: &Quantity, value: f64| match quantity.dimension() {
        Dimension::Turns => per_turn.map(|turn| turn * value),
        Dimension::Length => Some(length(value)),
        _ => None,
    };
    let set = leg.may_quantity(key::ADJUSTERS_PRELOAD)?;
    let range = leg.may_quantity(key::ADJUSTERS_PRELOAD_RANGE);
    let whole = range.and_then(|range| moved(range, range.greatest_si()));
    let counted = moved(set, set.middle_si())?;
    let from_out = match counted_from(&leg)? {
        "from-slack" | "from-open" => counted,
        "from-closed" => length((whole? - counted).value.max(0.0)),
        _ => return None,
    };
    *ask = leg;
    Some(Adjuster { set: from_out, whole })
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
