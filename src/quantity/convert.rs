//! From one unit to another, with rounding that does not pretend to more than was written.

use super::decimal::Decimal;
use super::dimension::Dimension;
use super::kind::{Kind, Trouble, Wanted};
use super::read::any;
use super::resolve::readings;
use super::said::{Quantity, Said, Shape};
use super::unit::Unit;
use super::write::{NBSP, ranged, signed};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::Signed;

/// Most decimals a converted number gets.
const MOST_DECIMALS: u8 = 9;

impl Quantity {
    /// The value in another unit of its dimension, rounded half away from zero to so many decimals, with its
    /// tolerance: `3.78 ± 0.08 in`, `3.94–4.72 in`. In its own unit it stays as written. A tolerance is
    /// never rounded away: it gets the decimals it needs. A unit of another dimension changes nothing.
    pub fn in_unit(&self, unit: &Unit, decimals: u8) -> String {
        self.main().in_unit(unit, decimals)
    }

    /// The decimals that keep about the precision that was written, in another unit.
    pub fn decimals_in(&self, unit: &Unit) -> u8 {
        self.main().decimals_in(unit)
    }

    /// The value in every other unit of its dimension, in the table's order, each with the precision that
    /// was written.
    pub fn in_every_unit(&self) -> Vec<(&'static Unit, String)> {
        self.dimension()
            .units()
            .filter(|unit| !std::ptr::eq(*unit, self.unit()))
            .map(|unit| (unit, self.in_unit(unit, self.decimals_in(unit))))
            .collect()
    }
}

impl Said {
    /// See [`Quantity::in_unit`].
    pub fn in_unit(&self, unit: &Unit, decimals: u8) -> String {
        if unit == self.unit || unit.dimension != self.unit.dimension {
            return self.shown();
        }
        let mut places = decimals.min(MOST_DECIMALS);
        let width = |number: &Decimal, places: u8| {
            // A width has no zero point of its own.
            let near = number.float() * self.unit.scale_to_si(1.0) / unit.scale_to_si(1.0);
            clear(near, places)
                .unwrap_or_else(|| rounded(&(number.rational() * self.unit.factor() / unit.factor()), places))
        };
        let point = |number: &Decimal, places: u8| point(number, self.unit, unit, places);
        let number = match &self.shape {
            Shape::Exact(number) => point(number, places),
            Shape::AtMost(number) => format!("≤{NBSP}{}", point(number, places)),
            Shape::AtLeast(number) => format!("≥{NBSP}{}", point(number, places)),
            Shape::PlusMinus { middle, tolerance } => {
                while places < MOST_DECIMALS && is_nought(&width(tolerance, places)) {
                    places += 1;
                }
                format!("{}{NBSP}±{NBSP}{}", point(middle, places), width(tolerance, places))
            }
            Shape::Limits { middle, upper, lower } => {
                let lost = |limit: &Decimal, places| !limit.is_zero() && is_nought(&width(limit, places));
                while places < MOST_DECIMALS && (lost(upper, places) || lost(lower, places)) {
                    places += 1;
                }
                let one =
                    |limit: &Decimal| if limit.is_zero() { "0".to_owned() } else { width(limit, places) };
                return format!(
                    "{}{NBSP}{}{NBSP}{}/{}",
                    point(middle, places),
                    unit.symbol_shown(),
                    signed(&one(upper), '+'),
                    signed(&one(lower), '−')
                );
            }
            Shape::Range { from, to } => ranged(&point(from, places), &point(to, places)),
        };
        format!("{number}{NBSP}{}", unit.symbol_shown())
    }

    /// See [`Quantity::decimals_in`].
    pub fn decimals_in(&self, unit: &Unit) -> u8 {
        let step =
            2.0 * self.shape.number().half_step_float() * self.unit.scale_to_si(1.0) / unit.scale_to_si(1.0);
        // A step of 0.04 in wants two decimals, one of 25 mm none.
        let places = -libm::log10(step) + 0.3;
        if places <= 0.0 { 0 } else { (libm::ceil(places - 0.3 - 1e-9) as u8).min(MOST_DECIMALS) }
    }
}

