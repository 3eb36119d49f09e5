//! The oil and the air of one leg.

use super::answer::{Answer, Ask, Given};
use crate::bench::air::{Band, Chamber, GapSetLeg, Warming, absolute, gauge_at, outer_chamber};
use crate::bench::oil::{Row, Surface, correction_table, disc, table_step};
use crate::bench::range::OutOfRange;
use crate::bench::spring::{STEEL_DENSITY, volume_from_mass, volume_from_wire};
use crate::bench::units::{
    ATMOSPHERE, Force, Length, Mass, Pressure, ThermodynamicTemperature, Volume, celsius, force, kelvin,
    length, pressure, volume,
};
use crate::bench::{air, expansion};
use crate::catalogue::choice::{AirChambers, Damping, OilSetBy, Springing};
use crate::catalogue::{FieldId, Key, key};
use crate::quantity::{Quantity, Value};

/// A leg's air for one gap.
#[derive(Debug, Clone, PartialEq)]
pub struct AtGap {
    /// The gap, as read at the bench.
    pub gap: Length,
    /// The air; `None` when there is none even with the leg extended.
    pub chamber: Option<Chamber>,
    /// How far short of full travel the leg locks on its oil; `None` when it does not.
    pub locks_short_by: Option<Length>,
    /// The air force at full travel, slow to fast; `None` when the leg locks first.
    pub push: Option<Band<Force>>,
    /// Extended air volume over air volume at full travel; `None` when the leg locks first.
    pub ratio: Option<f64>,
}

/// The air of a leg set by a gap.
#[derive(Debug, Clone, PartialEq)]
pub struct Air {
    /// The leg at the bench, at its nominal gap.
    pub leg: GapSetLeg,
    /// What it goes through on the road; no growth when the oil's amount or density is not known.
    pub warming: Warming,
    /// Whether the oil's growth is in it.
    pub growth_known: bool,
    /// At the nominal gap, at the bench.
    pub bench: AtGap,
    /// At the nominal gap, at working temperature.
    pub nominal: AtGap,
    /// At the least gap that is allowed, at working temperature.
    pub least: AtGap,
    /// At the greatest gap that is allowed, at working temperature.
    pub greatest: AtGap,
    /// The bench gap at and under which the warm leg locks before full travel.
    pub locks_at: Length,
    /// The bench gap at and under which the warm leg pushes harder at full travel than the shop's limit.
    pub limit_at: Option<Length>,
}

/// The outer chamber of a closed cartridge's leg, or the main chamber of an air spring.
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
}

/// What temperature does to a gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WarmGap {
    /// The gap at the bench.
    pub bench: Length,
    /// The temperature it is set at.
    pub set_at: ThermodynamicTemperature,
    /// The same gap at working temperature.
    pub working: Length,
    /// What ten degrees more do to it, from the bench temperature; negative: smaller.
    pub ten_degrees: Length,
}

/// A fill and its weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Fill {
    /// Which amount.
    pub field: FieldId,
    /// The amount.
    pub volume: Volume,
    /// Its weight at bench temperature.
    pub weight: Answer<Mass>,
}

/// A gauge pressure at other temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// Which pressure.
    pub field: FieldId,
    /// The gauge pressure as set.
    pub set: Pressure,
    /// The temperature it is set at.
    pub set_at: ThermodynamicTemperature,
    /// What the gauge reads at 0, 10, 20, 30 and 40 °C.
    pub readings: Vec<(ThermodynamicTemperature, Pressure)>,
}

const GAP: Key = key::OIL_AIR_GAP;

/// The key of the level this leg is set by.
fn set_by(ask: &Ask) -> Option<Key> {
    ask.chosen().and_then(OilSetBy::height)
}

/// The surface from the drawing: bore and what stands through it.
fn drawn(ask: &mut Ask) -> Option<Result<Surface, OutOfRange>> {
    let bore = ask.stretches(key::TUBES_BORE, true);
    let through = match ask.look(key::TUBES_ROD_DIAMETER) {
        Given::NotFitted => Some(Vec::new()),
        Given::Absent if ask.chosen().is_some_and(Damping::has_fixed_rod) => {
            ask.assume("nothing stands through the oil's surface of a damping-rod leg");
            Some(Vec::new())
        }
        _ => ask.stretches(key::TUBES_ROD_DIAMETER, true),
    };
    let surface = Surface::in_sections(&bore?, &through?);
    Some(ended(ask, surface))
}

