//! What is asked of a value as data, for the page that judges by it.

use serde_json::{Value as Json, json};

use super::asked::{Asked, AskedValue};
use super::remedy::Remedy;
use super::typed::box_units;
use super::words::way_words;

/// The table of a value.
pub fn table(asked: &AskedValue) -> Json {
    let legs: Vec<Json> = asked.legs.iter().map(|leg| leg.as_ref().map_or(Json::Null, of_leg)).collect();
    let units: serde_json::Map<String, Json> = asked
        .legs
        .iter()
        .flatten()
        .take(1)
        .flat_map(box_units)
        .map(|unit| (unit.spelled.to_owned(), json!([unit.factor, unit.offset])))
        .collect();
    json!({ "legs": legs, "units": units, "apart": asked.difference.as_ref().map(|difference| difference.greatest) })
}

fn of_leg(asked: &Asked) -> Json {
    let remedy = match &asked.remedy {
        Remedy::None => Json::Null,
        Remedy::Words(words) => json!({ "words": words }),
        Remedy::Turn(ways) => json!({ "turn": ways }),
        Remedy::Nut(turns, ways) => json!({ "turns": turns, "ways": ways.map(way_words) }),
        Remedy::Oil(depths) => json!({ "oil": depths }),
    };
    json!({
        "unit": asked.unit.symbol, "decimals": asked.decimals, "least": asked.least, "greatest": asked.greatest,
        "target": asked.target, "loose": asked.loose, "said": asked.said, "called": asked.called, "remedy": remedy,
    })
}
