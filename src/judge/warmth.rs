//! At which temperature a reading is judged: what is written beside it moves what is asked, by the same table that the
//! page prints.

use std::borrow::Cow;

use super::asked::{Asked, Bound, TypedIn};
use super::possible::Possible;
use super::typed::number_typed;
use super::words::said;
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

/// What was found of the temperature that is written.
enum Written {
    At(f64, u8),
    Nothing,
    Wrong,
}

impl Warmth {
    fn read(&self, text: Option<&str>) -> Written {
        let Some(text) = text.filter(|text| !text.trim_matches([' ', '\u{a0}', '\u{202f}']).is_empty()) else {
            return Written::Nothing;
        };
        match number_typed(TypedIn { unit: Some(self.unit), decimals: 0 }, text) {
            Ok((at, digits)) if self.possible.holds(at) => Written::At(at, digits),
            _ => Written::Wrong,
        }
    }

    /// What is asked at a temperature, on the straight line of the two points about it; the outer ones go on.
    fn asks(&self, at: f64) -> Option<f64> {
        let last = self.points.len().checked_sub(2)?;
        let left = self.points.iter().skip(1).position(|point| at <= point[0]).map_or(last, |place| place.min(last));
        let ([from, less], [to, more]) = (self.points[left], self.points[left + 1]);
        Some(less + (more - less) * (at - from) / (to - from))
    }
}

/// What is asked at the temperature that is written beside a reading, and what is to be said of it: empty where the
/// record says it for that temperature.
pub(super) fn at_temperature<'a>(asked: &'a Asked, text: Option<&str>) -> (Cow<'a, Asked>, String) {
    let Some(warmth) = &asked.warmth else { return (Cow::Borrowed(asked), String::new()) };
    let record = format!("{} {}", said(warmth.set_at, 1), warmth.unit.symbol);
    let judged_for = |why: &str| (Cow::Borrowed(asked), format!(", judged for {record} as {why}"));
    let (at, digits) = match warmth.read(text) {
        Written::Nothing => return judged_for("no temperature is written"),
        Written::Wrong => return judged_for("the temperature written cannot be right"),
        Written::At(at, digits) => (at, digits),
    };
    let (Some(now), Some(then)) = (warmth.asks(at), warmth.asks(warmth.set_at)) else {
        return (Cow::Borrowed(asked), String::new());
    };
    if (at - warmth.set_at).abs() < 0.05 {
        return (Cow::Borrowed(asked), String::new());
    }
    let then = asked.target.unwrap_or(then);
    let (shift, unit) = (rounded_to(now, asked.decimals.max(warmth.digits)) - then, asked.unit.symbol);
    let shown = |figure: f64| said(figure, asked.decimals.max(warmth.digits));
    let moved = |figure: Option<f64>| figure.map(|figure| figure + shift);
    let (least, greatest, target) = (moved(asked.least), moved(asked.greatest), moved(asked.target));
    let figures = match (target, least, greatest) {
        (Some(target), ..) => shown(target),
        (None, Some(least), Some(greatest)) => format!("{}..{}", shown(least), shown(greatest)),
        (None, least, greatest) => least.or(greatest).map(shown).unwrap_or_default(),
    };
    let (degrees, symbol) = (signed(at, digits), warmth.unit.symbol);
    let bounds = asked.bounds.clone().map(|side| {
        let of_side = side.into_iter();
        of_side.map(|bound| Bound { at: bound.at + if bound.goes_with { shift } else { 0.0 }, ..bound }).collect()
    });
    let said = format!("{figures} {unit} at {degrees} {symbol} ({} at {record})", asked.said);
    (Cow::Owned(Asked { least, greatest, target, bounds, said, ..asked.clone() }), String::new())
}

fn rounded_to(number: f64, digits: u8) -> f64 {
    let scale = 10f64.powi(i32::from(digits));
    (number * scale + 0.5 + 1e-6).floor() / scale
}

/// A number that may be nothing or less.
pub(super) fn signed(number: f64, digits: u8) -> String {
    match number.abs() < 1e-7 {
        true => "0".to_owned(),
        false => format!("{}{}", if number < 0.0 { "−" } else { "" }, said(number.abs(), digits)),
    }
}
