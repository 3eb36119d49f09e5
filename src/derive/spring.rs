//! The spring of one leg, the rod nut, the bushings and the whole leg.

use super::air::Air;
use super::answer::{Answer, Ask, Given};
use super::chambers::Enclosed;
use super::preload::set_preload;
use crate::bench::OutOfRange;
use crate::bench::air::{AirSpring, Chamber};
use crate::bench::fits::{Clearance, Limits, bushing_clearance};
use crate::bench::leg::Leg;
use crate::bench::spring::{CoilBind, EndSpring, Spring, coil_bind};
use crate::bench::thread::{NutHeight, Turns, nut_turns};
use crate::bench::units::{Force, Length, length};
use crate::catalogue::choice::{CartridgeBacking, Damping};
use crate::catalogue::{Key, key};
use crate::quantity::{Quantity, Value};

/// The nut on the damper rod.
#[derive(Debug, Clone, PartialEq)]
pub struct Nut {
    /// The height it is set to.
    pub target: Length,
    /// The least and the greatest height that are left as they are.
    pub left_alone: [Length; 2],
    /// One turn.
    pub pitch: Length,
    /// Between which faces it is measured.
    pub faces: NutHeight,
    /// Readings about the target, with the turns that bring each to it.
    pub readings: Vec<(Length, Turns)>,
}

impl Nut {
    /// Whether a reading is inside the tolerance, and is left.
    pub(crate) fn inside(&self, reading: Length) -> bool {
        // A hair's breadth of slack: a limit from decimal text may land one rounding beside it.
        let [least, greatest] = self.left_alone.map(|limit| limit.value);
        reading.value >= least - 1e-9 && reading.value <= greatest + 1e-9
    }
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

/// Whether the coils touch before full travel, at the greatest preload.
pub(super) fn bind(ask: &Ask) -> Answer<CoilBind> {
    if !ask.takes(key::SPRING_RATE) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let free = ask.length(key::SPRING_FREE_LENGTH);
    let solid = ask.length(key::SPRING_SOLID_LENGTH);
    let stroke = ask.length(key::TUBES_STROKE);
    let preload = set_preload(&mut ask);
    let (Some(free), Some(solid), Some(stroke), Some(preload)) = (free, solid, stroke, preload) else {
        return ask.lacking();
    };
    ask.answer(coil_bind(free, preload.greatest, stroke, solid))
}

/// Turns of the rod nut for readings about its target.
pub(super) fn nut(ask: &Ask) -> Answer<Nut> {
    if !ask.takes(key::ROD_NUT_HEIGHT) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let height = ask.quantity(key::ROD_NUT_HEIGHT).filter(|height| height.length().is_some());
    let pitch = ask.length(key::ROD_NUT_PITCH);
    let faces = match ask.need(key::ROD_NUT_FACES) {
        Some(Value::Choice(id)) => NutHeight::named(id),
        _ => None,
    };
    let (Some(height), Some(pitch), Some(faces)) = (height, pitch, faces) else { return ask.lacking() };
    ask.assume("a right-hand thread with one start");
    ask.answer(nut_readings(height, pitch, faces))
}

fn nut_readings(height: &Quantity, pitch: Length, faces: NutHeight) -> Result<Nut, OutOfRange> {
    let target = length(height.middle_si());
    let left_alone = [height.least_si(), height.greatest_si()].map(length);
    let mut readings = Vec::new();
    // Eighths of a turn are what a hand can set.
    for eighths in -8..=8 {
        let reading = target + pitch * (f64::from(eighths) / 8.0);
        if reading.value < 0.0 {
            continue;
        }
        let turns = nut_turns(reading, target, pitch, faces)?;
        readings.push((reading, turns));
    }
    Ok(Nut { target, left_alone, pitch, faces, readings })
}

/// The sizes of a bushing's play.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BushingSizes {
    /// The bore it sits or runs in.
    pub bore: Key,
    /// The shaft it runs on or is carried by.
    pub shaft: Key,
    /// Its wall.
    pub wall: Key,
}

/// Those of the outer bushing.
pub(crate) const OUTER_BUSHING: BushingSizes = BushingSizes {
    bore: key::BUSHINGS_OUTER_BORE,
    shaft: key::BUSHINGS_OUTER_SHAFT,
    wall: key::BUSHINGS_OUTER_WALL,
};

/// Those of the inner bushing.
pub(crate) const INNER_BUSHING: BushingSizes = BushingSizes {
    bore: key::BUSHINGS_INNER_BORE,
    shaft: key::BUSHINGS_INNER_SHAFT,
    wall: key::BUSHINGS_INNER_WALL,
};

/// The play of one of the two bushings, from its bore, shaft and wall.
pub(super) fn bushing(ask: &Ask, sizes: BushingSizes) -> Answer<Clearance> {
    let mut ask = ask.clone();
    let parts = [sizes.bore, sizes.shaft, sizes.wall].map(|key| {
        ask.quantity(key)
            .map(|quantity| Limits::new(length(quantity.least_si()), length(quantity.greatest_si())))
    });
    let [Some(bore), Some(shaft), Some(wall)] = parts else { return ask.lacking() };
    ask.answer((|| bushing_clearance(&bore?, &shaft?, &wall?))())
}

