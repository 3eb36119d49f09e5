//! From what is written behind a number to a unit: exact spellings, near misses, and what is refused.

use super::cursor::Cursor;
use crate::quantity::field::Context;
use crate::quantity::refuse;
use crate::quantity::trouble::Trouble;
use crate::quantity::units::{Dimension, Spelling, UNITS, Unit, spelled, unit};
use crate::quantity::value::Decimal;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::LazyLock;

/// Spellings that mean several units, each with what it may mean. Where the field takes one of the
/// spelling's own dimension (`lb` in a weight) it is read and not looked up here.
const SEVERAL: [(&[&str], &[&str]); 8] = [
    (&["oz", "ounce"], &["US fl oz", "imp fl oz", "oz av"]),
    (&["floz", "fluidounce"], &["US fl oz", "imp fl oz"]),
    (&["pt", "pint"], &["US pt", "imp pt"]),
    (&["qt", "quart"], &["US qt", "imp qt"]),
    (&["gal", "gallon"], &["US gal", "imp gal"]),
    (&["lb", "pound", "#"], &["lbf·ft", "lbf·in", "lbf", "lbf/in", "psi", "lb"]),
    (&["kg", "kilo", "kilogram"], &["kgf·m", "kgf·cm", "kgf", "kgf/mm", "kgf/cm²", "kg"]),
    (&["°", "º", "deg", "degree"], &["°C", "°F"]),
];

/// The unit that stands at `range`, for a number of the wanted dimensions.
pub(super) fn resolve(
    cursor: &mut Cursor<'_>,
    range: Range<usize>,
    number: &Decimal,
    context: Context<'_>,
) -> Result<&'static Unit, Trouble> {
    let written = &cursor.text[range.clone()];
    if let Some((unit, how)) = spelled(written).find(|(unit, _)| context.dimensions.contains(&unit.dimension))
    {
        if how == Spelling::Misspelling {
            near(cursor, range);
        }
        return Ok(unit);
    }
    let several = readings(written);
    let candidates: Vec<_> =
        several.iter().copied().filter(|unit| context.dimensions.contains(&unit.dimension)).collect();
    if !candidates.is_empty() {
        return Err(refuse::ambiguous(cursor.text, range, number, &several, &candidates, context));
    }
    if context.dimensions.contains(&Dimension::Viscosity) && is_weight(written) {
        return Err(refuse::oil_weight(cursor.text, range, context));
    }
    if let Some(unit) = near_miss(written, |unit| context.dimensions.contains(&unit.dimension)) {
        near(cursor, range);
        return Ok(unit);
    }
    if let Some(other) = unit(written).or_else(|| near_miss(written, |_| true)) {
        return Err(refuse::wrong_dimension(cursor.text, range, other, context));
    }
    if let Some(first) = several.first() {
        return Err(refuse::wrong_dimension(cursor.text, range, first, context));
    }
    if let Some(unit) = with_words_after(written, context) {
        return Err(refuse::words_after(cursor.text, range, unit));
    }
    Err(refuse::unknown_unit(cursor.text, range, context))
}

fn near(cursor: &mut Cursor<'_>, range: Range<usize>) {
    let at = cursor.at;
    cursor.at = range.end;
    cursor.near_since(range.start);
    cursor.at = at;
}

/// Every unit an ambiguous spelling may mean; empty where it is not ambiguous.
pub(super) fn readings(written: &str) -> Vec<&'static Unit> {
    let key = key(written);
    SEVERAL
        .iter()
        .find(|(spellings, _)| spellings.contains(&key.as_str()))
        .map(|(_, symbols)| symbols.iter().filter_map(|symbol| unit(symbol)).collect())
        .unwrap_or_default()
}

/// The spelling without what hurried typing changes: capitals, blanks, dots, hyphens, plural, raised digits.
fn key(spelling: &str) -> String {
    let mut key = String::with_capacity(spelling.len());
    for part in spelling.split(|c: char| c.is_whitespace() || "*·⋅•∙×.-‑_^".contains(c)) {
        let part =
            if part.chars().count() > 2 { part.strip_suffix(['s', 'S']).unwrap_or(part) } else { part };
        for c in part.chars() {
            match c {
                '²' => key.push('2'),
                '³' => key.push('3'),
                _ => key.extend(c.to_lowercase()),
            }
        }
    }
    key
}

