//! The spring of one leg, its stored force, the rod nut, the bushings and the whole leg.

use super::air::{Air, Enclosed};
use super::answer::{Answer, Ask, Given};
use crate::bench::OutOfRange;
use crate::bench::air::AirSpring;
use crate::bench::fits::{Clearance, Limits, bushing_clearance};
use crate::bench::leg::Leg;
use crate::bench::spring::{CoilBind, EndSpring, Spring, StoredForce, coil_bind, held_by_cap, held_by_tool};
use crate::bench::thread::{NutHeight, Turns, nut_turns};
use crate::bench::units::{Length, length, pressure};
use crate::catalogue::choice::{Damping, Springing};
use crate::catalogue::{Key, key};
use crate::quantity::{Dimension, Quantity, Value};

/// How far a tool pushes the spring down to free the rod nut, where nothing better is known (common practice,
/// no source).
pub const TOOL_STROKE_MM: f64 = 40.0;

/// The nut on the damper rod.
#[derive(Debug, Clone, PartialEq)]
pub struct Nut {
    /// The height it is set to.
    pub target: Length,
    /// One turn.
    pub pitch: Length,
    /// Between which faces it is measured; `None` when the record's words leave the direction open.
    pub faces: Option<NutHeight>,
    /// Readings about the target, with the turns that bring each to it. Where the faces leave the direction
    /// open, only the number of turns counts.
    pub readings: Vec<(Length, Turns)>,
}

/// The spring by its rates.
pub(super) fn spring(ask: &Ask) -> Answer<Spring> {
    if !ask.takes(key::SPRING_RATE) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    match ask.rates(key::SPRING_RATE) {
        Some(rates) => ask.answer(Spring::in_segments(&rates)),
        None => ask.lacking(),
    }
}