/// The surface as the drawing has it, from the edge down.
pub(super) fn drawn_surface(ask: &Ask) -> Answer<Surface> {
    if set_by(ask).is_none() {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    match drawn(&mut ask) {
        Some(surface) => ask.answer(surface),
        None => ask.lacking(),
    }
}

/// The surface in a tube that ends: no gap is longer than the collapsed leg.
fn ended(ask: &mut Ask, surface: Result<Surface, OutOfRange>) -> Result<Surface, OutOfRange> {
    let mut own = ask.clone();
    match (own.may_length(key::TUBES_EXTENDED_LENGTH), own.may_length(key::TUBES_STROKE)) {
        (Some(extended), Some(stroke)) => {
            *ask = own;
            surface?.ending_at(extended - stroke)
        }
        _ => surface,
    }
}

/// The surface near the gap: a slope measured in the shop where there is one, else the drawing.
pub(super) fn surface(ask: &Ask) -> Answer<Surface> {
    if set_by(ask).is_none() {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    if let Some(slope) = ask.may_quantity(key::OIL_SURFACE_SLOPE).and_then(Quantity::slope) {
        let surface = ended(&mut ask, Surface::measured(slope));
        return ask.answer(surface);
    }
    match drawn(&mut ask) {
        Some(surface) => ask.answer(surface),
        None => ask.lacking(),
    }
}

/// The surface from the edge down: the drawing where there is one, else the measured slope.
fn whole_surface(ask: &Ask) -> Answer<Surface> {
    let mut own = ask.clone();
    match drawn(&mut own) {
        Some(surface) => own.answer(surface),
        None => match surface(ask) {
            Answer::Known(mut known) => {
                known.assumptions.push("the slope measured at the gap holds up to the edge".to_owned());
                Answer::Known(known)
            }
            _ => own.lacking(),
        },
    }
}

/// The correction table of the card.
pub(super) fn corrections(ask: &Ask, surface: &Answer<Surface>) -> Answer<Vec<Row>> {
    let Some(key) = set_by(ask) else { return Answer::NotHere };
    let mut ask = ask.clone();
    let gap = ask.quantity(key);
    let (Some(gap), Some(surface)) = (gap, ask.take(surface)) else { return ask.lacking() };
    let tolerance = length((gap.greatest_si() - gap.least_si()) / 2.0);
    let step = table_step((tolerance.value > 0.0).then_some(tolerance));
    ask.answer(correction_table(surface, length(gap.middle_si()), step, 6))
}

/// Everything that is put into the leg after its gap was set.
pub(super) fn inserted(ask: &Ask) -> Answer<Volume> {
    if set_by(ask).is_none() {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let mut sum = Ok(volume(0.0));
    let mut add = |part: Result<Volume, OutOfRange>| {
        sum = match (&sum, part) {
            (Ok(sum), Ok(part)) => Ok(*sum + part),
            (Ok(_), Err(why)) => Err(why),
            (Err(why), _) => Err(why.clone()),
        };
    };
    let mut lacks = false;
    if ask.takes(key::SPRING_MASS) {
        let in_already = set_by(&ask).and_then(|key| ask.state(key, "spring")) == Some("in");
        if in_already {
            ask.assume("the spring was in when the gap was read, so only spacer and cap are counted");
        } else {
            match spring_steel(&mut ask) {
                Some(steel) => add(steel),
                None => lacks = true,
            }
        }
        match spacer(&mut ask) {
            Some(spacer) => add(spacer),
            None => lacks = true,
        }
    }
    match ask.look(key::SPRING_CAP_INTRUSION) {
        Given::NotFitted => {}
        _ => match ask.volume(key::SPRING_CAP_INTRUSION) {
            Some(cap) => add(crate::bench::range::not_negative(
                "volume the cap takes up",
                cap.value,
                crate::bench::range::ML,
                1000.0,
            )
            .map(volume)),
            None => lacks = true,
        },
    }
    if lacks { ask.lacking() } else { ask.answer(sum) }
}

fn spring_steel(ask: &mut Ask) -> Option<Result<Volume, OutOfRange>> {
    if let Some(mass) = ask.may_mass(key::SPRING_MASS) {
        return Some(volume_from_mass(mass, STEEL_DENSITY));
    }
    let mut wire = ask.clone();
    let d = wire.may_length(key::SPRING_WIRE_DIAMETER);
    let mean = wire.may_length(key::SPRING_MEAN_DIAMETER);
    let coils = wire.may_quantity(key::SPRING_ACTIVE_COILS).map(Quantity::middle_si);
    match (d, mean, coils) {
        (Some(d), Some(mean), Some(coils)) => {
            wire.assume("the spring has two dead coils beside its active ones");
            *ask = wire;
            Some(volume_from_wire(d, mean, coils + 2.0))
        }
        _ => {
            // The mass is the one weighing that unlocks it.
            ask.lack(key::SPRING_MASS);
            None
        }
    }
}

fn spacer(ask: &mut Ask) -> Option<Result<Volume, OutOfRange>> {
    if let Some(mass) = ask.may_mass(key::SPRING_SPACER_MASS) {
        let density = match ask.may(key::SPRING_SPACER_MATERIAL) {
            Some(Value::Choice(material)) => match material.as_str() {
                "aluminium" => 2700.0,
                "plastic" => 1100.0,
                _ => STEEL_DENSITY,
            },
            _ => {
                ask.lack(key::SPRING_SPACER_MATERIAL);
                return None;
            }
        };
        return Some(volume_from_mass(mass, density));
    }
    if let Given::Value(..) = ask.look(key::SPRING_SPACER_LENGTH) {
        ask.lack(key::SPRING_SPACER_MASS);
        return None;
    }
    if let Given::Absent = ask.look(key::SPRING_SPACER_LENGTH) {
        ask.assume("no spacer is recorded, so none is counted");
    }
    Some(Ok(volume(0.0)))
}

/// The temperature a gap is set at: its own state's, else the bench's.
fn set_temperature(ask: &Ask, key: impl Into<FieldId>) -> ThermodynamicTemperature {
    ask.state_temperature(key).unwrap_or_else(|| celsius(ask.shop.settings.bench_celsius()))
}

/// How much the leg's whole oil grows from the bench to the road.
fn growth(
    ask: &mut Ask,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
) -> Option<Result<Volume, OutOfRange>> {
    let fill = ask.volume(key::OIL_DRY_FILL);
    let density = ask.oil(key::OIL_OIL).and_then(|oil| ask.of_oil(oil, key::GRADE_DENSITY_15))?.density()?;
    ask.assume(expansion::ASSUMPTION);
    Some(expansion::growth(fill?, density, from, to))
}

/// What temperature does to the gap.
pub(super) fn warm_gap(ask: &Ask, surface: &Answer<Surface>) -> Answer<WarmGap> {
    let Some(key) = set_by(ask) else { return Answer::NotHere };
    let mut ask = ask.clone();
    let from = set_temperature(&ask, key);
    let to = celsius(ask.shop.settings.working_celsius());
    let gap = ask.length(key);
    let surface = ask.take(surface);
    let warm = growth(&mut ask, from, to);
    let ten = growth(&mut ask, from, kelvin(from.value + 10.0));
    let (Some(gap), Some(surface), Some(warm), Some(ten)) = (gap, surface, warm, ten) else {
        return ask.lacking();
    };
    let shifted = |grown: Result<Volume, OutOfRange>| surface.after_drawing(gap, -grown?);
    ask.answer(shifted(warm).and_then(|working| {
        Ok(WarmGap { bench: gap, set_at: from, working, ten_degrees: shifted(ten)? - gap })
    }))
}

fn at_gap(leg: &GapSetLeg, gap: Length, warming: Option<&Warming>) -> Result<AtGap, OutOfRange> {
    let leg = GapSetLeg { gap, ..leg.clone() };
    let chamber = match warming {
        Some(warming) => leg.warm_chamber(warming),
        None => leg.chamber(),
    };
    let chamber = match chamber {
        Ok(chamber) => chamber,
        Err(OutOfRange::Locked { .. }) => {
            return Ok(AtGap {
                gap,
                chamber: None,
                locks_short_by: Some(leg.stroke),
                push: None,
                ratio: None,
            });
        }
        Err(other) => return Err(other),
    };
    let (locks_short_by, push, ratio) = at_full_travel(&chamber, leg.stroke)?;
    Ok(AtGap { gap, chamber: Some(chamber), locks_short_by, push, ratio })
}

type FullTravel = (Option<Length>, Option<Band<Force>>, Option<f64>);

fn at_full_travel(chamber: &Chamber, stroke: Length) -> Result<FullTravel, OutOfRange> {
    let short = chamber.locks_short_by(stroke)?;
    match chamber.force_band(stroke) {
        Ok(push) => Ok((short, Some(push), Some(chamber.volume_ratio(stroke)?))),
        // A film of air left at the very end is as good as none.
        Err(OutOfRange::Locked { .. }) => Ok((Some(short.unwrap_or(length(0.0))), None, None)),
        Err(other) => Err(other),
    }
}

/// The air of a leg set by a gap, at the bench and on the road.
pub(super) fn gap_air(ask: &Ask, inserted: &Answer<Volume>) -> Answer<Air> {
    if ask.chosen() != Some(OilSetBy::AirGap) {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let gap = ask.quantity(GAP);
    let surface = whole_surface(&ask);
    let surface = ask.take(&surface).cloned();
    let inserted = ask.take(inserted).copied();
    let tube = ask.length(key::TUBES_STANCHION_DIAMETER);
    let stroke = ask.length(key::TUBES_STROKE);
    let start = if ask.chosen() == Some(Springing::AirAssistedCoil) {
        ask.pressure(key::AIR_ASSIST_PRESSURE).map(absolute)
    } else {
        Some(Ok(pressure(ATMOSPHERE)))
    };
    let other = other_state(&ask);
    if let Some(state) = other {
        ask.lack_text(state);
    }
    let (Some(gap), Some(surface), Some(inserted), Some(tube), Some(stroke), Some(start), None) =
        (gap, surface, inserted, tube, stroke, start, other)
    else {
        return ask.lacking();
    };
    let from = set_temperature(&ask, GAP);
    let to = celsius(ask.shop.settings.working_celsius());
    let mut with_oil = ask.clone();
    let grown = match growth(&mut with_oil, from, to) {
        Some(grown) => {
            ask = with_oil;
            Some(grown)
        }
        None => {
            ask.assume("the oil's growth is left out: its amount or its density is not known");
            None
        }
    };
    ask.assume(air::LEFT_OUT);
    let limit = ask.shop.settings.air_force_limit();
    ask.answer(start.and_then(|start| {
        let leg = GapSetLeg { surface, gap: length(gap.middle_si()), inserted, tube, stroke, start };
        whole_air(
            leg,
            gap,
            Warming { from, to, growth: grown.clone().unwrap_or(Ok(volume(0.0)))? },
            grown.is_some(),
            limit,
        )
    }))
}

fn whole_air(
    leg: GapSetLeg,
    gap: &Quantity,
    warming: Warming,
    growth_known: bool,
    limit: f64,
) -> Result<Air, OutOfRange> {
    Ok(Air {
        bench: at_gap(&leg, leg.gap, None)?,
        nominal: at_gap(&leg, leg.gap, Some(&warming))?,
        least: at_gap(&leg, length(gap.least_si()), Some(&warming))?,
        greatest: at_gap(&leg, length(gap.greatest_si()), Some(&warming))?,
        locks_at: leg.gap_that_locks_warm(&warming)?,
        limit_at: leg.gap_for_force_warm(force(limit), &warming).ok(),
        leg,
        warming,
        growth_known,
    })
}

/// The state a gap would have to be read in, where it is read in one from which the air does not follow.
fn other_state(ask: &Ask) -> Option<&'static str> {
    match (ask.state(GAP, "leg"), ask.state(GAP, "edge")) {
        (Some("extended"), _) => Some("oil.air_gap with the leg collapsed"),
        (_, Some("damper-top")) => Some("oil.air_gap from the tube's top edge"),
        _ => None,
    }
}

/// The outer chamber of a leg with a closed cartridge, from its measured air.
pub(super) fn outer(ask: &Ask) -> Answer<Enclosed> {
    // The leg of a split fork that only springs has no cartridge rod in it.
    if ask.chosen() != Some(Damping::ClosedCartridge)
        || !ask.takes(key::OIL_OUTER_AIR_VOLUME)
        || !ask.takes(key::TUBES_CARTRIDGE_ROD_DIAMETER)
    {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    let air = ask.volume(key::OIL_OUTER_AIR_VOLUME);
    let tube = ask.length(key::TUBES_STANCHION_DIAMETER);
    let rod = ask.length(key::TUBES_CARTRIDGE_ROD_DIAMETER);
    let stroke = ask.length(key::TUBES_STROKE);
    let (Some(air), Some(tube), Some(rod), Some(stroke)) = (air, tube, rod, stroke) else {
        return ask.lacking();
    };
    ask.assume(
        "the outer air is measured with everything in, at the atmosphere, and kept at bench temperature",
    );
    ask.assume(air::LEFT_OUT);
    ask.answer(
        outer_chamber(air, tube, rod, pressure(ATMOSPHERE)).and_then(|chamber| enclosed(chamber, stroke)),
    )
}

fn enclosed(chamber: Chamber, stroke: Length) -> Result<Enclosed, OutOfRange> {
    let (locks_short_by, push, ratio) = at_full_travel(&chamber, stroke)?;
    Ok(Enclosed { chamber, locks_short_by, push, ratio })
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
    if ask.chosen() != Some(AirChambers::One) {
        ask.assume("the main chamber alone: the other chambers' volumes are not recorded");
    }
    ask.assume(air::LEFT_OUT);
    ask.answer(
        absolute(gauge).and_then(|start| {
            enclosed(Chamber::shrinking(space, disc("air piston", piston)?, start)?, stroke)
        }),
    )
}

/// The amounts of oil a leg takes, with their weights.
pub(super) fn fills(ask: &Ask) -> Vec<Fill> {
    let bench = celsius(ask.shop.settings.bench_celsius());
    let mut fills = Vec::new();
    for (field, oils) in ask.shop.catalogue.relations().poured() {
        let mut ask = ask.clone();
        let Some(amount) = ask.may_quantity(*field).and_then(Quantity::volume) else { continue };
        let oil = oils.iter().find(|oil| matches!(ask.look(**oil), Given::Value(..))).or(oils.last());
        let density = oil
            .and_then(|oil| ask.oil(*oil))
            .and_then(|oil| ask.of_oil(oil, key::GRADE_DENSITY_15))
            .and_then(Quantity::density);
        let weight = match density {
            Some(density) => {
                ask.assume(expansion::ASSUMPTION);
                ask.answer(expansion::weight(amount, density, bench))
            }
            None => ask.lacking(),
        };
        fills.push(Fill { field: *field, volume: amount, weight });
    }
    fills
}

/// The pressures of a leg with what the gauge reads at other temperatures.
pub(super) fn gauges(ask: &Ask) -> Vec<Gauge> {
    let mut gauges = Vec::new();
    for &field in ask.shop.catalogue.relations().gauges() {
        let mut leg = ask.clone();
        let Some(set) = leg.may_quantity(field).and_then(Quantity::pressure) else { continue };
        let set_at = set_temperature(ask, field);
        let readings: Result<Vec<_>, OutOfRange> = [0.0, 10.0, 20.0, 30.0, 40.0]
            .into_iter()
            .map(|at| Ok((celsius(at), gauge_at(set, set_at, celsius(at))?)))
            .collect();
        if let Ok(readings) = readings {
            gauges.push(Gauge { field, set, set_at, readings });
        }
    }
    gauges
}
