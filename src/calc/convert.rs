//! A value in other units: every reading of an ambiguous one.

use super::sheet::Refusal;
use crate::quantity::{Quantity, Unit, every_reading, unit_of};

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
pub fn convert(text: &str, to: Option<&str>) -> Result<Vec<Reading>, Refusal> {
    let readings = every_reading(text).map_err(|trouble| Refusal::from_trouble(&trouble))?;
    let Some(wanted) = to else {
        return Ok(readings.into_iter().map(in_all).collect());
    };
    let found: Vec<Reading> = readings
        .iter()
        .filter_map(|quantity| {
            let unit = unit_of(quantity.dimension(), wanted.trim())?;
            Some(Reading { quantity: quantity.clone(), values: vec![one(quantity, unit)] })
        })
        .collect();
    if !found.is_empty() {
        return Ok(found);
    }
    let mut names: Vec<&str> = Vec::new();
    for quantity in &readings {
        names.extend(quantity.dimension().units().map(|unit| unit.symbol));
    }
    names.dedup();
    let read = readings.iter().map(Quantity::shown).collect::<Vec<_>>().join(" or ");
    Err(Refusal(format!("{read} cannot be said in `{wanted}`; its units are {}", names.join(", "))))
}

fn in_all(quantity: Quantity) -> Reading {
    let values = quantity.in_every_unit().into_iter().map(|(unit, _)| one(&quantity, unit)).collect();
    Reading { quantity, values }
}

fn one(quantity: &Quantity, unit: &'static Unit) -> (&'static Unit, String, f64) {
    (unit, quantity.in_unit(unit, quantity.decimals_in(unit)), unit.from_si(quantity.middle_si()))
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
    fn a_unit_of_another_dimension_is_refused_with_those_there_are() {
        let refused = convert("450 mL", Some("N·m")).unwrap_err().to_string();
        assert!(refused.contains("imp fl oz"), "{refused}");
        assert!(convert("450", None).is_err());
        assert!(convert("10,5 mm", None).is_err());
    }
}