/// The units by the keys of their spellings, in the order of the table, each once.
static KEYS: LazyLock<HashMap<String, Vec<&'static Unit>>> = LazyLock::new(|| {
    let mut keys: HashMap<String, Vec<&'static Unit>> = HashMap::new();
    for unit in &UNITS {
        for spelling in unit.spellings() {
            let units = keys.entry(key(spelling)).or_default();
            if !units.iter().any(|known| std::ptr::eq(*known, unit)) {
                units.push(unit);
            }
        }
    }
    keys
});

pub(super) fn near_miss(written: &str, candidates: impl Fn(&Unit) -> bool) -> Option<&'static Unit> {
    if written.len() > 40 {
        return None;
    }
    let key = key(written);
    if key.is_empty() {
        return None;
    }
    let mut meant_unit: Option<&'static Unit> = None;
    for unit in KEYS.get(&key)?.iter().copied().filter(|unit| candidates(unit)) {
        if !other_prefix(written, unit) {
            match meant_unit {
                Some(already) if already.dimension == unit.dimension => return None,
                Some(_) => {}
                None => meant_unit = Some(unit),
            }
        }
    }
    meant_unit
}

/// `mPa` for MPa, `Mm` for mm: the prefix in the other capital is another prefix, a thousand million times
/// larger or smaller, unless the whole is typed in one case.
fn other_prefix(written: &str, unit: &Unit) -> bool {
    let prefixed =
        matches!(unit.symbol, "mm" | "mL" | "mbar" | "mm³" | "mg" | "mL/mm" | "mm²/s" | "mL/cm" | "MPa");
    let (mut typed, mut meant) = (written.chars(), unit.symbol.chars());
    let differs = typed.next() != meant.next();
    let rest = typed.as_str();
    let one_case = match unit.symbol.starts_with('M') {
        true => !rest.contains(char::is_uppercase),
        false => !rest.contains(char::is_lowercase),
    };
    prefixed && differs && !one_case
}

/// `W`, `wt`, `weight`: the "weight" of an oil.
fn is_weight(written: &str) -> bool {
    let first = written.split(|c: char| !c.is_alphabetic()).next().unwrap_or("");
    ["w", "wt", "weight"].contains(&first.to_lowercase().as_str())
}

/// `mm per leg`: a unit with words after it.
fn with_words_after(written: &str, context: Context<'_>) -> Option<&'static Unit> {
    written
        .char_indices()
        .filter(|(_, c)| c.is_whitespace())
        .filter_map(|(at, _)| {
            spelled(written[..at].trim_end())
                .map(|(unit, _)| unit)
                .find(|unit| context.dimensions.contains(&unit.dimension))
        })
        .next_back()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(written: &str) -> Option<&'static str> {
        near_miss(written, |_| true).map(|unit| unit.symbol)
    }

    #[test]
    fn hurried_typing_is_understood() {
        for (written, symbol) in [
            ("ft-lbs", "lbf·ft"),
            ("Ft. Lbs.", "lbf·ft"),
            ("in-lb", "lbf·in"),
            ("NM", "N·m"),
            ("N-m", "N·m"),
            ("kg-m", "kgf·m"),
            ("MM", "mm"),
            ("KPA", "kPa"),
            ("mpa", "MPa"),
            ("PSI", "psi"),
            ("US FL OZ", "US fl oz"),
            ("KM", "km"),
            ("Clicks", "clicks"),
            ("mm^2/s", "mm²/s"),
        ] {
            assert_eq!(near(written), Some(symbol), "{written}");
        }
    }

    #[test]
    fn another_prefix_is_no_near_miss() {
        for written in ["mPa", "Mm", "Ml", "Mbar", "furlong", ""] {
            assert_eq!(near(written), None, "{written}");
        }
    }

    #[test]
    fn every_ambiguous_spelling_lists_units_of_the_table() {
        for (_, symbols) in SEVERAL {
            for symbol in symbols {
                assert!(unit(symbol).is_some(), "{symbol}");
            }
        }
        assert_eq!(readings("Oz.").len(), 3);
        assert_eq!(readings("lbs").len(), 6);
    }
}
