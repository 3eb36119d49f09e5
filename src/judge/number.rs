//! Numbers as a thumb types them into a box, and as a page says them. The page does the same (`templates/judge.js`).

use crate::quantity::{Dimension, UNITS, Unit};

/// How a number that is typed is read.
#[derive(Debug, Clone, Copy)]
pub(super) struct TypedIn {
    /// The unit of a number alone; none for a plain count.
    pub(super) unit: Option<&'static Unit>,
    /// The digits that a number in another unit gets.
    pub(super) decimals: u8,
}

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

/// To the nearest whole number, a half upward. The page rounds the same way.
pub(super) fn rounded(number: f64) -> f64 {
    (number + 0.5 + 1e-6).floor()
}

/// A number with so many digits behind the point, and more where it would read as nothing; no zero at its end.
pub(super) fn said(number: f64, digits: u8) -> String {
    let mut digits = i32::from(digits.min(4));
    while digits < 6 && rounded(number * 10f64.powi(digits)) == 0.0 {
        digits += 1;
    }
    let scaled = rounded(number * 10f64.powi(digits)) as u64;
    let one = 10u64.pow(digits as u32);
    let behind = format!("{:0width$}", scaled % one, width = digits as usize);
    match behind.trim_end_matches('0') {
        "" => (scaled / one).to_string(),
        behind => format!("{}.{behind}", scaled / one),
    }
}

/// A number that may be nothing or less.
pub(super) fn signed(number: f64, digits: u8) -> String {
    match number.abs() < 1e-7 {
        true => "0".to_owned(),
        false => format!("{}{}", if number < 0.0 { "−" } else { "" }, said(number.abs(), digits)),
    }
}
