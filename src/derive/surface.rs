//! The oil's surface in one leg, what stands in it, and what is put in after it was set.

use super::answer::{Answer, Ask, Given};
use crate::bench::oil::Surface;
use crate::bench::range::{ML, OutOfRange, not_negative};
use crate::bench::spring::{STEEL_DENSITY, volume_from_mass, volume_from_wire};
use crate::bench::units::{Length, Volume, volume};
use crate::catalogue::choice::{Damping, OilSetBy};
use crate::catalogue::{Key, key};
use crate::quantity::{Quantity, Value};

/// The key of the height this leg's oil is set to: its gap or its level.
pub(super) fn set_by(ask: &Ask) -> Option<Key> {
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

/// The surface as the drawing has it, from the edge down, less what stands in it.
pub(super) fn drawn_surface(ask: &Ask) -> Answer<Surface> {
    if set_by(ask).is_none() {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    match drawn_with_parts(&mut ask) {
        Some(surface) => ask.answer(surface),
        None => ask.lacking(),
    }
}

/// The surface from the drawing, less what stands in it where it is read with the spring in.
fn drawn_with_parts(ask: &mut Ask) -> Option<Result<Surface, OutOfRange>> {
    let surface = drawn(ask);
    if let Some(height) = set_by(ask) {
        ask.needs_state(height, &["edge", "spring"]);
    }
    if !read_with_spring_in(ask) {
        return surface;
    }
    let parts = parts_in_the_oil(ask);
    let (surface, parts) = (surface?, parts?);
    Some(surface.and_then(|surface| surface.with_parts(&parts?)))
}

/// Whether the gap or level of this leg is read with the spring in.
pub(super) fn read_with_spring_in(ask: &Ask) -> bool {
    set_by(ask).and_then(|key| ask.state(key, "spring")) == Some("in")
}

/// What stands in the oil from the edge down when the spring is in: the spacer, then the spring, each as a length
/// and the volume of what it is made of.
pub(super) fn parts(ask: &Ask) -> Answer<Vec<(Length, Volume)>> {
    if set_by(ask).is_none() {
        return Answer::NotHere;
    }
    let mut ask = ask.clone();
    if !read_with_spring_in(&ask) {
        return ask.answer(Ok(Vec::new()));
    }
    match parts_in_the_oil(&mut ask) {
        Some(parts) => ask.answer(parts),
        None => ask.lacking(),
    }
}

/// The same, asked for on the way to a surface.
fn parts_in_the_oil(ask: &mut Ask) -> Option<Result<Vec<(Length, Volume)>, OutOfRange>> {
    if !ask.takes(key::SPRING_MASS) {
        return Some(Ok(Vec::new()));
    }
    ask.assume("spacer and spring are in the oil when the level is read, the spacer from the edge down");
    let spacer_length = ask.may_length(key::SPRING_SPACER_LENGTH);
    let free_length = ask.length(key::SPRING_FREE_LENGTH);
    let (spacer, steel) = (spacer(ask), spring_steel(ask));
    let (spacer, steel, free_length) = (spacer?, steel?, free_length?);
    Some((|| {
        let spacer = spacer_length.map(|long| Ok((long, spacer?))).transpose()?;
        Ok(spacer.into_iter().chain([(free_length, steel?)]).collect())
    })())
}

/// The surface in a tube that ends: no gap is longer than the collapsed leg.
fn ended(ask: &mut Ask, surface: Result<Surface, OutOfRange>) -> Result<Surface, OutOfRange> {
    let mut asking = ask.clone();
    match (asking.may_length(key::TUBES_EXTENDED_LENGTH), asking.may_length(key::TUBES_STROKE)) {
        (Some(extended), Some(stroke)) => {
            *ask = asking;
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
    match drawn_with_parts(&mut ask) {
        Some(surface) => ask.answer(surface),
        None => ask.lacking(),
    }
}

/// The surface from the edge down: the drawing where there is one, else the measured slope.
pub(super) fn whole_surface(ask: &Ask) -> Answer<Surface> {
    let mut asking = ask.clone();
    match drawn_with_parts(&mut asking) {
        Some(surface) => asking.answer(surface),
        None => match surface(ask) {
            Answer::Known(mut result) => {
                result.assumptions.push("the slope measured at the gap holds up to the edge".to_owned());
                Answer::Known(result)
            }
            _ => asking.lacking(),
        },
    }
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
    // What is in already when the height is read stands in the oil's ring instead.
    if ask.takes(key::SPRING_MASS) && !read_with_spring_in(&ask) {
        for part in [spring_steel(&mut ask), spacer(&mut ask)] {
            match part {
                Some(part) => add(part),
                None => lacks = true,
            }
        }
    }
    match ask.look(key::SPRING_CAP_INTRUSION) {
        Given::NotFitted => {}
        _ => match ask.volume(key::SPRING_CAP_INTRUSION) {
            Some(cap) => add(not_negative("volume the cap takes up", cap.value, ML, 1000.0).map(volume)),
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
                "aluminum" => 2700.0,
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
    if let Given::Value(..) | Given::Unknown = ask.look(key::SPRING_SPACER_LENGTH) {
        ask.lack(key::SPRING_SPACER_MASS);
        return None;
    }
    if let Given::Absent = ask.look(key::SPRING_SPACER_LENGTH) {
        ask.assume("no spacer is recorded, so none is counted");
    }
    Some(Ok(volume(0.0)))
}
