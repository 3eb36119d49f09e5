//! What a fork asks of one value, in the unit and with the figure that its card prints.

use super::number::TypedIn;
use super::possible::{Possible, possible};
use super::remedy::{Remedy, is_sag, remedy};
use super::warmth::{Warmth, warmth};
use crate::catalogue::{Catalogue, Field, FieldId, Form, Key, Per, key};
use crate::derive::Derived;
use crate::quantity::{Dimension, Kind, Quantity, Saying, Shape, Unit};
use crate::resolve::{ResolvedFork, Shop, Side};

/// What is asked of a value on one leg. Numbers are in the unit beside them.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The unit.
    pub unit: &'static Unit,
    /// How many digits behind the point the card prints.
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
    /// What it may not be under nor over: its limit and its range on record, the gravest first.
    pub bounds: [Vec<Bound>; 2],
    /// What a reading can be at all.
    pub possible: Possible,
    /// What temperature does to it; none where no table says so.
    pub warmth: Option<Warmth>,
    /// What the record says, as it is printed.
    pub said: String,
    /// What a reading below and one above is called.
    pub called: [&'static str; 2],
    /// What to do about it.
    pub remedy: Remedy,
}

/// What a value may not be under, or over.
#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    /// The bound, in the unit of the value.
    pub at: f64,
    /// What being past it is called, before the figure.
    pub beyond: &'static str,
    /// Whether it goes with the temperature as the value itself does. A limit is what the part bears, and stays.
    pub goes_with: bool,
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
    /// The unit of its box; none for words and for a plain count.
    pub unit: Option<&'static Unit>,
    /// Whether words are written, and no number.
    pub words: bool,
    /// What a reading can be where nothing is asked of it, in the unit of the box.
    pub possible: Possible,
}

impl AskedValue {
    /// The unit in which a number alone is read on a leg, the digits that one in another unit gets, and whether it may
    /// be less than nothing.
    pub(super) fn typed_in(&self, leg: usize) -> TypedIn {
        let of_leg = self.legs.get(leg).and_then(Option::as_ref);
        let (unit, decimals) = of_leg.map_or((self.unit, 0), |asked| (Some(asked.unit), asked.decimals));
        TypedIn { unit, decimals }
    }
}

/// Values that are judged by the limit of another: what is read new and what it may wear to.
const JUDGED_BY: [(Key, Key); 1] = [(key::SPRING_FREE_LENGTH, key::SPRING_FREE_LENGTH_LIMIT)];

/// How far a torque without a tolerance may be out, in parts of it: what a good wrench itself may be out. ISO 6789-1
/// allows a wrench that is set 4 % above 10 N·m and 6 % below (from memory).
const WRENCH_PARTS: (f64, f64, f64) = (10.0, 0.06, 0.04);

/// What a fork asks of a value.
pub fn asked(shop: &Shop, fork: &ResolvedFork, derived: &Derived, id: FieldId) -> AskedValue {
    let catalogue = &shop.catalogue;
    let field = catalogue.field(id);
    let by = JUDGED_BY.iter().find(|(read, by)| read.id() == id && fork.any(*by).is_some());
    let by = by.map_or(id, |(_, by)| by.id());
    let said = Side::BOTH.map(|side| fork.on(side, by).and_then(|resolved| resolved.quantity()));
    let printed = |quantity: &Quantity| shop.main_said(Some(catalogue.field(by)), quantity).into_owned();
    let said = said.map(|quantity| quantity.map(|quantity| (quantity, printed(quantity))));
    let remedy = |leg: usize, unit: &'static Unit| remedy(fork, derived, leg, by, unit);
    let form = catalogue.field(by).form;
    let [left, right] = &said;
    let left = left.as_ref().map(|said| asked_on(form, said, remedy(0, said.1.unit)));
    let right = right.as_ref().map(|said| {
        let unit = said.1.unit;
        // A sag is mended alike on both legs: what preload does to it takes long, and is worked out once.
        let known = left.as_ref().filter(|left| is_sag(by) && left.unit == unit);
        let remedy = known.map_or_else(|| remedy(1, unit), |left| left.remedy.clone());
        asked_on(form, said, remedy)
    });
    let mut legs = [left, right];
    let words = field.kind.dimensions().is_empty() && field.kind != Kind::Count;
    let unit = legs.iter().flatten().map(|asked| asked.unit).next().or_else(|| shop.read_in(field, None));
    for (at, leg) in legs.iter_mut().enumerate() {
        let (Some(asked), Some((quantity, _))) = (leg.as_mut(), said[at].as_ref()) else { continue };
        asked.bounds = bounds(catalogue, fork, (Side::BOTH[at], by), asked.unit);
        asked.possible = possible(catalogue, fork, (by, Some(quantity)), asked.unit);
        asked.warmth = warmth(shop, &derived.legs[at], by, asked.unit);
    }
    let difference = field.difference.as_ref().and_then(|name| {
        let id = catalogue.find(name)?;
        let quantity = fork.any(id)?.quantity()?;
        let said = || shop.main_said(Some(catalogue.field(id)), quantity).shown();
        let greatest = unit?.from_si(quantity.greatest_si());
        (quantity.dimension() == unit?.dimension).then(|| Difference { greatest, said: said() })
    });
    AskedValue {
        title: field.read_as().to_owned(),
        legs,
        difference: difference.filter(|_| is_apart(field)),
        unit,
        words,
        possible: unit.map_or_else(Possible::default, |unit| possible(catalogue, fork, (by, None), unit)),
    }
}

/// What a value may not be under nor over by its limit and its range on record, in a unit, the gravest first.
fn bounds(
    catalogue: &Catalogue,
    fork: &ResolvedFork,
    (side, id): (Side, FieldId),
    unit: &Unit,
) -> [Vec<Bound>; 2] {
    let relations = catalogue.relations();
    let of = |id: Option<FieldId>| {
        fork.on(side, id?)?.quantity().filter(|known| known.dimension() == unit.dimension)
    };
    let (range, limit) = (of(relations.range_of(id)), of(relations.limit_of(id)));
    let bound = |si: f64, beyond, goes_with| Bound { at: unit.from_si(si), beyond, goes_with };
    let under = range.map(|range| bound(range.least_si(), "under the range's", true));
    let over = range.map(|range| bound(range.greatest_si(), "over the range's", true));
    let limit = limit.map(|limit| bound(limit.greatest_si(), "over the limit of", false));
    [under.into_iter().collect(), limit.into_iter().chain(over).collect()]
}

/// Whether left and right are written apart.
pub(super) fn is_apart(field: &Field) -> bool {
    field.per == Per::Leg || field.read_apart
}

/// What is asked by a quantity and by what the card prints of it. That may be the same rounded in another unit: a
/// reading is right by either.
fn asked_on(form: Form, (quantity, printed): &(&Quantity, Saying), remedy: Remedy) -> Asked {
    let unit = printed.unit;
    let figure = |si: f64| unit.from_si(si);
    let shape = &printed.shape;
    let (middle, least, greatest) = (
        figure(printed.middle_si()),
        figure(printed.least_si().min(quantity.least_si())),
        figure(printed.greatest_si().max(quantity.greatest_si())),
    );
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
    let called = called(quantity.dimension(), form);
    Asked {
        unit,
        decimals,
        least,
        greatest,
        target,
        loose,
        bounds: [Vec::new(), Vec::new()],
        possible: Possible::default(),
        warmth: None,
        said: printed.shown(),
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
