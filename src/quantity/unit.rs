//! One unit: its spellings and its exact factor.

use super::dimension::Dimension;
use super::table::UNITS;
use num_bigint::BigInt;
use num_rational::BigRational;
use std::sync::LazyLock;

/// A unit of measure. Its factor is exact: a value times `numerator / denominator`, plus
/// `offset_numerator / offset_denominator` for a temperature, is the value in the dimension's base.
/// The base is the SI coherent unit, except for angles, whose base is the degree because π is not rational.
#[derive(Debug, PartialEq, Eq)]
pub struct Unit {
    /// The canonical spelling: `N·m`.
    pub symbol: &'static str,
    /// In words: `newton metre`.
    pub name: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// The exact factor to the base unit, above the line.
    pub numerator: u128,
    /// The exact factor to the base unit, below the line.
    pub denominator: u128,
    /// Added after the factor, above the line: only for °C and °F as points.
    pub offset_numerator: u128,
    /// Added after the factor, below the line.
    pub offset_denominator: u128,
    /// Spellings accepted without a word: UCUM codes and what printed sheets use.
    pub aliases: &'static [&'static str],
    /// Spellings that are understood, with a note that offers the canonical one.
    pub misspellings: &'static [&'static str],
}

/// How a spelling was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Spelling {
    Canonical,
    Alias,
    Misspelling,
}

impl Unit {
    /// The exact factor to the base unit.
    pub fn factor(&self) -> BigRational {
        BigRational::new(BigInt::from(self.numerator), BigInt::from(self.denominator))
    }

    /// What is added after the factor.
    pub fn offset(&self) -> BigRational {
        BigRational::new(BigInt::from(self.offset_numerator), BigInt::from(self.offset_denominator))
    }

    /// A number in this unit, in the base unit, exactly.
    pub fn to_base(&self, number: &BigRational) -> BigRational {
        let scaled = number * self.factor();
        if self.offset_numerator == 0 { scaled } else { scaled + self.offset() }
    }

    /// A number in the base unit, in this unit, exactly.
    pub fn from_base(&self, base: &BigRational) -> BigRational {
        if self.offset_numerator == 0 { base / self.factor() } else { (base - self.offset()) / self.factor() }
    }

    /// A number in this unit, in SI (rad for angles); within a few parts in 10¹⁶.
    pub fn to_si(&self, number: f64) -> f64 {
        self.scale_to_si(number) + self.offset_si()
    }

    /// A number in SI, in this unit; within a few parts in 10¹⁶.
    pub fn from_si(&self, si: f64) -> f64 {
        let base = if self.dimension == Dimension::Angle { si * (180.0 / std::f64::consts::PI) } else { si };
        (base - self.offset_si()) * self.denominator as f64 / self.numerator as f64
    }

    /// A width (a tolerance, a step) in this unit, in SI: the factor without the offset.
    pub fn scale_to_si(&self, number: f64) -> f64 {
        let base = number * self.numerator as f64 / self.denominator as f64;
        if self.dimension == Dimension::Angle { base * (std::f64::consts::PI / 180.0) } else { base }
    }

    fn offset_si(&self) -> f64 {
        if self.offset_numerator == 0 {
            0.0
        } else {
            self.offset_numerator as f64 / self.offset_denominator as f64
        }
    }

    /// Whether one of the two is the other under another name: cSt and mm²/s.
    pub(super) fn same_size(&self, other: &Unit) -> bool {
        self.dimension == other.dimension
            && self.factor() == other.factor()
            && self.offset() == other.offset()
    }

    /// Whether a number in one of the two has the same digits in the other, as in N·m and daN·m or kPa and bar:
    /// one is a power of ten of the other, or its other name.
    pub fn same_digits(&self, other: &Unit) -> bool {
        if self.dimension != other.dimension || self.offset() != other.offset() {
            return false;
        }
        let ten = BigRational::from_integer(BigInt::from(10));
        let one = BigRational::from_integer(BigInt::from(1));
        let mut ratio = self.factor() / other.factor();
        if ratio < one {
            ratio = ratio.recip();
        }
        while ratio >= ten {
            ratio /= &ten;
        }
        ratio == one
    }

