//! Every way a text can be read, where no field says what it is.

use super::amount::any;
use super::unit::readings;
use crate::quantity::trouble::Trouble;
use crate::quantity::units::Dimension;
use crate::quantity::value::Quantity;

/// Every way a text can be read as a quantity, for a conversion where no field says what it is: one for
/// `450 mL`, three for `16 oz`, of different dimensions for `20 lb`. The error says why it cannot be read.
///
/// ```
/// use benchleaf::quantity::every_reading;
///
/// assert_eq!(every_reading("450 mL").unwrap().len(), 1);
/// assert_eq!(every_reading("16 oz").unwrap().len(), 3);
/// assert!(every_reading("16").is_err());
/// ```
pub fn every_reading(text: &str) -> Result<Vec<Quantity>, Box<Trouble>> {
    let of = |dimensions: &[Dimension]| any(text, dimensions);
    let first = of(&Dimension::ALL);
    let unit_text = text.trim().trim_start_matches(|c: char| !c.is_alphabetic() && !"°º#".contains(c));
    let meant = readings(unit_text);
    if meant.is_empty() {
        return first.map(|quantity| vec![quantity]).map_err(Box::new);
    }
    let number = text.trim_end().strip_suffix(unit_text).unwrap_or(text);
    let all: Vec<Quantity> = meant
        .iter()
        .filter_map(|unit| any(&format!("{number} {}", unit.symbol), &[unit.dimension]).ok())
        .collect();
    if all.is_empty() { first.map(|quantity| vec![quantity]).map_err(Box::new) } else { Ok(all) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::field::{Kind, free};
    use crate::quantity::write::NBSP;
    use crate::quantity::{read_value, unit, unit_of, write_value};
    use proptest::prelude::*;

    fn quantity(text: &str) -> Quantity {
        every_reading(text).unwrap().remove(0)
    }

    #[test]
    fn conversions_are_rounded_with_their_tolerance() {
        for (text, into, decimals, shown) in [
            ("96 mm", "in", 2, "3.78 in"),
            ("96 mm ± 2 mm", "in", 2, "3.78 ± 0.08 in"),
            ("46.1 mm +0.03/-0", "in", 2, "1.815 in +0.001/−0"),
            ("100..120 mm", "in", 2, "3.94–4.72 in"),
            ("≤ 0.2 mm", "in", 3, "≤ 0.008 in"),
            ("-10 °C", "°F", 0, "14 °F"),
            ("0.5 in", "mm", 0, "13 mm"),
            ("96 mm", "mm", 0, "96 mm"),
            ("96 mm", "mL", 0, "96 mm"),
        ] {
            assert_eq!(
                quantity(text).in_unit(unit(into).unwrap(), decimals).replace(NBSP, " "),
                shown,
                "{text}"
            );
        }
        assert_eq!(quantity("430 mL").decimals_in(unit("US fl oz").unwrap()), 2);
        assert_eq!(quantity("1 in").decimals_in(unit("mm").unwrap()), 0);
    }

    #[test]
    fn an_ambiguous_text_gives_every_reading() {
        let of =
            |text: &str| every_reading(text).unwrap().iter().map(Quantity::canonical).collect::<Vec<_>>();
        assert_eq!(of("16 oz"), ["16 US fl oz", "16 imp fl oz", "16 oz av"]);
        assert_eq!(of("450 mL"), ["450 mL"]);
        assert_eq!(of("20 lb").len(), 6);
        assert_eq!(every_reading("16").unwrap_err().rule.code, "bare-number");
        assert_eq!(every_reading("").unwrap_err().rule.code, "unreadable-value");
    }

    #[test]
    fn si_figures_are_those_of_the_dimension() {
        let value = quantity("96 mm ± 2 mm");
        assert_eq!((value.least_si(), value.middle_si(), value.greatest_si()), (0.094, 0.096, 0.098));
        assert_eq!(value.length().map(|length| length.value), Some(0.096));
        assert_eq!(value.volume(), None);
        assert_eq!(unit_of(Dimension::Angle, "°").unwrap().to_si(180.0), std::f64::consts::PI);
    }

    const KINDS: [&str; 16] = [
        "length",
        "volume",
        "torque",
        "pressure",
        "temperature",
        "viscosity",
        "thread",
        "size-2",
        "size-3",
        "count",
        "fit",
        "property-class",
        "text",
        "setting",
        "interval",
        "sections",
    ];

    proptest! {
        #[test]
        fn no_text_upsets_the_reader(text in "\\PC{0,40}|[0-9.,/ ±+()×–~≤-]{0,30}(mm|in|fl oz|N·m|°C|to|;|\\(|\\)){0,3}[0-9 .()-]{0,9}[a-zµ]{0,3}", at in 0_usize..16) {
            let kind = Kind::parse(KINDS[at], None, None, &[]).unwrap();
            let (value, troubles) = read_value(&text, &free(&kind));
            for trouble in &troubles {
                prop_assert!(text.get(trouble.range.clone()).is_some(), "{:?} in {text:?}", trouble.range);
            }
            prop_assert_eq!(value.is_none(), troubles.iter().any(|t| t.severity == crate::diagnostic::Severity::Error));
            if let Some(value) = value {
                let (again, _) = read_value(&write_value(&value), &free(&kind));
                prop_assert_eq!(again, Some(value));
            }
            let _ = every_reading(&text);
        }
    }
}
