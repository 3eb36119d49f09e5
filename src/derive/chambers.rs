//! The closed chambers of one leg: the outer air round a cartridge or an air unit, the main and the balance chamber of
//! an air spring, and the gas that pushes on a damper's rod.

use super::air::at_full_travel;
use super::answer::{Answer, Ask};
use crate::bench::air::{self, Band, Chamber, absolute, gas_on_rod, outer_chamber};
use crate::bench::oil::disc;
use crate::bench::range::OutOfRange;
use crate::bench::units::{ATMOSPHERE, Force, Length, Volume, pressure};
use crate::catalogue::choice::{AirChambers, CartridgeBacking, Damping, Springing};
use crate::catalogue::{Key, key};
use crate::quantity::Quantity;

/// A closed chamber that shrinks as the leg goes in.
#[derive(Debug, Clone, PartialEq)]
pub struct Enclosed {
    /// The air.
    pub chamber: Chamber,
    /// How far short of full travel it locks; `None` when it does not.
    pub locks_short_by: Option<Length>,
    /// The force at full travel, slow to fast.
    pub push: Option<Band<Force>>,
    /// Extended air volume over air volume at full travel.
    pub ratio: Option<f64>,
    /// How much more oil there may be before the leg locks at full travel; negative where it locks already.
    pub room: Volume,
}

/// The rod that takes part of the stanchion's area in the outer chamber of this leg; `None` where there is no outer
/// chamber: round a closed cartridge its rod, round an air unit the air unit's.
pub(super) fn rod_of_outer_chamber(ask: &Ask) -> Option<Key> {
    if !ask.takes(key::OIL_OUTER_AIR_VOLUME) {
        return None;
    }
    let round_a_cartridge = ask.chosen() == Some(Damping::ClosedCartridge);
    if round_a_cartridge && ask.takes(key::TUBES_CARTRIDGE_ROD_DIAMETER) {
        return Some(key::TUBES_CARTRIDGE_ROD_DIAMETER);
    }
    ask.takes(key::AIR_ROD_DIAMETER).then_some(key::AIR_ROD_DIAMETER)
}

/// The outer chamber of a leg, from its measured air.
pub(super) fn outer(ask: &Ask) -> Answer<Enclosed> {
    let Some(rod) = rod_of_outer_chamber(ask) else { return Answer::NotHere };
    let mut ask = ask.clone();
    let air = ask.volume(key::OIL_OUTER_AIR_VOLUME);
    let tube = ask.length(key::TUBES_STANCHION_DIAMETER);
    let rod = ask.length(rod);
    let stroke = ask.length(key::TUBES_STROKE);
    let start = match ask.may_quantity(key::AIR_OUTER_PRESSURE).and_then(Quantity::pressure) {
        Some(gauge) => absolute(gauge),
        None => Ok(pressure(ATMOSPHERE)),
    };
    let (Some(air), Some(tube), Some(rod), Some(stroke)) = (air, tube, rod, stroke) else {
        return ask.lacking();
    };
    ask.assume("the outer air is measured with everything in, leg extended, and kept at bench temperature");
    ask.assume(air::LEFT_OUT);
    ask.answer(start.and_then(|start| enclosed(outer_chamber(air, tube, rod, start)?, stroke)))
}

fn enclosed(chamber: Chamber, stroke: Length) -> Result<Enclosed, OutOfRange> {
    let (locks_short_by, push, ratio) = at_full_travel(&chamber, stroke)?;
    let room = chamber.volume_at(stroke)?;
    Ok(Enclosed { chamber, locks_short_by, push, ratio, room })
}

/// The room a chamber has for air: its volume less the oil that lubricates it. `shares` are the amounts that may be
/// recorded; the first that is there counts.
fn room_for_air(ask: &mut Ask, space: Volume, shares: &[Key]) -> Volume {
    let oil = shares.iter().find_map(|key| ask.may_quantity(*key).and_then(Quantity::volume));
    match oil {
        Some(oil) => space - oil,
        None => {
            ask.assume("no oil is recorded for the air chamber, so none is counted in it");
            space
        }
    }
}

/// The main chamber of an air spring.
pub(super) fn main_chamber(ask: &Ask) -> Answer<Enclosed> {
    if ask.chosen() != Some(Springing::Air) || !ask.takes(key::AIR_MAIN_PRESSURE) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let gauge = ask.pressure(key::AIR_MAIN_PRESSURE);
    let space = ask.volume(key::AIR_MAIN_VOLUME);
    let piston = ask.length(key::AIR_PISTON_DIAMETER);
    let stroke = ask.length(key::TUBES_STROKE);
    let (Some(gauge), Some(space), Some(piston), Some(stroke)) = (gauge, space, piston, stroke) else {
        return ask.lacking();
    };
    let shares: &[Key] = if ask.chosen() == Some(AirChambers::One) {
        &[key::OIL_LUBRICANT_MAIN, key::OIL_LUBRICANT_VOLUME]
    } else {
        &[key::OIL_LUBRICANT_MAIN]
    };
    let room = room_for_air(&mut ask, space, shares);
    ask.assume(air::LEFT_OUT);
    ask.answer(
        absolute(gauge).and_then(|start| {
            enclosed(Chamber::shrinking(room, disc("air piston", piston)?, start)?, stroke)
        }),
    )
}

/// The balance chamber of an air spring: it grows as the leg goes in, and pulls the leg in.
pub(super) fn balance_chamber(ask: &Ask) -> Answer<Chamber> {
    let chambers: Option<AirChambers> = ask.chosen();
    if ask.chosen() != Some(Springing::Air)
        || !ask.takes(key::AIR_BALANCE_PRESSURE)
        || chambers.is_none_or(|chambers| chambers == AirChambers::One)
    {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let gauge = ask.pressure(key::AIR_BALANCE_PRESSURE);
    let space = ask.volume(key::AIR_BALANCE_VOLUME);
    let piston = ask.length(key::AIR_PISTON_DIAMETER);
    let rod = ask.length(key::AIR_ROD_DIAMETER);
    let (Some(gauge), Some(space), Some(piston), Some(rod)) = (gauge, space, piston, rod) else {
        return ask.lacking();
    };
    let room = room_for_air(&mut ask, space, &[key::OIL_LUBRICANT_SECOND]);
    ask.answer((|| {
        let ring = disc("air piston", piston)? - disc("air rod", rod)?;
        Chamber::growing(room, ring, absolute(gauge)?)
    })())
}

/// The force with which the gas of a cartridge pushes its rod out.
pub(super) fn gas(ask: &Ask) -> Answer<Force> {
    if ask.chosen() != Some(CartridgeBacking::Gas) || !ask.takes(key::AIR_GAS_PRESSURE) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let gauge = ask.pressure(key::AIR_GAS_PRESSURE);
    let rod = ask.length(key::TUBES_CARTRIDGE_ROD_DIAMETER);
    let (Some(gauge), Some(rod)) = (gauge, rod) else { return ask.lacking() };
    ask.assume("the cartridge's gas pushes its rod out with the same force over the whole travel");
    ask.answer(gas_on_rod(gauge, rod))
}
