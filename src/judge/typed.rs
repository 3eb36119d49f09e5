//! A reading as a thumb types it into a box: a plain number, with a unit or with that of the box. The page does the
//! same with the same table (`templates/judge.js`); the notation of the records reads more than this.

use super::asked::{Asked, AskedValue};
use super::words::{Judged, Outcome, judge, judge_pair, said};
use crate::bench::OutOfRange;
use crate::bench::settled::settled;
use crate::bench::units::length;
use crate::quantity::{UNITS, Unit};

/// A unit that may be typed into a box: its spelling, and what makes its numbers those of the box.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxUnit {
    /// The spelling.
    pub spelled: &'static str,
    /// A number in the box's unit is this times the number typed...
    pub factor: f64,
    /// ... and this added.
    pub offset: f64,
}

/// The units that may be typed into a box of a unit.
pub fn box_units(own: &'static Unit) -> Vec<BoxUnit> {
    let same = UNITS.iter().filter(|unit| unit.dimension == own.dimension);
    let spellings = same.flat_map(|unit| {
        let offset = own.from_si(unit.to_si(0.0));
        let (factor, offset) = match unit.symbol == own.symbol {
            true => (1.0, 0.0),
            false => (own.from_si(unit.to_si(1.0)) - offset, offset),
        };
        let names = std::iter::once(unit.symbol).chain(unit.aliases.iter().copied());
        names.map(move |spelled| BoxUnit { spelled, factor, offset })
    });
    spellings.collect()
}

/// The longest number that is read, in digits.
const MOST_DIGITS: usize = 9;

/// The number that was typed, in the unit of the box, with the digits behind its point; else what is wrong with it.
fn number_typed((own, decimals): (&'static Unit, u8), text: &str) -> Result<(f64, u8), String> {
    let plain: String =
        text.chars().map(|c| if c == '\u{a0}' || c == '\u{202f}' { ' ' } else { c }).collect();
    let plain = plain.trim_matches(' ');
    let end = plain.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(plain.len());
    let (figure, unit) = (&plain[..end], plain[end..].trim_matches(' '));
    let (whole, behind) =
        figure.split_once('.').map_or((figure, None), |(whole, behind)| (whole, Some(behind)));
    if unit.starts_with(',') && !whole.is_empty() {
        return Err("write a decimal point, not a comma".to_owned());
    }
    let count = whole.len() + behind.map_or(0, str::len);
    if whole.is_empty()
        || behind.is_some_and(|behind| behind.is_empty() || behind.contains('.'))
        || count > MOST_DIGITS
    {
        return Err("not a number".to_owned());
    }
    // Nine digits are a whole number that a float holds exactly, and so is the power of ten.
    let digits = behind.map_or(0, str::len);
    let Ok(all) = format!("{whole}{}", behind.unwrap_or_default()).parse::<u32>() else {
        return Err("not a number".to_owned());
    };
    let figure = f64::from(all) / 10f64.powi(digits as i32);
    if unit.is_empty() {
        return Ok((figure, digits as u8));
    }
    match box_units(own).iter().find(|known| known.spelled == unit) {
        Some(known) if known.factor == 1.0 && known.offset == 0.0 => Ok((figure, digits as u8)),
        Some(known) => Ok((figure * known.factor + known.offset, decimals)),
        None => Err(format!("not a unit of this box: write it in {}", own.symbol)),
    }
}

/// Judges what was typed into a box on one leg. `None` where nothing is asked for there, or nothing was typed.
pub fn judge_typed(asked: &AskedValue, leg: usize, text: &str, as_left: bool) -> Option<Judged> {
    let of_leg = asked.legs.get(leg)?.as_ref()?;
    if text.trim_matches([' ', '\u{a0}', '\u{202f}']).is_empty() {
        return None;
    }
    Some(match number_typed(of_leg.typed_in(), text) {
        Ok((figure, digits)) => judge(of_leg, figure, digits, as_left),
        Err(words) => Judged { outcome: Outcome::NotJudged, words },
    })
}

/// Judges what was typed on the left against what was typed on the right, as left.
pub fn judge_typed_pair(asked: &AskedValue, texts: [&str; 2]) -> Option<Judged> {
    let (left, left_digits) = number_typed(asked.legs[0].as_ref()?.typed_in(), texts[0]).ok()?;
    let (right, right_digits) = number_typed(asked.legs[1].as_ref()?.typed_in(), texts[1]).ok()?;
    judge_pair(asked, [left, right], left_digits.max(right_digits))
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
    let typed_in = of_leg.map_or((unit, 0), Asked::typed_in);
    let mut read = [(0.0, 0); 3];
    for (at, text) in texts.into_iter().enumerate() {
        match number_typed(typed_in, text) {
            Ok(number) => read[at] = number,
            Err(words) => return Some(Judged::new(Outcome::NotJudged, format!("{}: {words}", THREE[at]))),
        }
    }
    let unit = typed_in.0;
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
        said_from_nought(sag, digits),
        said_from_nought(unit.from_si(settled.friction.value), digits),
        symbol = unit.symbol
    );
    Some(match of_leg {
        Some(asked) => {
            let judged = judge(asked, sag, digits, as_left);
            Judged { words: format!("{told}; {}", judged.words), ..judged }
        }
        None => Judged::new(Outcome::NotJudged, told),
    })
}

/// A number that may be nothing.
fn said_from_nought(number: f64, digits: u8) -> String {
    if number.abs() < 1e-7 { "0".to_owned() } else { said(number, digits) }
}