    /// Every spelling it is read from.
    pub fn spellings(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.symbol)
            .chain(self.aliases.iter().copied())
            .chain(self.misspellings.iter().copied())
    }
}

/// Every spelling, sorted, with its unit's place in the table. Made once from a constant table: the same
/// for every caller, so not a state.
static INDEX: LazyLock<Vec<(&'static str, usize, Spelling)>> = LazyLock::new(|| {
    let mut index: Vec<_> = UNITS
        .iter()
        .enumerate()
        .flat_map(|(at, unit)| {
            std::iter::once((unit.symbol, at, Spelling::Canonical))
                .chain(unit.aliases.iter().map(move |alias| (*alias, at, Spelling::Alias)))
                .chain(unit.misspellings.iter().map(move |miss| (*miss, at, Spelling::Misspelling)))
        })
        .collect();
    index.sort_unstable();
    index
});

/// Every unit that has exactly this spelling.
pub(super) fn spelled(text: &str) -> impl Iterator<Item = (&'static Unit, Spelling)> {
    let from = INDEX.partition_point(|(spelling, _, _)| *spelling < text);
    INDEX[from..]
        .iter()
        .take_while(move |(spelling, _, _)| *spelling == text)
        .map(|(_, at, how)| (&UNITS[*at], *how))
}

/// The unit with this spelling. Where two dimensions share one (`°C` as a point or a difference), the first
/// of the table: see [`unit_of`].
pub fn unit(symbol: &str) -> Option<&'static Unit> {
    spelled(symbol).next().map(|(unit, _)| unit)
}

/// The unit of one dimension with this spelling.
pub fn unit_of(dimension: Dimension, symbol: &str) -> Option<&'static Unit> {
    spelled(symbol).map(|(unit, _)| unit).find(|unit| unit.dimension == dimension)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn a_spelling_means_one_unit_of_a_dimension() {
        let mut seen = BTreeSet::new();
        for unit in &UNITS {
            for spelling in unit.spellings() {
                assert!(
                    seen.insert((unit.dimension, spelling)),
                    "{spelling} stands twice under {:?}",
                    unit.dimension
                );
            }
        }
    }

    #[test]
    fn every_spelling_is_found_and_canonical_ones_first() {
        for unit in &UNITS {
            for spelling in unit.spellings() {
                assert_eq!(unit_of(unit.dimension, spelling).map(|u| u.symbol), Some(unit.symbol));
            }
        }
        assert_eq!(unit("°C").map(|u| u.dimension), Some(Dimension::Temperature));
        assert_eq!(unit("m").map(|u| u.dimension), Some(Dimension::Length));
        assert_eq!(unit("oz"), None);
    }

    #[test]
    fn powers_of_ten_keep_the_digits() {
        let unit = |symbol| unit(symbol).unwrap();
        for (a, b, same) in [
            ("N·m", "daN·m", true),
            ("mm", "cm", true),
            ("kPa", "bar", true),
            ("mL", "cm³", true),
            ("°C", "°F", false),
            ("kPa", "kgf/cm²", false),
            ("N·m", "kgf·m", false),
            ("mm", "mL", false),
        ] {
            assert_eq!(unit(a).same_digits(unit(b)), same, "{a} {b}");
            assert_eq!(unit(b).same_digits(unit(a)), same, "{b} {a}");
        }
    }

    #[test]
    fn base_and_back_is_exact() {
        let number = BigRational::new(BigInt::from(1234), BigInt::from(1000));
        for unit in &UNITS {
            assert_eq!(unit.from_base(&unit.to_base(&number)), number, "{}", unit.symbol);
            let back = unit.from_si(unit.to_si(1.234));
            assert!((back - 1.234).abs() < 1e-12, "{} {back}", unit.symbol);
        }
    }

    #[test]
    fn units_of_a_dimension_are_listed_in_the_tables_order() {
        assert_eq!(Dimension::Pressure.units().next().map(|u| u.symbol), Some("kPa"));
        for dimension in Dimension::ALL {
            assert!(dimension.units().next().is_some());
            assert_eq!(Dimension::from_id(dimension.id()), Some(dimension));
        }
    }
}