/// The preload in the extended leg: as recorded, or free length less fitted length.
fn preload(ask: &mut Ask) -> Option<Length> {
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

/// How much further the preload adjuster goes in from where it is set, where that is known.
fn adjuster_left(ask: &mut Ask) -> Option<Length> {
    let mut own = ask.clone();
    let set = own.may_quantity(key::ADJUSTERS_PRELOAD)?;
    let whole = own.may_quantity(key::ADJUSTERS_PRELOAD_RANGE)?;
    let turns = |quantity: &Quantity| quantity.dimension() == Dimension::Turns;
    let per_turn = own.may_length(key::ADJUSTERS_PRELOAD_PER_TURN)?;
    let from_slack = match own.look(key::ADJUSTERS_PRELOAD) {
        Given::Value(resolved, _) => resolved
            .entry
            .attributes
            .get("counted")
            .and_then(|counted| counted.value.as_ref())
            .is_some_and(|counted| *counted == Value::Choice("from-slack".to_owned())),
        _ => false,
    };
    if !from_slack || !turns(set) || !turns(whole) {
        return None;
    }
    *ask = own;
    Some(per_turn * (whole.greatest_si() - set.middle_si()).max(0.0))
}

/// Whether the coils touch before full travel, at the greatest preload.
pub(super) fn bind(ask: &Ask) -> Answer<CoilBind> {
    if !ask.takes(key::SPRING_RATE) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let free = ask.length(key::SPRING_FREE_LENGTH);
    let solid = ask.length(key::SPRING_SOLID_LENGTH);
    let stroke = ask.length(key::TUBES_STROKE);
    let preload = preload(&mut ask);
    let (Some(free), Some(solid), Some(stroke), Some(preload)) = (free, solid, stroke, preload) else {
        return ask.lacking();
    };
    let more = adjuster_left(&mut ask).unwrap_or_else(|| {
        if ask.takes(key::ADJUSTERS_PRELOAD) {
            ask.assume("the preload adjuster stays where it is set: its whole range is not recorded in turns from slack");
        }
        length(0.0)
    });
    ask.answer(coil_bind(free, preload + more, stroke, solid))
}

/// The force behind the cap where the cap holds the spring.
pub(super) fn cap_force(ask: &Ask, spring: &Answer<Spring>) -> Answer<StoredForce> {
    if !ask.takes(key::SPRING_RATE) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let spring = ask.take(spring);
    let preload = preload(&mut ask);
    let trapped = if ask.chosen() == Some(Springing::AirAssistedCoil) {
        ask.may_quantity(key::AIR_ASSIST_PRESSURE).and_then(Quantity::pressure)
    } else {
        None
    };
    let cap = ask.length(key::TUBES_STANCHION_DIAMETER);
    let (Some(spring), Some(preload), Some(cap)) = (spring, preload, cap) else { return ask.lacking() };
    if trapped.is_some() {
        ask.assume("the air presses on the whole of the cap, as wide as the stanchion");
    }
    ask.answer(held_by_cap(spring, preload, trapped.unwrap_or(pressure(0.0)), cap))
}

/// The force a tool holds while the rod nut is worked on.
pub(super) fn tool_force(ask: &Ask, spring: &Answer<Spring>) -> Answer<StoredForce> {
    if !ask.takes(key::SPRING_RATE) || ask.chosen().is_none_or(Damping::has_fixed_rod) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let spring = ask.take(spring);
    let preload = preload(&mut ask);
    let (Some(spring), Some(preload)) = (spring, preload) else { return ask.lacking() };
    ask.assume(format!("the tool pushes the spring down by {TOOL_STROKE_MM:.0} mm beyond its preload"));
    ask.answer(held_by_tool(spring, preload, length(TOOL_STROKE_MM / 1000.0)))
}

/// Turns of the rod nut for readings about its target.
pub(super) fn nut(ask: &Ask) -> Answer<Nut> {
    if !ask.takes(key::ROD_NUT_HEIGHT) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let height = ask.length(key::ROD_NUT_HEIGHT);
    let pitch = ask.length(key::ROD_NUT_PITCH);
    let (Some(target), Some(pitch)) = (height, pitch) else { return ask.lacking() };
    let words = |ask: &mut Ask, key: Key| match ask.may(key) {
        Some(Value::Text(text)) => text.to_lowercase(),
        _ => String::new(),
    };
    let (from, to) = (words(&mut ask, key::ROD_NUT_FROM), words(&mut ask, key::ROD_NUT_TO));
    let faces = faces(&from, &to);
    ask.assume("a right-hand thread with one start");
    ask.answer(nut_readings(target, pitch, faces))
}

/// Which way round a height is measured, from the words for its two faces.
fn faces(from: &str, to: &str) -> Option<NutHeight> {
    let rod_end =
        |text: &str| text.contains("rod") && ["end", "top", "tip"].iter().any(|word| text.contains(word));
    let nut = |text: &str| text.contains("nut");
    match (rod_end(from), nut(from), rod_end(to), nut(to)) {
        (true, false, false, true) | (false, true, true, false) => Some(NutHeight::NutToRodEnd),
        _ => None,
    }
}

fn nut_readings(target: Length, pitch: Length, faces: Option<NutHeight>) -> Result<Nut, OutOfRange> {
    let mut readings = Vec::new();
    // Eighths of a turn are what a hand can set.
    for eighths in -8..=8 {
        let reading = target + pitch * (f64::from(eighths) / 8.0);
        if reading.value < 0.0 {
            continue;
        }
        let turns = nut_turns(reading, target, pitch, faces.unwrap_or(NutHeight::NutToRodEnd))?;
        readings.push((reading, turns));
    }
    Ok(Nut { target, pitch, faces, readings })
}

/// The bore, shaft and wall of the outer bushing.
pub(super) const OUTER_BUSHING: [Key; 3] =
    [key::BUSHINGS_OUTER_BORE, key::BUSHINGS_OUTER_SHAFT, key::BUSHINGS_OUTER_WALL];

/// The bore, shaft and wall of the inner bushing.
pub(super) const INNER_BUSHING: [Key; 3] =
    [key::BUSHINGS_INNER_BORE, key::BUSHINGS_INNER_SHAFT, key::BUSHINGS_INNER_WALL];

/// The play of one of the two bushings, from its bore, shaft and wall.
pub(super) fn bushing(ask: &Ask, sizes: [Key; 3]) -> Answer<Clearance> {
    let mut ask = ask.clone();
    let parts = sizes.map(|key| {
        ask.quantity(key)
            .map(|quantity| Limits::new(length(quantity.least_si()), length(quantity.greatest_si())))
    });
    let [Some(bore), Some(shaft), Some(wall)] = parts else { return ask.lacking() };
    ask.answer((|| bushing_clearance(&bore?, &shaft?, &wall?))())
}

/// The whole leg against travel.
pub(super) fn leg(
    ask: &Ask,
    spring: &Answer<Spring>,
    air: &Answer<Air>,
    closed: [&Answer<Enclosed>; 2],
) -> Answer<Leg> {
    let mut ask = ask.clone();
    let stroke = ask.length(key::TUBES_STROKE);
    let mut lacks = stroke.is_none();
    let mut parts = Leg {
        spring: None,
        top_out: None,
        bottoming: None,
        air: None,
        stroke: stroke.unwrap_or(length(0.0)),
    };
    if !matches!(spring, Answer::NotHere) {
        let own = ask.take(spring).cloned();
        let preload = preload(&mut ask);
        lacks |= own.is_none() || preload.is_none();
        parts.spring = own.zip(preload);
    }
    let mut chambers = Vec::new();
    // A leg whose air is not known is still a leg; a pure air spring is not.
    match air {
        Answer::Known(known) => {
            ask.take(air);
            chambers.extend(known.value.bench.chamber);
        }
        Answer::NotHere => {}
        _ => ask.assume("the air above the oil is left out"),
    }
    for answer in closed {
        match answer {
            Answer::Known(known) => {
                ask.take(answer);
                chambers.push(known.value.chamber);
            }
            Answer::NotHere => {}
            _ if parts.spring.is_none() => {
                ask.take(answer);
                lacks = true;
            }
            _ => ask.assume("the air of the outer chamber is left out"),
        }
    }
    parts.air = (!chambers.is_empty()).then_some(AirSpring { chambers });
    let rate = ask.may_quantity(key::SPRING_TOP_OUT_RATE).and_then(Quantity::spring_rate);
    let long = ask.may_length(key::SPRING_TOP_OUT_LENGTH);
    let top_out = rate.zip(long).map(|(rate, long)| EndSpring::new(rate, long)).transpose();
    if ask.takes(key::SPRING_TOP_OUT_RATE) && rate.is_none() {
        ask.assume("no top-out spring is recorded, so none is counted");
    }
    if lacks {
        return ask.lacking();
    }
    ask.answer(top_out.map(|top_out| Leg { top_out, ..parts }))
}
