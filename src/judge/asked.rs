//! What a fork asks of one value, in the unit in which its record says it.

use super::remedy::{Remedy, is_sag, remedy};
use crate::catalogue::{Catalogue, Field, FieldId, Form, Key, Per, key};
use crate::derive::Derived;
use crate::quantity::{Dimension, Quantity, Shape, Unit};
use crate::resolve::{ResolvedFork, Side};

/// What is asked of a value on one leg. Numbers are in the unit beside them.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The unit.
    pub unit: &'static Unit,
    /// How many digits behind the point the record gives.
    pub decimals: u8,
    /// The least that is right; none where nothing is too small.
    pub least: Option<f64>,
    /// The greatest that is right; none where nothing is too large.
    pub greatest: Option<f64>,
    /// What it is brought to where it is outside; none for a range and for a limit.
    pub target: Option<f64>,
    /// The record gives a figure without a tolerance, and nothing says how far it may be out: a reading beside it is
    /// told, and is no fault.
    pub loose: bool,
    /// What a loose one may not be under nor over all the same: its range and its limit on record, each with its words.
    pub bounds: [Option<(f64, String)>; 2],
    /// What the record says, as it is printed.
    pub said: String,
    /// What a reading below and one above is called.
    pub called: [&'static str; 2],
    /// What to do about it.
    pub remedy: Remedy,
}

impl Asked {
    /// The unit in which a number alone is read, and the digits that one in another unit gets.
    pub(super) fn typed_in(&self) -> (&'static Unit, u8) {
        (self.unit, self.decimals)
    }
}

/// How far left and right may be apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// The greatest difference, in the unit of the value.
    pub greatest: f64,
    /// As the record says it.
    pub said: String,
}

/// What is asked of a value on both legs.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedValue {
    /// What is read, as a page calls it.
    pub title: String,
    /// Left and right; `None` where this fork asks for nothing there.
    pub legs: [Option<Asked>; 2],
    /// How far they may be apart, where the record says it.
    pub difference: Option<Difference>,
}

/// Values that are judged by the limit of another: what is read new and what it may wear to.
const JUDGED_BY: [(Key, Key); 1] = [(key::SPRING_FREE_LENGTH, key::SPRING_FREE_LENGTH_LIMIT)];

/// How far a torque without a tolerance may be out, in parts of it: what a good wrench itself may be out. ISO 6789-1
/// allows a wrench that is set 4 % above 10 N·m and 6 % below (from memory).
const WRENCH_PARTS: (f64, f64, f64) = (10.0, 0.06, 0.04);

/// What a fork asks of a value.
pub fn asked(catalogue: &Catalogue, fork: &ResolvedFork, derived: &Derived, id: FieldId) -> AskedValue {
    let field = catalogue.field(id);
    let by = JUDGED_BY.iter().find(|(read, by)| read.id() == id && fork.any(*by).is_some());
    let by = by.map_or(id, |(_, by)| by.id());
    let said = Side::BOTH.map(|side| fork.on(side, by).and_then(|resolved| resolved.quantity()));
    let remedy = |leg: usize, quantity: &Quantity| remedy(fork, derived, leg, by, quantity.unit());
    let [left, right] = said;
    let left = left.map(|quantity| asked_on(catalogue.field(by), quantity, remedy(0, quantity)));
    let right = right.map(|quantity| {
        // A sag is mended alike on both legs: what preload does to it takes long, and is worked out once.
        let known = left.as_ref().filter(|left| is_sag(by) && left.unit == quantity.unit());
        let remedy = known.map_or_else(|| remedy(1, quantity), |left| left.remedy.clone());
        asked_on(catalogue.field(by), quantity, remedy)
    });
    let mut legs = [left, right];
    for (leg, side) in legs.iter_mut().zip(Side::BOTH) {
        let Some(asked) = leg.as_mut().filter(|asked| asked.loose) else { continue };
        asked.bounds = bounds(catalogue, fork, (side, by), asked.unit);
    }
    let title = field.read_as();
    let unit = legs.iter().flatten().map(|asked| asked.unit).next();
    let difference = field.difference.as_ref().and_then(|name| {
        let quantity = fork.any(catalogue.find(name)?)?.quantity()?;
        let greatest = unit?.from_si(quantity.greatest_si());
        (quantity.dimension() == unit?.dimension).then(|| Difference { greatest, said: plain(quantity) })
    });
    AskedValue { title: title.to_owned(), legs, difference: difference.filter(|_| is_apart(field)) }
}