/// The closed chambers of a leg, and the gas on its rod.
pub(super) struct Chambers<'a> {
    /// The outer chamber.
    pub outer: &'a Answer<Enclosed>,
    /// The main chamber of an air spring.
    pub main: &'a Answer<Enclosed>,
    /// The balance chamber of an air spring.
    pub balance: &'a Answer<Chamber>,
    /// What the cartridge's gas pushes.
    pub gas: &'a Answer<Force>,
}

/// The whole leg against travel. Where a part that pushes is on record and cannot be worked out, there is no curve:
/// a curve without it would lie.
pub(super) fn leg(
    ask: &Ask,
    spring: &Answer<Spring>,
    air: &Answer<Air>,
    chambers: &Chambers<'_>,
) -> Answer<Leg> {
    let mut ask = ask.clone();
    let stroke = ask.length(key::TUBES_STROKE);
    let mut lacks = stroke.is_none();
    let mut main_spring = None;
    if !matches!(spring, Answer::NotHere) {
        let rates = ask.take(spring).cloned();
        let preload = set_preload(&mut ask);
        lacks |= rates.is_none() || preload.is_none();
        main_spring = rates.zip(preload.map(|preload| preload.baseline));
    }
    let air_chambers = air_of(&mut ask, air, chambers, main_spring.is_some());
    let gas = match chambers.gas {
        Answer::NotHere => None,
        answer => ask.take(answer).copied().or_else(|| {
            lacks = true;
            None
        }),
    };
    let top_out = top_out(&mut ask);
    leave_out_of_damper(&mut ask);
    if let Given::Value(..) | Given::Unknown = ask.look(key::SPRING_BOTTOMING_STOP) {
        ask.assume("the bottoming stop is left out: its rate is not recorded");
    }
    let (Some(stroke), Some(air), false) = (stroke, air_chambers, lacks) else { return ask.lacking() };
    let air = (!air.is_empty()).then_some(AirSpring { chambers: air });
    ask.answer(top_out.map(|top_out| Leg { spring: main_spring, top_out, bottoming: None, air, gas, stroke }))
}

/// Names what else pushes on a damper's rod and has no figure on record.
fn leave_out_of_damper(ask: &mut Ask) {
    if let Some(pushes) = unrecorded_in_damper(ask) {
        ask.assume(format!("{pushes} is left out: what it pushes on the rod is not recorded"));
    }
}

/// What else pushes on a damper's rod and has no figure on record: the oil of a closed one is pressed.
pub(super) fn unrecorded_in_damper(ask: &Ask) -> Option<&'static str> {
    if !ask.takes(key::TUBES_CARTRIDGE_ROD_DIAMETER) {
        return None;
    }
    match (ask.chosen(), ask.chosen()) {
        (Some(Damping::ClosedCartridge), Some(CartridgeBacking::Spring)) => {
            Some("the cartridge's backing spring")
        }
        (Some(Damping::ClosedCartridge), Some(CartridgeBacking::Bladder)) => Some("the cartridge's bladder"),
        (Some(Damping::SealedDamper), _) => Some("the pressure inside the sealed damper"),
        _ => None,
    }
}

/// The air of a leg that pushes on it; `None` where a chamber that carries the leg is not known.
fn air_of(
    ask: &mut Ask,
    above_oil: &Answer<Air>,
    chambers: &Chambers<'_>,
    has_spring: bool,
) -> Option<Vec<Chamber>> {
    let mut air = Vec::new();
    // A leg with a spring whose air is not known is still a leg.
    match above_oil {
        Answer::Known(result) => {
            ask.take(above_oil);
            air.extend(result.value.bench.chamber);
        }
        Answer::NotHere => {}
        _ => ask.assume("the air above the oil is left out"),
    }
    let outer = chambers.outer.map(|outer| Ok(outer.chamber));
    let main = chambers.main.map(|main| Ok(main.chamber));
    for (answer, carries) in [(&outer, !has_spring), (&main, true), (chambers.balance, true)] {
        match answer {
            Answer::NotHere => {}
            Answer::Known(result) => {
                ask.take(answer);
                air.push(result.value);
            }
            _ if carries => {
                ask.take(answer);
                return None;
            }
            _ => ask.assume("the air of the outer chamber is left out"),
        }
    }
    Some(air)
}

/// The top-out spring, where one is recorded.
fn top_out(ask: &mut Ask) -> Result<Option<EndSpring>, OutOfRange> {
    let rate = ask.may_quantity(key::SPRING_TOP_OUT_RATE).and_then(Quantity::spring_rate);
    let long = ask.may_length(key::SPRING_TOP_OUT_LENGTH);
    if ask.takes(key::SPRING_TOP_OUT_RATE) && rate.is_none() {
        ask.assume("no top-out spring is recorded, so none is counted");
    }
    rate.zip(long).map(|(rate, long)| EndSpring::new(rate, long)).transpose()
}
