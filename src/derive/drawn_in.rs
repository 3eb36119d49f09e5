//! How far a leg on air draws itself in while its main chamber is empty and its balance chamber is not.

use super::answer::{Answer, Ask, weight_of};
use super::chambers::Enclosed;
use crate::bench::air::{AirSpring, Chamber, SLOW};
use crate::bench::units::{Force, Length, force, length};
use crate::catalogue::key;
use crate::quantity::Quantity;
use crate::resolve::Side;

/// A fork whose main chamber was emptied first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnIn {
    /// What the balance chamber pulls with, the leg extended.
    pub pull: Force,
    /// What the hanging wheel pulls out with, along the legs.
    pub weight: Force,
    /// How far the leg goes in; zero where the wheel holds it out.
    pub travel: Length,
    /// Whether that is its whole stroke.
    pub whole: bool,
}

/// What pulls or pushes in a leg while its main chamber is open.
pub(super) struct Pulls<'l> {
    pub side: Side,
    pub balance_chamber: &'l Answer<Chamber>,
    pub outer: &'l Answer<Enclosed>,
    pub gas: &'l Answer<Force>,
}

/// How far both legs go in together: the axle ties them.
pub(super) fn drawn_in(ask: &Ask, legs: &[Pulls<'_>; 2]) -> Answer<DrawnIn> {
    if legs.iter().all(|leg| matches!(leg.balance_chamber, Answer::NotHere)) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let chambers = chambers(&mut ask, legs);
    let stroke = ask.length(key::TUBES_STROKE);
    let unsprung = ask.quantity(key::SETUP_UNSPRUNG_MASS).and_then(Quantity::mass);
    let rake = ask.quantity(key::SETUP_RAKE).and_then(Quantity::angle);
    let (Some((chambers, pushes_out)), Some(stroke), Some(unsprung), Some(rake)) =
        (chambers, stroke, unsprung, rake)
    else {
        return ask.lacking();
    };
    ask.assume("the wheel hangs free, the main chamber is open, friction is left out");
    let weight = weight_of(unsprung) * libm::cos(rake.value);
    let pull = chambers
        .iter()
        .map(|chamber| chamber.force_at(length(0.0), SLOW).map_or(force(0.0), |push| -push))
        .filter(|pull| pull.value > 0.0)
        .fold(force(0.0), |sum, pull| sum + pull);
    let travel = AirSpring { chambers }.drawn_in(weight + pushes_out, stroke);
    ask.answer(travel.map(|travel| DrawnIn { pull, weight, travel, whole: travel >= stroke }))
}

/// The chambers that pull or push while the main one is open, and what else pushes the legs out; `None` where a balance
/// chamber is not known.
fn chambers(ask: &mut Ask, legs: &[Pulls<'_>; 2]) -> Option<(Vec<Chamber>, Force)> {
    let (mut all, mut out, mut lacks) = (Vec::new(), force(0.0), false);
    for leg in legs {
        if !matches!(leg.balance_chamber, Answer::NotHere) {
            match ask.take(leg.balance_chamber) {
                Some(chamber) => all.push(*chamber),
                None => lacks = true,
            }
        }
        match leg.outer {
            Answer::NotHere => {}
            Answer::Known(_) => all.extend(ask.take(leg.outer).map(|outer| outer.chamber)),
            _ => ask.assume("the air of an outer chamber is left out: the leg stops a little sooner"),
        }
        if let Answer::Known(_) = leg.gas {
            out += ask.take(leg.gas).copied().unwrap_or(force(0.0));
        }
        if let Some(pushes) = super::spring::unrecorded_in_damper(&ask.on(leg.side)) {
            ask.assume(format!("{pushes} is left out: the leg stops a little sooner"));
        }
    }
    (!lacks).then_some((all, out))
}
