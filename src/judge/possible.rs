//! What a reading can be at all. One far outside was read in another unit, or the finger slipped: nobody is told to cut,
//! pour or turn by it.

use crate::catalogue::{Catalogue, Field, FieldId, Form, key};
use crate::quantity::{Dimension, Quantity, Shape, Unit, unit};
use crate::resolve::ResolvedFork;

use super::remedy::is_sag;

/// What a reading can be, in the unit of its box.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Possible {
    /// The least; none where it can be nothing.
    pub least: Option<f64>,
    /// The greatest; none where nobody knows.
    pub greatest: Option<f64>,
    /// Where it lies when it is right, or nearly so: another unit that brings it here is what was meant.
    pub likely: Option<[f64; 2]>,
}

/// The units in which a bench's tools read, by what they measure: the ones that are taken for another.
const TAKEN_FOR: [(Dimension, &[&str]); 5] = [
    (Dimension::Length, &["mm", "in", "cm"]),
    (Dimension::Pressure, &["kPa", "bar", "psi"]),
    (Dimension::Torque, &["N·m", "lbf·ft", "lbf·in"]),
    (Dimension::Volume, &["mL", "US fl oz", "L"]),
    (Dimension::Temperature, &["°C", "°F", "K"]),
];

/// The units that a number in this one may have been meant in.
pub(super) fn taken_for(own: &Unit) -> impl Iterator<Item = &'static Unit> {
    let row = TAKEN_FOR.iter().find(|row| row.0 == own.dimension);
    row.map_or(&[][..], |row| row.1).iter().filter(|symbol| **symbol != own.symbol).filter_map(|symbol| unit(symbol))
}

/// How many times beyond what is likely a part or a tool can be (common practice, no source).
const TIMES: f64 = 3.0;
/// How many times over its limit a wear or a run-out can be (common practice, no source).
const TIMES_WORN: f64 = 10.0;
/// By how many degrees oil and legs can be beside what a bench has (common practice, no source).
const DEGREES: f64 = 30.0;
/// More than any adjuster is counted to, where the record says no range (common practice, no source).
const MOST_COUNTED: f64 = 100.0;
/// How near to a figure a reading in the unit that was meant comes, in parts of it.
const NEAR: f64 = 0.05;

impl Possible {
    /// Whether a reading can be this.
    pub(super) fn holds(&self, figure: f64) -> bool {
        self.least.is_none_or(|least| figure >= least) && self.greatest.is_none_or(|greatest| figure <= greatest)
    }
}

/// What a reading can be by the band of its field alone.
pub(super) fn of_band(field: &Field, unit: &Unit) -> Possible {
    let band = field.bands.iter().find(|band| band.dimension == Some(unit.dimension));
    let by = if unit.dimension == Dimension::Temperature { DEGREES } else { return Possible::default() };
    let side = |si: f64| Some(unit.from_si(si));
    band.map_or_else(Possible::default, |band| Possible {
        least: side(band.from - by),
        greatest: side(band.to + by),
        likely: Some([unit.from_si(band.from), unit.from_si(band.to)]),
    })
}

/// What a reading of a value can be on a fork, by what is asked of it and by the band of its field.
pub(super) fn possible(
    catalogue: &Catalogue,
    fork: &ResolvedFork,
    (id, asked): (FieldId, Option<&Quantity>),
    unit: &Unit,
) -> Possible {
    let field = catalogue.field(id);
    let band = field.bands_for(&fork.choices).find(|band| band.dimension == Some(unit.dimension));
    let band = band.map(|band| [band.from, band.to]);
    let target = asked.filter(|asked| asked.dimension() == unit.dimension);
    // What is asked lies between these, where it is a figure and no limit.
    let figure = target
        .filter(|asked| !is_limit(asked) && field.form != Form::Limit)
        .map(|asked| [asked.least_si(), asked.greatest_si()]);
    let whole = [figure, band].into_iter().flatten().reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
    let [least, greatest] = match unit.dimension {
        Dimension::Clicks | Dimension::Turns | Dimension::Rings => [None, counted(catalogue, fork, id, unit)],
        Dimension::Temperature => return of_band(field, unit),
        _ if is_sag(id) => [None, stroke(fork).or(whole.map(|of| of[1] * TIMES))],
        _ => sized(field, unit.dimension, target, whole),
    };
    let likely = figure.map(|[least, greatest]| [least * (1.0 - NEAR), greatest * (1.0 + NEAR)]).or(band);
    let said = |si: f64| unit.from_si(si);
    Possible { least: least.map(said), greatest: greatest.map(said), likely: likely.map(|of| of.map(said)) }
}

/// The least and the greatest of a length, a torque, an amount, a pressure, SI.
fn sized(field: &Field, of: Dimension, target: Option<&Quantity>, whole: Option<[f64; 2]>) -> [Option<f64>; 2] {
    match target.map(|asked| (&asked.main().shape, asked)) {
        // What wears from nothing to its limit.
        Some((Shape::AtMost(_), asked)) => [None, Some(asked.greatest_si() * TIMES_WORN)],
        // What wears down to its limit.
        Some((Shape::AtLeast(_), asked)) => [Some(asked.least_si() / TIMES), Some(asked.least_si() * TIMES)],
        None if field.form == Form::Limit => [None, whole.map(|of| of[1] * TIMES_WORN)],
        // A leg that has lost its air or its oil reads nothing; a part and a joint never do.
        _ => {
            let never_nothing = matches!(of, Dimension::Length | Dimension::Torque);
            let least = whole.filter(|of| never_nothing && of[0] > 0.0).map(|of| of[0] / TIMES);
            [least, whole.map(|of| of[1] * TIMES)]
        }
    }
}

fn is_limit(asked: &Quantity) -> bool {
    matches!(asked.main().shape, Shape::AtMost(_) | Shape::AtLeast(_))
}

/// No sag is more than the leg travels.
fn stroke(fork: &ResolvedFork) -> Option<f64> {
    Some(fork.any(key::TUBES_STROKE)?.quantity()?.greatest_si())
}

/// The most that an adjuster can be counted to.
fn counted(catalogue: &Catalogue, fork: &ResolvedFork, id: FieldId, unit: &Unit) -> Option<f64> {
    let ranges = catalogue.relations().whole_ranges();
    let range = ranges.iter().find(|(of, _)| *of == id).and_then(|(_, range)| fork.any(*range)?.quantity());
    let range = range.filter(|range| range.dimension() == unit.dimension);
    Some(range.map_or_else(|| unit.to_si(MOST_COUNTED), Quantity::greatest_si))
}
