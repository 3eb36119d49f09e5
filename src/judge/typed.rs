//! A reading as a thumb types it into a box: a plain number, with a unit or with that of the box. The page does the
//! same with the same table (`templates/judge.js`); the notation of the records reads more than this.

use super::asked::{AskedValue, TypedIn};
use super::words::{Judged, Outcome, impossible, is_torque, judge, judge_pair, said};
use crate::bench::OutOfRange;
use crate::bench::settled::settled;
use crate::bench::units::length;
use crate::quantity::{Dimension, UNITS, Unit};

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

/// What a number is said to be less than nothing by: as keyboards and sheets write it.
const MINUS: [char; 3] = ['-', '−', '–'];

/// Words that stand where a number is asked for, and what is said of them.
const INSTEAD: [(&str, &str); 3] = [
    ("not fitted", "not fitted, and the record asks for it"),
    ("not read", "not read"),
    ("unknown", "not read"),
];

/// The number that was typed, in the unit of the box, with the digits behind its point; else what is wrong with it.
pub(super) fn number_typed(typed_in: TypedIn, text: &str) -> Result<(f64, u8), String> {
    let plain: String =
        text.chars().map(|c| if c == '\u{a0}' || c == '\u{202f}' { ' ' } else { c }).collect();
    let plain = plain.trim_matches(' ');
    if let Some((_, words)) = INSTEAD.iter().find(|(instead, _)| *instead == plain) {
        return Err((*words).to_owned());
    }
    let size = plain.trim_start_matches(MINUS);
    let is_less = size.len() < plain.len();
    let size = size.trim_start_matches(' ');
    let end = size.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(size.len());
    let (figure, unit) = (&size[..end], size[end..].trim_matches(' '));
    let (whole, behind) =
        figure.split_once('.').map_or((figure, None), |(whole, behind)| (whole, Some(behind)));
    if unit.starts_with(',') && !whole.is_empty() {
        return Err("write a decimal point, not a comma".to_owned());
    }
    let count = whole.len() + behind.map_or(0, str::len);
    if whole.is_empty() || behind.is_some_and(str::is_empty) || count > MOST_DIGITS {
        return Err("not a number".to_owned());
    }
    let known = typed_in.unit.map(box_units).unwrap_or_default();
    let known = known.iter().find(|known| known.spelled == unit);
    if behind.is_some_and(|behind| behind.contains('.'))
        || known.is_none() && unit.contains(|c: char| c.is_ascii_digit())
    {
        return Err("one number goes in a box".to_owned());
    }
    let temperature = typed_in.unit.is_some_and(|unit| unit.dimension == Dimension::Temperature);
    if is_less && !temperature {
        return Err("it cannot be less than nothing: write it without the minus".to_owned());
    }
    if behind.is_some() && typed_in.unit.is_some_and(|unit| unit.dimension == Dimension::Clicks) {
        return Err("a click is felt or it is not: write a whole number".to_owned());
    }
    // Nine digits are a whole number that a float holds exactly, and so is the power of ten.
    let digits = behind.map_or(0, str::len);
    let Ok(all) = format!("{whole}{}", behind.unwrap_or_default()).parse::<u32>() else {
        return Err("not a number".to_owned());
    };
    let figure = f64::from(all) / 10f64.powi(digits as i32) * if is_less { -1.0 } else { 1.0 };
    if unit.is_empty() {
        return Ok((figure, digits as u8));
    }
    match (known, typed_in.unit) {
        (Some(known), _) if known.factor == 1.0 && known.offset == 0.0 => Ok((figure, digits as u8)),
        (Some(known), _) => Ok((figure * known.factor + known.offset, typed_in.decimals)),
        (None, Some(own)) => Err(format!("not a unit of this box: write it in {}", own.symbol)),
        (None, None) => Err("a number alone goes in this box".to_owned()),
    }
}

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
        None => impossible(&asked.possible, asked.unit?, figure, digits, false),
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
        said_from_nought(sag, digits),
        said_from_nought(unit.from_si(settled.friction.value), digits),
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

/// A number that may be nothing.
fn said_from_nought(number: f64, digits: u8) -> String {
    if number.abs() < 1e-7 { "0".to_owned() } else { said(number, digits) }
}
