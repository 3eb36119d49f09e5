//! What is asked of a value as data, for the page that judges by it.

use serde_json::{Value as Json, json};

use super::asked::{Asked, AskedValue, Bound};
use super::possible::{Possible, taken_for};
use super::remedy::Remedy;
use super::typed::box_units;
use super::words::way_words;
use crate::quantity::{Dimension, Unit};

/// The tables of a page: what is asked of each value, by key, and once for each unit how numbers in other units become
/// its own.
#[derive(Debug, Default)]
pub struct Tables {
    units: serde_json::Map<String, Json>,
    /// By unit, the units that a number in it may have been meant in.
    meant: serde_json::Map<String, Json>,
    /// The units of what can be less than nothing.
    signed: Vec<Json>,
    /// The units of what is counted whole.
    whole: Vec<Json>,
    of: serde_json::Map<String, Json>,
}

impl Tables {
    /// Adds a value. Where nothing is asked of it, a reading still has its unit, and what it can be.
    pub fn add(&mut self, key: &str, asked: &AskedValue) {
        let unit = asked.unit;
        let units = asked.legs.iter().flatten().flat_map(|leg| {
            std::iter::once(leg.unit).chain(leg.warmth.as_ref().map(|warmth| warmth.unit))
        });
        units.chain(unit).for_each(|unit| self.add_unit(unit));
        let legs: Vec<Json> = asked.legs.iter().map(|leg| leg.as_ref().map_or(Json::Null, of_leg)).collect();
        let apart = asked.difference.as_ref().map(|difference| difference.greatest);
        let symbol = unit.map_or("", |unit| unit.symbol);
        let can = can_be(&asked.possible);
        let mut of = json!({ "legs": legs, "unit": symbol, "apart": apart, "can": can });
        if asked.words {
            of["words"] = true.into();
        }
        self.of.insert(key.to_owned(), of);
    }

    fn add_unit(&mut self, unit: &'static Unit) {
        if self.units.contains_key(unit.symbol) {
            return;
        }
        let known = box_units(unit);
        let meant: Vec<Json> = taken_for(unit)
            .filter_map(|other| known.iter().find(|known| known.spelled == other.symbol))
            .map(|other| json!([other.spelled, other.factor, other.offset]))
            .collect();
        let known: serde_json::Map<String, Json> = known
            .into_iter()
            .map(|unit| (unit.spelled.to_owned(), json!([unit.factor, unit.offset])))
            .collect();
        self.units.insert(unit.symbol.to_owned(), Json::Object(known));
        self.meant.insert(unit.symbol.to_owned(), meant.into());
        match unit.dimension {
            Dimension::Temperature => self.signed.push(unit.symbol.into()),
            Dimension::Clicks => self.whole.push(unit.symbol.into()),
            _ => {}
        }
    }

    /// As one text.
    pub fn json(self) -> String {
        json!({
            "units": self.units, "meant": self.meant, "signed": self.signed, "whole": self.whole, "of": self.of,
        })
        .to_string()
    }
}

/// What a reading can be: the least, the greatest, and between which it is likely.
fn can_be(possible: &Possible) -> Json {
    json!([possible.least, possible.greatest, possible.likely])
}

fn of_leg(asked: &Asked) -> Json {
    let remedy = match &asked.remedy {
        Remedy::None => Json::Null,
        Remedy::Words(words) => json!({ "words": words }),
        Remedy::Turn(ways) => json!({ "turn": ways }),
        Remedy::Nut(turns, ways) => json!({ "turns": turns, "ways": ways.map(way_words) }),
        Remedy::Preload(points, turns) => json!({ "preload": points, "counted": turns }),
        Remedy::Oil(depths) => json!({ "oil": depths }),
    };
    let bound = |bound: &Bound| json!([bound.at, bound.beyond, bound.goes_with]);
    let bounds = asked.bounds.each_ref().map(|side| side.iter().map(bound).collect::<Vec<_>>());
    let warm = asked.warmth.as_ref().map(|warmth| {
        json!({
            "by": warmth.key, "unit": warmth.unit.symbol, "set": warmth.set_at, "points": warmth.points,
            "digits": warmth.digits, "can": can_be(&warmth.possible),
        })
    });
    json!({
        "unit": asked.unit.symbol, "can": can_be(&asked.possible), "warm": warm, "decimals": asked.decimals, "least": asked.least, "greatest": asked.greatest,
        "target": asked.target, "loose": asked.loose, "bounds": bounds, "said": asked.said, "called": asked.called, "remedy": remedy,
    })
}
