//! One unit: its spellings and its exact factor.

use super::dimension::Dimension;
use num_bigint::BigInt;
use num_rational::BigRational;

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

impl Unit {
    /// The exact factor to the base unit.
    ///
    /// ```
    /// use benchleaf::quantity::unit;
    ///
    /// assert_eq!(unit("in").unwrap().factor().to_string(), "127/5000");
    /// ```
    pub fn factor(&self) -> BigRational {
        BigRational::new(BigInt::from(self.numerator), BigInt::from(self.denominator))
    }

    /// What is added after the factor.
    pub(crate) fn offset(&self) -> BigRational {
        BigRational::new(BigInt::from(self.offset_numerator), BigInt::from(self.offset_denominator))
    }

    /// A number in this unit, in the base unit, exactly.
    pub(crate) fn to_base(&self, number: &BigRational) -> BigRational {
        let scaled = number * self.factor();
        if self.offset_numerator == 0 { scaled } else { scaled + self.offset() }
    }

    /// A number in the base unit, in this unit, exactly.
    pub(crate) fn of_base(&self, base: &BigRational) -> BigRational {
        if self.offset_numerator == 0 { base / self.factor() } else { (base - self.offset()) / self.factor() }
    }

    /// A number in this unit, in SI (rad for angles); within a few parts in 10¹⁶.
    ///
    /// ```
    /// use benchleaf::quantity::unit;
    ///
    /// assert!((unit("in").unwrap().to_si(4.0) - 0.1016).abs() < 1e-12);
    /// ```
    pub fn to_si(&self, number: f64) -> f64 {
        self.scale_to_si(number) + self.offset_si()
    }

    /// A number in SI, in this unit; within a few parts in 10¹⁶.
    ///
    /// ```
    /// use benchleaf::quantity::unit;
    ///
    /// assert!((unit("°C").unwrap().from_si(293.15) - 20.0).abs() < 1e-9);
    /// ```
    pub fn from_si(&self, si: f64) -> f64 {
        let base = if self.dimension == Dimension::Angle { si * (180.0 / std::f64::consts::PI) } else { si };
        (base - self.offset_si()) * self.denominator as f64 / self.numerator as f64
    }

    /// A width (a tolerance, a step) in this unit, in SI: the factor without the offset.
    pub(crate) fn scale_to_si(&self, number: f64) -> f64 {
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
    pub(in crate::quantity) fn same_size(&self, other: &Unit) -> bool {
        self.dimension == other.dimension
            && self.factor() == other.factor()
            && self.offset() == other.offset()
    }

    /// Whether a number in one of the two has the same digits in the other, as in N·m and daN·m or kPa and bar:
    /// one is a power of ten of the other, or its other name.
    pub(super) fn has_digits_of(&self, other: &Unit) -> bool {
        if self.dimension != other.dimension || self.offset() != other.offset() {
            return false;
        }
        let ten = BigRational::from_integer(BigInt::from(10));
        let unity = BigRational::from_integer(BigInt::from(1));
        let mut ratio = self.factor() / other.factor();
        if ratio < unity {
            ratio = ratio.recip();
        }
        while ratio >= ten {
            ratio /= &ten;
        }
        ratio == unity
    }

    /// Every spelling it is read from.
    pub(crate) fn spellings(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.symbol)
            .chain(self.aliases.iter().copied())
            .chain(self.misspellings.iter().copied())
    }
}
