//! What pushes on the cap and on the tool of one leg: the largest force that can be met at that work, and the one
//! that is met when the order was kept.

use super::answer::{Answer, Ask};
use super::preload::{Preload, preload};
use super::spring::unrecorded_in_damper;
use crate::bench::spring::{Spring, StoredForce, air_on_cap, held_by_tool};
use crate::bench::units::{Force, Length, force, length};
use crate::catalogue::choice::{Damping, Springing};
use crate::catalogue::key;
use crate::quantity::Quantity;

/// How far a tool pushes the spring down to free the rod nut, where nothing better is known (common practice,
/// no source).
pub const TOOL_STROKE_MM: f64 = 40.0;

/// What pushes on a cap, or on a tool that holds the spring.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// The largest that can be met: preload adjuster all the way in, assist air at its limit. Else the keys that are
    /// missing to say what the adjuster adds: a force without it would be too small.
    pub most: Result<StoredForce, Vec<String>>,
    /// With preload backed off and assist air let out, as the order has it; `None` where that changes nothing.
    pub in_order: Option<StoredForce>,
    /// The assist air in the largest.
    pub air: Force,
    /// What pushes: the spring, and what else is counted.
    pub counts: Vec<&'static str>,
    /// What pushes as well and has no figure on record.
    pub leaves_out: Vec<&'static str>,
}

/// What the assist air pushes on the cap, at the most there can be.
pub(super) fn assist(ask: &Ask) -> Answer<Force> {
    if ask.chosen() != Some(Springing::AirAssistedCoil) || !ask.takes(key::AIR_ASSIST_PRESSURE) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let limit = ask.may_quantity(key::AIR_ASSIST_LIMIT).and_then(Quantity::pressure);
    let most = limit.or_else(|| ask.quantity(key::AIR_ASSIST_PRESSURE).and_then(Quantity::pressure));
    let cap = ask.length(key::TUBES_STANCHION_DIAMETER);
    let (Some(most), Some(cap)) = (most, cap) else { return ask.lacking() };
    ask.assume("the air presses on the whole of the cap, as wide as the stanchion");
    ask.answer(air_on_cap(most, cap))
}

/// What pushes beside the spring, and how far a tool squeezes it.
pub(super) struct Beside<'a> {
    /// What the cartridge's gas pushes on its rod.
    pub gas: &'a Answer<Force>,
    /// What the assist air pushes on the cap.
    pub assist: &'a Answer<Force>,
}

/// The force behind the cap where the cap holds the spring.
pub(super) fn cap_force(ask: &Ask, spring: &Answer<Spring>, beside: &Beside<'_>) -> Answer<Held> {
    if !ask.takes(key::SPRING_RATE) {
        return Answer::NotHere;
    }
    held(ask.clone(), spring, beside, 0.0)
}

/// The force a tool holds while the rod nut is worked on. The cap is off then, and no assist air is left.
pub(super) fn tool_force(ask: &Ask, spring: &Answer<Spring>, beside: &Beside<'_>) -> Answer<Held> {
    if !ask.takes(key::SPRING_RATE) || ask.chosen().is_none_or(Damping::has_fixed_rod) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    ask.assume(format!("the tool pushes the spring down by {TOOL_STROKE_MM:.0} mm beyond its preload"));
    held(ask, spring, &Beside { gas: beside.gas, assist: &Answer::NotHere }, TOOL_STROKE_MM / 1000.0)
}

/// A force beside the spring; nothing where the leg has no such thing.
fn pushed(ask: &mut Ask, answer: &Answer<Force>) -> Option<Force> {
    match answer {
        Answer::NotHere => Some(force(0.0)),
        answer => ask.take(answer).copied(),
    }
}

/// Both forces, with the spring squeezed by `stroke` metres beyond its preload.
fn held(mut ask: Ask, spring: &Answer<Spring>, beside: &Beside<'_>, stroke: f64) -> Answer<Held> {
    let spring = ask.take(spring);
    let preload = preload(&mut ask);
    let (gas, air) = (pushed(&mut ask, beside.gas), pushed(&mut ask, beside.assist));
    let (Some(spring), Some(preload), Some(gas), Some(air)) = (spring, preload, gas, air) else {
        return ask.lacking();
    };
    let leaves_out = left_out(&ask, &preload, gas);
    ask.answer((|| {
        let push = |preload: Length| held_by_tool(spring, preload, length(stroke));
        let in_order = push(preload.backed_off)?.force + gas;
        let most = match preload.set {
            Ok(set) => Ok(push(set.greatest)?.force + gas + air),
            Err(missing) => Err(missing),
        };
        let apart = most.as_ref().map_or(true, |most| *most > in_order);
        let counts = [("the spring", 1.0), ("the gas", gas.value), ("the assist air", air.value)];
        Ok(Held {
            most: most.map(StoredForce::of),
            in_order: apart.then(|| StoredForce::of(in_order)),
            air,
            counts: counts.into_iter().filter(|(_, pushes)| *pushes > 0.0).map(|(name, _)| name).collect(),
            leaves_out,
        })
    })())
}

/// What pushes as well and has no figure on record.
fn left_out(ask: &Ask, preload: &Preload, gas: Force) -> Vec<&'static str> {
    let beyond = preload.set.as_ref().is_ok_and(|set| set.range_unknown);
    let adjuster = beyond.then_some("what the preload adjuster adds beyond its baseline");
    let gas = (gas.value > 0.0).then_some("what the gas gains as the rod goes in");
    adjuster.into_iter().chain(gas).chain(unrecorded_in_damper(ask)).collect()
}