/// The least and the greatest that a value may have by its range and its limit on record, in a unit, with their words.
fn bounds(
    catalogue: &Catalogue,
    fork: &ResolvedFork,
    (side, id): (Side, FieldId),
    unit: &Unit,
) -> [Option<(f64, String)>; 2] {
    let relations = catalogue.relations();
    let of = |id: Option<FieldId>| {
        fork.on(side, id?)?.quantity().filter(|known| known.dimension() == unit.dimension)
    };
    let (range, limit) = (of(relations.range_of(id)), of(relations.limit_of(id)));
    let told = |si: f64, beyond: &str| {
        let bound = unit.from_si(si);
        (bound, format!("{beyond} {} {}", (bound * 10.0).round() / 10.0, unit.symbol))
    };
    let least = range.map(|range| told(range.least_si(), "under the range's"));
    let greatest = range.map(|range| told(range.greatest_si(), "over the range's"));
    let limit = limit.map(|limit| told(limit.greatest_si(), "over the limit of"));
    // Past both, the graver one is told.
    let greatest = match (greatest, limit) {
        (Some(range), Some(limit)) if limit.0 <= range.0 => Some(limit),
        (range, limit) => range.or(limit),
    };
    [least, greatest]
}

/// Whether left and right are written apart.
pub(super) fn is_apart(field: &Field) -> bool {
    field.per == Per::Leg || field.read_apart
}

/// A quantity's first reading as it is printed.
pub(super) fn plain(quantity: &Quantity) -> String {
    quantity.main().shown()
}

fn asked_on(field: &Field, quantity: &Quantity, remedy: Remedy) -> Asked {
    let unit = quantity.unit();
    let figure = |si: f64| unit.from_si(si);
    let shape = &quantity.main().shape;
    let (middle, least, greatest) =
        (figure(quantity.middle_si()), figure(quantity.least_si()), figure(quantity.greatest_si()));
    let torque = quantity.dimension() == Dimension::Torque;
    let (least, greatest, target, loose) = match shape {
        Shape::AtMost(_) => (None, Some(greatest), None, false),
        Shape::AtLeast(_) => (Some(least), None, None, false),
        Shape::Range { .. } => (Some(least), Some(greatest), None, false),
        Shape::Exact(_) if torque => {
            let (from, small, large) = WRENCH_PARTS;
            let part = if quantity.middle_si() > from { large } else { small };
            (Some(middle * (1.0 - part)), Some(middle * (1.0 + part)), Some(middle), false)
        }
        // An adjuster is counted: it stands at the number or it does not.
        Shape::Exact(_) => {
            let counted =
                matches!(quantity.dimension(), Dimension::Clicks | Dimension::Turns | Dimension::Rings);
            (Some(middle), Some(middle), Some(middle), !counted)
        }
        _ => (Some(least), Some(greatest), Some(middle), false),
    };
    let decimals = shape.number().decimals();
    let called = called(quantity.dimension(), field.form);
    Asked {
        unit,
        decimals,
        least,
        greatest,
        target,
        loose,
        bounds: [None, None],
        said: plain(quantity),
        called,
        remedy,
    }
}

/// What a reading below and one above is called.
fn called(dimension: Dimension, form: Form) -> [&'static str; 2] {
    match (form, dimension) {
        (Form::Limit, _) => ["under the limit", "over the limit"],
        (_, Dimension::Clicks | Dimension::Turns | Dimension::Rings) => ["too few", "too many"],
        (_, Dimension::Volume | Dimension::Torque) => ["too little", "too much"],
        (_, Dimension::Pressure | Dimension::Temperature) => ["too low", "too high"],
        _ => ["too small", "too large"],
    }
}
