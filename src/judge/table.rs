//! What is asked of a value as data, for the page that judges by it.

use serde_json::{Value as Json, json};

use super::asked::{Asked, AskedValue};
use super::remedy::Remedy;
use super::typed::box_units;
use super::words::way_words;
use crate::quantity::{Dimension, Unit};

/// The tables of a page: what is asked of each value, by key, and once for each unit how numbers in other units become
/// its own.
#[derive(Debug, Default)]
pub struct Tables {
    units: serde_json::Map<String, Json>,
    of: serde_json::Map<String, Json>,
}

impl Tables {
    /// Adds a value whose box is in a unit; none for words. Where nothing is asked of it, a reading still has its unit.
    pub fn add(&mut self, key: &str, asked: &AskedValue, unit: Option<&'static Unit>, words: bool) {
        let unit = asked.legs.iter().flatten().map(|asked| asked.unit).next().or(unit);
        if let Some(unit) = unit.filter(|unit| !self.units.contains_key(unit.symbol)) {
            let known = box_units(unit).into_iter();
            let known: serde_json::Map<String, Json> =
                known.map(|unit| (unit.spelled.to_owned(), json!([unit.factor, unit.offset]))).collect();
            self.units.insert(unit.symbol.to_owned(), Json::Object(known));
        }
        let legs: Vec<Json> = asked.legs.iter().map(|leg| leg.as_ref().map_or(Json::Null, of_leg)).collect();
        let apart = asked.difference.as_ref().map(|difference| difference.greatest);
        let mut of = json!({ "legs": legs, "unit": unit.map_or("", |unit| unit.symbol), "apart": apart });
        if words {
            of["words"] = true.into();
        }
        // A click is felt or it is not.
        if unit.is_some_and(|unit| unit.dimension == Dimension::Clicks) {
            of["whole"] = true.into();
        }
        self.of.insert(key.to_owned(), of);
    }

    /// As one text.
    pub fn json(self) -> String {
        json!({ "units": self.units, "of": self.of }).to_string()
    }
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
    json!({
        "unit": asked.unit.symbol, "decimals": asked.decimals, "least": asked.least, "greatest": asked.greatest,
        "target": asked.target, "loose": asked.loose, "bounds": asked.bounds, "said": asked.said, "called": asked.called, "remedy": remedy,
    })
}
