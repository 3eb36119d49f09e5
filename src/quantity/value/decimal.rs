//! A number exactly as it was written.

use borsh::{BorshDeserialize, BorshSerialize};
use num_bigint::BigInt;
use num_rational::BigRational;
use std::fmt;

/// Most digits a number may have: more than any gauge shows, and few enough that arithmetic stays exact.
pub const MOST_DIGITS: usize = 15;

/// A number as written: its digits are kept, so `10.0` is not `10`. At most [`MOST_DIGITS`] digits; a
/// fraction of an inch keeps its parts.
#[derive(Debug, Clone, PartialEq, Eq, Hash, BorshSerialize, BorshDeserialize)]
pub struct Decimal {
    negative: bool,
    /// The digits without the point; the whole part where there is a fraction.
    digits: u64,
    /// How many of them stand after the point.
    scale: u8,
    /// Numerator and denominator of a fraction after the whole part: `1-1/4`.
    fraction: Option<(u32, u32)>,
}

impl Decimal {
    /// Nought.
    pub const ZERO: Decimal = Decimal { negative: false, digits: 0, scale: 0, fraction: None };

    /// From digits without a point and how many of them stand after it: `(1050, 2)` is 10.50.
    /// None where there are more digits than [`MOST_DIGITS`].
    pub(crate) fn new(negative: bool, digits: u64, scale: u8) -> Option<Decimal> {
        let fits = digits < 10_u64.pow(MOST_DIGITS as u32) && usize::from(scale) <= MOST_DIGITS;
        fits.then_some(Decimal { negative: negative && digits != 0, digits, scale, fraction: None })
    }

    /// A whole number and a fraction: `(1, 1, 4)` is 1-1/4. None where the fraction is not below one or
    /// the numbers are past what a rule shows.
    pub(crate) fn with_fraction(negative: bool, whole: u64, over: u32, under: u32) -> Option<Decimal> {
        let fits = whole < 100_000 && over > 0 && over < under && under <= 1_024;
        fits.then_some(Decimal { negative, digits: whole, scale: 0, fraction: Some((over, under)) })
    }

    /// As it is written, with a point and a plain minus: `10.50`, `1-1/4`.
    pub(crate) fn text(&self) -> String {
        self.written("-")
    }

    /// As it is shown: with a proper minus sign.
    pub(crate) fn shown(&self) -> String {
        self.written("−")
    }

    fn written(&self, minus: &str) -> String {
        let mut out = String::with_capacity(MOST_DIGITS + 5);
        if self.negative {
            out.push_str(minus);
        }
        match self.fraction {
            Some((over, under)) if self.digits == 0 => out.push_str(&format!("{over}/{under}")),
            Some((over, under)) => out.push_str(&format!("{}-{over}/{under}", self.digits)),
            None => self.push_unsigned(&mut out),
        }
        out
    }

    fn push_unsigned(&self, out: &mut String) {
        let scale = usize::from(self.scale);
        // From the last digit to the first; a nought before the point is always written.
        let mut digits = [0u8; MOST_DIGITS + 1];
        let (mut rest, mut many) = (self.digits, 0);
        while many < digits.len() && (rest > 0 || many <= scale) {
            digits[many] = (rest % 10) as u8;
            rest /= 10;
            many += 1;
        }
        for at in (0..many).rev() {
            out.push(char::from(b'0' + digits[at]));
            if at == scale && scale > 0 {
                out.push('.');
            }
        }
    }

    /// The exact value.
    pub(crate) fn rational(&self) -> BigRational {
        let (over, under) = self.parts();
        BigRational::new(BigInt::from(over), BigInt::from(under))
    }

    /// Half a unit in the last written place, exactly: what was rounded away when the number was written.
    /// A fraction counts as read off a rule to its own division: half of 1/4 for 1-1/4.
    pub(crate) fn half_step(&self) -> BigRational {
        BigRational::new(BigInt::from(1), BigInt::from(2 * self.divisions()))
    }

    /// The value, as near as a float comes.
    pub(crate) fn float(&self) -> f64 {
        let (over, under) = self.parts();
        // Both are below 2⁵³, so this is the nearest float to the number as written.
        over as f64 / under as f64
    }

    /// Half a unit in the last written place, as a float.
    pub(crate) fn half_step_float(&self) -> f64 {
        0.5 / self.divisions() as f64
    }

    /// How many digits stand after the point.
    ///
    /// ```
    /// use benchleaf::quantity::every_reading;
    ///
    /// let gap = every_reading("10.50 mm").unwrap().remove(0);
    /// assert_eq!(gap.main().shape.number().decimals(), 2);
    /// ```
    pub fn decimals(&self) -> u8 {
        self.scale
    }

    /// Whether it is below zero.
    pub(crate) fn is_negative(&self) -> bool {
        self.negative
    }

    /// Whether it is zero.
    pub(crate) fn is_zero(&self) -> bool {
        self.digits == 0 && self.fraction.is_none()
    }

    /// Whether it is a whole number, however written: `3`, `3.0`.
    pub(crate) fn is_whole(&self) -> bool {
        self.fraction.is_none() && self.digits.is_multiple_of(10_u64.pow(u32::from(self.scale)))
    }

    /// The same digits with the other sign.
    pub(in crate::quantity) fn negated(mut self) -> Decimal {
        self.negative = !self.negative && !self.is_zero();
        self
    }

    /// How many of the last written step make one.
    fn divisions(&self) -> u64 {
        match self.fraction {
            Some((_, under)) => u64::from(under),
            None => 10_u64.pow(u32::from(self.scale)),
        }
    }

    fn parts(&self) -> (i64, u64) {
        let magnitude = match self.fraction {
            Some((over, under)) => self.digits * u64::from(under) + u64::from(over),
            None => self.digits,
        };
        // Below 10¹⁵, so it fits.
        let signed = magnitude as i64;
        (if self.negative { -signed } else { signed }, self.divisions())
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.text())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ratio(over: i64, under: i64) -> BigRational {
        BigRational::new(BigInt::from(over), BigInt::from(under))
    }

    #[test]
    fn digits_are_kept_as_written() {
        assert_eq!(Decimal::new(false, 1050, 2).unwrap().text(), "10.50");
        assert_eq!(Decimal::new(true, 5, 1).unwrap().text(), "-0.5");
        assert_eq!(Decimal::new(true, 5, 1).unwrap().shown(), "−0.5");
        assert_ne!(Decimal::new(false, 100, 1), Decimal::new(false, 10, 0));
        assert_eq!(Decimal::new(false, u64::MAX, 0), None);
    }

    #[test]
    fn fractions_keep_their_parts() {
        let number = Decimal::with_fraction(false, 1, 1, 4).unwrap();
        assert_eq!((number.text(), number.float(), number.rational()), ("1-1/4".into(), 1.25, ratio(5, 4)));
        assert_eq!(number.half_step(), ratio(1, 8));
        assert_eq!(Decimal::with_fraction(false, 0, 3, 8).unwrap().text(), "3/8");
        assert_eq!(Decimal::with_fraction(false, 1, 5, 4), None);
    }

    #[test]
    fn the_last_place_sets_the_half_step() {
        assert_eq!(Decimal::new(false, 20, 0).unwrap().half_step(), ratio(1, 2));
        assert_eq!(Decimal::new(false, 158, 1).unwrap().half_step(), ratio(1, 20));
        assert_eq!(Decimal::new(false, 158, 1).unwrap().float(), 15.8);
    }
}
