//! A value in other units: every reading of an ambiguous one.

use super::sheet::Refusal;
use crate::quantity::{Dimension, Quantity, Unit, every_reading, unit_of};

/// One way to read a text, in other units.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The text as it was read, with its unit's canonical spelling.
    pub quantity: Quantity,
    /// The same in other units: the unit, the text for a person, and the number.
    pub values: Vec<(&'static Unit, String, f64)>,
}

/// Converts a text such as `450 mL` to a unit, or, without one, to every usual unit of its dimension. What can
/// be read in several ways comes in each of them.
///
/// ```
/// use benchleaf::calc::convert;
///
/// let readings = convert("450 mL", Some("US fl oz")).unwrap();
/// assert_eq!(readings[0].values[0].1, "15.22\u{a0}US\u{a0}fl\u{a0}oz");
/// // An ounce may be one of three.
/// assert_eq!(convert("16 oz", None).unwrap().len(), 3);
/// ```
pub fn convert(text: &str, to: Option<&str>) -> Result<Vec<Reading>, Refusal> {
    let readings = every_reading(text).map_err(|trouble| Refusal::from_trouble(&trouble))?;
    let Some(symbol) = to else {
        let all: Vec<Reading> = readings.into_iter().map(in_all).collect();
        if let Some(alone) = all.iter().find(|reading| reading.values.is_empty()) {
            let shown = alone.quantity.shown();
            return Err(Refusal(format!(
                "{shown} has no other unit to be said in: it is what one adjuster does"
            )));
        }
        return Ok(all);
    };
    let converted: Vec<Reading> = readings
        .iter()
        .filter_map(|quantity| {
            let values: Vec<_> = units(quantity.dimension(), symbol)
                .into_iter()
                .map(|unit| in_unit_of(quantity, unit))
                .collect();
            (!values.is_empty()).then(|| Reading { quantity: quantity.clone(), values })
        })
        .collect();
    if !converted.is_empty() {
        return Ok(converted);
    }
    let mut names: Vec<&str> = Vec::new();
    for quantity in &readings {
        names.extend(quantity.dimension().units().map(|unit| unit.symbol));
    }
    names.dedup();
    let read = readings.iter().map(Quantity::shown).collect::<Vec<_>>().join(" or ");
    Err(Refusal(format!("{read} cannot be said in `{symbol}`; its units are {}", names.join(", "))))
}

fn in_all(quantity: Quantity) -> Reading {
    let values = quantity.in_every_unit().into_iter().map(|(unit, _)| in_unit_of(&quantity, unit)).collect();
    Reading { quantity, values }
}

/// The units that a spelling may mean, read as leniently as behind a number: `ft-lb`, `kpa`, and for `oz` both fluid
/// ounces.
fn units(dimension: Dimension, symbol: &str) -> Vec<&'static Unit> {
    if let Some(unit) = unit_of(dimension, symbol.trim()) {
        return vec![unit];
    }
    let read = every_reading(&format!("1 {}", symbol.trim())).unwrap_or_default();
    read.iter().filter(|quantity| quantity.dimension() == dimension).map(Quantity::unit).collect()
}

/// A rounding that changes the value by more than this share loses what was written: `16 US fl oz` is not
/// `17 imp fl oz`.
const LOST: f64 = 0.005;

fn in_unit_of(quantity: &Quantity, unit: &'static Unit) -> (&'static Unit, String, f64) {
    let value = unit.from_si(quantity.middle_si());
    let mut decimals = quantity.decimals_in(unit);
    let rounded = |decimals: u8| {
        let scale = libm::pow(10.0, f64::from(decimals));
        libm::round(value * scale) / scale
    };
    while decimals < 6 && libm::fabs(rounded(decimals) - value) > LOST * libm::fabs(value) {
        decimals += 1;
    }
    (unit, quantity.in_unit(unit, decimals), value)
}

#[cfg(test)]
mod tests {
    use super::convert;

    #[test]
    fn a_volume_in_imperial_ounces() {
        // NIST Handbook 44, appendix C: 1 imperial fl oz = 28.41306 mL.
        let readings = convert("450 mL", Some("imp fl oz")).unwrap();
        assert_eq!(readings.len(), 1);
        assert!((readings[0].values[0].2 - 450.0 / 28.41306).abs() < 1e-5);
    }

    #[test]
    fn an_ambiguous_ounce_comes_in_every_reading() {
        let readings = convert("16 oz", None).unwrap();
        assert_eq!(readings.len(), 3, "US, imperial, weight");
        assert!(readings.iter().all(|reading| reading.values.len() > 2));
    }

    #[test]
    fn what_has_one_unit_says_so_and_rounding_loses_nothing_that_counts() {
        let refused = convert("12 clicks", None).unwrap_err().to_string();
        assert!(refused.contains("has no other unit"), "{refused}");
        // NIST Handbook 44, appendix C: 16 US fl oz are 473.176 mL, 16.653 imp fl oz.
        let readings = convert("16 US fl oz", Some("imp fl oz")).unwrap();
        assert_eq!(readings[0].values[0].1.replace('\u{a0}', " "), "16.7 imp fl oz");
    }

    #[test]
    fn a_unit_to_convert_to_is_read_as_leniently_as_one_behind_a_number() {
        for (text, to, symbol) in [("22 N·m", "ft-lb", "lbf·ft"), ("20 psi", "kpa", "kPa")] {
            assert_eq!(convert(text, Some(to)).unwrap()[0].values[0].0.symbol, symbol);
        }
        // Which ounce is meant cannot be told: both are said, each by its name.
        let both = convert("430 mL", Some("oz")).unwrap();
        let symbols: Vec<&str> = both[0].values.iter().map(|(unit, ..)| unit.symbol).collect();
        assert_eq!(symbols, ["US fl oz", "imp fl oz"]);
    }

    #[test]
    fn a_unit_of_another_dimension_is_refused_with_those_there_are() {
        let refused = convert("450 mL", Some("N·m")).unwrap_err().to_string();
        assert!(refused.contains("imp fl oz"), "{refused}");
        assert!(convert("450", None).is_err());
        assert!(convert("10,5 mm", None).is_err());
    }
}
