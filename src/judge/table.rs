//! What is asked of a value as data, for the page that judges by it. Every table is written straight as text, in the order
//! in which its fields stand here.

use indexmap::IndexMap;
use serde::Serialize;

use super::asked::{Asked, AskedValue, Bound};
use super::number::box_units;
use super::possible::{Possible, taken_for};
use super::remedy::Remedy;
use super::words::way_words;
use crate::quantity::{Dimension, Unit};

/// The tables of a page: what is asked of each value, by key, and once for each unit how numbers in other units become
/// its own.
#[derive(Debug, Default, Serialize)]
pub struct Tables<'a> {
    /// By unit, how a number in each other is made into one in it: what it is times, and what is added.
    units: IndexMap<&'static str, IndexMap<&'static str, (f64, f64)>>,
    /// By unit, the units that a number in it may have been meant in.
    meant: IndexMap<&'static str, Vec<(&'static str, f64, f64)>>,
    /// The units of what can be less than nothing.
    signed: Vec<&'static str>,
    /// The units of what is counted whole.
    whole: Vec<&'static str>,
    of: IndexMap<&'a str, OfValue<'a>>,
}

/// What is asked of a value.
#[derive(Debug, Serialize)]
struct OfValue<'a> {
    legs: [Option<OfLeg<'a>>; 2],
    unit: &'static str,
    /// How far the legs may be apart.
    apart: Option<f64>,
    can: CanBe,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    words: bool,
}

/// What a reading can be: the least, the greatest, and between which it is likely.
type CanBe = (Option<f64>, Option<f64>, Option<[f64; 2]>);

/// What is asked of a value on one leg.
#[derive(Debug, Serialize)]
struct OfLeg<'a> {
    unit: &'static str,
    can: CanBe,
    warm: Option<Warm<'a>>,
    decimals: u8,
    least: Option<f64>,
    greatest: Option<f64>,
    target: Option<f64>,
    loose: bool,
    bounds: [Vec<(f64, &'static str, bool)>; 2],
    said: &'a str,
    called: [&'static str; 2],
    remedy: Option<Mended<'a>>,
}

/// What temperature does to a value.
#[derive(Debug, Serialize)]
struct Warm<'a> {
    by: &'a str,
    unit: &'static str,
    set: f64,
    points: &'a [[f64; 2]],
    digits: u8,
    can: CanBe,
}

/// What to do about a reading that is outside, by the names the script knows.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum Mended<'a> {
    Words { words: [&'static str; 2] },
    Turn { turn: [&'static str; 2] },
    Nut { turns: f64, ways: [&'static str; 2] },
    Preload { preload: &'a [[f64; 2]], counted: bool },
    Oil { oil: &'a [[f64; 2]] },
}

impl<'a> Tables<'a> {
    /// Adds a value. Where nothing is asked of it, a reading still has its unit, and what it can be.
    pub fn add(&mut self, key: &'a str, asked: &'a AskedValue) {
        let units =
            asked.legs.iter().flatten().flat_map(|leg| {
                std::iter::once(leg.unit).chain(leg.warmth.as_ref().map(|warmth| warmth.unit))
            });
        units.chain(asked.unit).for_each(|unit| self.add_unit(unit));
        let of = OfValue {
            legs: asked.legs.each_ref().map(|leg| leg.as_ref().map(of_leg)),
            unit: asked.unit.map_or("", |unit| unit.symbol),
            apart: asked.difference.as_ref().map(|difference| difference.greatest),
            can: can_be(&asked.possible),
            words: asked.words,
        };
        self.of.insert(key, of);
    }

    fn add_unit(&mut self, unit: &'static Unit) {
        if self.units.contains_key(unit.symbol) {
            return;
        }
        let known = box_units(unit);
        let meant = taken_for(unit)
            .filter_map(|other| known.iter().find(|known| known.spelled == other.symbol))
            .map(|other| (other.spelled, other.factor, other.offset))
            .collect();
        let known = known.into_iter().map(|unit| (unit.spelled, (unit.factor, unit.offset))).collect();
        self.units.insert(unit.symbol, known);
        self.meant.insert(unit.symbol, meant);
        match unit.dimension {
            Dimension::Temperature => self.signed.push(unit.symbol),
            Dimension::Clicks => self.whole.push(unit.symbol),
            _ => {}
        }
    }

    /// As one text.
    ///
    /// # Errors
    /// None of its own: every key is a text, and a number that is none is written as nothing.
    pub fn json(&self) -> serde_json::Result<String> {
        serde_json::to_string(self)
    }
}

fn can_be(possible: &Possible) -> CanBe {
    (possible.least, possible.greatest, possible.likely)
}

fn of_leg(asked: &Asked) -> OfLeg<'_> {
    let bound = |bound: &Bound| (bound.at, bound.beyond, bound.goes_with);
    OfLeg {
        unit: asked.unit.symbol,
        can: can_be(&asked.possible),
        warm: asked.warmth.as_ref().map(|warmth| Warm {
            by: &warmth.key,
            unit: warmth.unit.symbol,
            set: warmth.set_at,
            points: &warmth.points,
            digits: warmth.digits,
            can: can_be(&warmth.possible),
        }),
        decimals: asked.decimals,
        least: asked.least,
        greatest: asked.greatest,
        target: asked.target,
        loose: asked.loose,
        bounds: asked.bounds.each_ref().map(|side| side.iter().map(bound).collect()),
        said: &asked.said,
        called: asked.called,
        remedy: mended(&asked.remedy),
    }
}

fn mended(remedy: &Remedy) -> Option<Mended<'_>> {
    Some(match remedy {
        Remedy::None => return None,
        Remedy::Words(words) => Mended::Words { words: *words },
        Remedy::Turn(turn) => Mended::Turn { turn: *turn },
        Remedy::Nut(turns, ways) => Mended::Nut { turns: *turns, ways: ways.map(way_words) },
        Remedy::Preload(preload, counted) => Mended::Preload { preload, counted: *counted },
        Remedy::Oil(oil) => Mended::Oil { oil },
    })
}
