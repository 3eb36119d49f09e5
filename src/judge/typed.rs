//! A reading as a thumb types it into a box: a plain number, with a unit or with that of the box. The page does the
//! same with the same table (`templates/judge.js`); the notation of the records reads more than this.

use super::asked::AskedValue;
use super::number::{TypedIn, number_typed, signed};
use super::words::{Judged, Outcome, is_torque, judge, judge_alone, judge_pair};
use crate::bench::OutOfRange;
use crate::bench::settled::settled;
use crate::bench::units::length;
use crate::quantity::Unit;

/// Judges what was typed into a box on one leg, at the temperature that is typed beside it. `None` where nothing is to
/// be said: it is no box for a number, nothing was typed, or the record has no figure for it and it can be right.
pub fn judge_typed(
    asked: &AskedValue,
    leg: usize,
    (text, temperature): (&str, Option<&str>),
    as_left: bool,
) -> Option<Judged> {
    if asked.words || text.trim_matches([' ', '\u{a0}', '\u{202f}']).is_empty() {
        return None;
    }
    match number_typed(asked.typed_in(leg), text) {
        Ok(number) => judge_number(asked, leg, number, temperature, as_left),
        Err(words) => Some(Judged::new(Outcome::NotJudged, words)),
    }
}

/// Judges a number on one leg, with the digits it was written with.
pub(super) fn judge_number(
    asked: &AskedValue,
    leg: usize,
    (figure, digits): (f64, u8),
    temperature: Option<&str>,
    as_left: bool,
) -> Option<Judged> {
    match asked.legs.get(leg).and_then(Option::as_ref) {
        Some(of_leg) => Some(judge(of_leg, figure, digits, temperature, as_left || is_torque(of_leg))),
        None => judge_alone(&asked.possible, asked.unit?, figure, digits),
    }
}

/// Judges what was typed on the left against what was typed on the right, as left.
pub fn judge_typed_pair(asked: &AskedValue, texts: [&str; 2]) -> Option<Judged> {
    let numbers = [0, 1].map(|leg| number_typed(asked.typed_in(leg), texts[leg]).ok());
    judge_pair(asked, [numbers[0]?, numbers[1]?])
}

/// The three readings of a sag, as a message names them.
const THREE: [&str; 3] = ["extended", "settled from below", "settled from above"];

/// Judges a sag from three readings of the same distance, in the unit of its box: leg extended, settled from below,
/// settled from above. It says the sag and the band in which friction holds the leg, and how the sag stands to the
/// record. `None` until all three are there.
pub fn judge_settled(
    asked: &AskedValue,
    unit: &'static Unit,
    texts: [&str; 3],
    as_left: bool,
) -> Option<Judged> {
    if texts.iter().any(|text| text.trim_matches([' ', '\u{a0}', '\u{202f}']).is_empty()) {
        return None;
    }
    let of_leg = asked.legs.iter().flatten().next();
    let typed_in = of_leg.map_or(TypedIn { unit: Some(unit), decimals: 0 }, |asked| TypedIn {
        unit: Some(asked.unit),
        decimals: asked.decimals,
    });
    let mut read = [(0.0, 0); 3];
    for (at, text) in texts.into_iter().enumerate() {
        match number_typed(typed_in, text) {
            Ok(number) => read[at] = number,
            Err(words) => return Some(Judged::new(Outcome::NotJudged, format!("{}: {words}", THREE[at]))),
        }
    }
    let unit = typed_in.unit.unwrap_or(unit);
    let [extended, below, above] = read.map(|(figure, _)| length(unit.to_si(figure)));
    let settled = match settled(extended, below, above) {
        Ok(settled) => settled,
        Err(OutOfRange::Contradiction { more, less }) => {
            return Some(Judged::new(Outcome::NotJudged, format!("mixed up: {less} is more than {more}")));
        }
        Err(_) => {
            return Some(Judged::new(
                Outcome::NotJudged,
                "each of the three is a distance of at most 1000 mm",
            ));
        }
    };
    // The middle of two readings has half of their last digit.
    let digits = read.iter().map(|(_, digits)| *digits).max().unwrap_or(0) + 1;
    let sag = unit.from_si(settled.sag.value);
    let told = format!(
        "sag {} {symbol}, friction holds it over {} {symbol}",
        signed(sag, digits),
        signed(unit.from_si(settled.friction.value), digits),
        symbol = unit.symbol
    );
    Some(match of_leg {
        Some(asked) => {
            let judged = judge(asked, sag, digits, None, as_left);
            Judged { words: format!("{told}; {}", judged.words), ..judged }
        }
        None => Judged::new(Outcome::NotJudged, told),
    })
}