fn is_nought(text: &str) -> bool {
    text.bytes().all(|byte| matches!(byte, b'0' | b'.'))
}

/// A number in another unit, rounded. A float decides except near a half, where the exact value does.
fn point(number: &Decimal, from: &Unit, to: &Unit, places: u8) -> String {
    clear(to.from_si(from.to_si(number.float())), places)
        .unwrap_or_else(|| rounded(&to.from_base(&from.to_base(&number.rational())), places))
}

/// A number rounded, where a float suffices to tell which way.
fn clear(near: f64, places: u8) -> Option<String> {
    let near = near * libm::pow(10.0, f64::from(places));
    let off_half = (near.abs().fract() - 0.5).abs();
    (near.abs() < 1e9 && off_half > 1e-5).then(|| placed(near.round() as i64, places))
}

fn placed(digits: i64, places: u8) -> String {
    let decimal = Decimal::new(digits < 0, digits.unsigned_abs(), places);
    // Below 10⁹ digits, so it is always a decimal.
    decimal.map_or_else(|| digits.to_string(), |decimal| decimal.shown())
}

/// An exact number rounded half away from zero.
pub(super) fn rounded(number: &BigRational, places: u8) -> String {
    let scale = BigInt::from(10).pow(u32::from(places));
    let scaled = (number * BigRational::from_integer(scale)).round().to_integer();
    let digits = format!("{:0>width$}", scaled.abs().to_string(), width = usize::from(places) + 1);
    let sign = if scaled.is_negative() { "−" } else { "" };
    match digits.len() - usize::from(places) {
        whole if places == 0 => format!("{sign}{}", &digits[..whole]),
        whole => format!("{sign}{}.{}", &digits[..whole], &digits[whole..]),
    }
}

/// A figure of a message, to three digits or the whole number: `454`, `15.8`, `0.35`.
pub(super) fn number_in(value: f64) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    let size = libm::fabs(value);
    let places = match size {
        _ if size >= 100.0 || size == 0.0 => 0,
        _ => (2 - libm::floor(libm::log10(size)) as i32).clamp(0, 9),
    };
    let text = format!("{value:.*}", places.unsigned_abs() as usize);
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text };
    text.replacen('-', "−", 1)
}

/// A number in another unit, for a message: `454 mL`.
pub(super) fn about(number: &Decimal, from: &Unit, to: &Unit) -> String {
    format!("{} {}", number_in(to.from_si(from.to_si(number.float()))), to.symbol)
}

/// Every way a text can be read as a quantity, for a conversion where no field says what it is: one for
/// `450 mL`, three for `16 oz`, of different dimensions for `20 lb`. The error says why it cannot be read.
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

/// What a free conversion tells the reader: any dimension, no example.
pub(super) fn free(kind: &Kind) -> Wanted<'_> {
    Wanted { kind, units: &[], title: "", example: "", bands: &[] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{unit, unit_of};
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
        assert_eq!(every_reading("16").unwrap_err().code, "bare-number");
        assert_eq!(every_reading("").unwrap_err().code, "unreadable-value");
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
            let (value, troubles) = super::super::read_value(&text, &free(&kind));
            for trouble in &troubles {
                prop_assert!(text.get(trouble.range.clone()).is_some(), "{:?} in {text:?}", trouble.range);
            }
            prop_assert_eq!(value.is_none(), troubles.iter().any(|t| t.severity == crate::diagnostic::Severity::Error));
            if let Some(value) = value {
                let (again, _) = super::super::read_value(&super::super::write_value(&value), &free(&kind));
                prop_assert_eq!(again, Some(value));
            }
            let _ = every_reading(&text);
        }
    }
}
