//! What temperature does to what is asked, by the same table that the page prints.

use super::possible::Possible;
use crate::bench::units::ThermodynamicTemperature;
use crate::catalogue::{FieldId, Key, key};
use crate::derive::DerivedLeg;
use crate::quantity::{Dimension, Unit};
use crate::resolve::Shop;

/// What temperature does to what is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Warmth {
    /// The value that says the temperature.
    pub by: FieldId,
    /// Its key.
    pub key: String,
    /// The unit of its box.
    pub unit: &'static Unit,
    /// The temperature that the record says what is asked for.
    pub set_at: f64,
    /// What a temperature can be.
    pub possible: Possible,
    /// What is asked at some temperatures, in the units of both; straight lines between them and beyond.
    pub points: Vec<[f64; 2]>,
    /// The digits to which it is asked at another temperature.
    pub digits: u8,
}

/// What temperature does to a value of a leg: to a gauge pressure, or to a gap or level.
pub(super) fn warmth(shop: &Shop, leg: &DerivedLeg, id: FieldId, unit: &'static Unit) -> Option<Warmth> {
    let gauge = leg.gauges.iter().find(|gauge| gauge.field == id);
    let warm = leg.warm_gap.value().filter(|_| leg.height.is_some_and(|height| height.id() == id));
    let (by, set_at, points): (Key, ThermodynamicTemperature, Vec<_>) = match (gauge, warm) {
        (Some(gauge), _) => {
            let points = gauge.readings.iter().map(|(at, reads)| (*at, reads.value)).collect();
            (key::AIR_GAUGE_TEMPERATURE, gauge.set_at, points)
        }
        (None, Some(warm)) => {
            let points = warm.targets.iter().map(|(at, target)| (*at, target.value)).collect();
            (key::OIL_BENCH_TEMPERATURE, warm.set_at, points)
        }
        _ => return None,
    };
    let field = shop.catalogue.field(by.id());
    let of = shop.usual_units(Some(field), Dimension::Temperature).first().copied()?;
    let points: Vec<[f64; 2]> =
        points.into_iter().map(|(at, si)| [of.from_si(at.value), unit.from_si(si)]).collect();
    // As the table prints it: whole kilopascals, tenths of a millimetre.
    let whole = unit.dimension == Dimension::Pressure && points.iter().any(|point| point[1] >= 100.0);
    Some(Warmth {
        by: by.id(),
        key: field.key.clone(),
        unit: of,
        set_at: of.from_si(set_at.value),
        possible: super::possible::of_band(field, of),
        points,
        digits: u8::from(!whole),
    })
}
