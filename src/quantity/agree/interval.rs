//! A printed number as the stretch of values that round to it.

use crate::quantity::units::Unit;
use crate::quantity::value::Decimal;
use num_rational::BigRational;
use num_traits::{Signed, Zero};

/// A number as an interval in the base unit: middle and half step.
#[derive(Clone)]
pub(super) struct Interval {
    pub middle: BigRational,
    half: BigRational,
}

impl Interval {
    pub(crate) fn of(number: &Decimal, unit: &Unit) -> Interval {
        Interval { middle: unit.to_base(&number.rational()), half: number.half_step() * unit.factor() }
    }

    pub(crate) fn new(middle: BigRational, half: BigRational) -> Interval {
        Interval { middle, half }
    }

    pub(crate) fn times(&self, ratio: &BigRational) -> Interval {
        Interval { middle: &self.middle * ratio, half: &self.half * ratio }
    }

    pub(crate) fn middle_size(&self) -> BigRational {
        self.middle.abs()
    }

    /// How far apart two are, as a share of both half steps.
    pub(crate) fn share_apart(&self, other: &Interval) -> BigRational {
        self.apart(other) / (&self.half + &other.half)
    }

    pub(crate) fn width(number: &Decimal, unit: &Unit) -> Interval {
        Interval { middle: number.rational() * unit.factor(), half: number.half_step() * unit.factor() }
    }

    pub(crate) fn apart(&self, other: &Interval) -> BigRational {
        (&self.middle - &other.middle).abs()
    }

    fn overlaps(&self, other: &Interval, stretch: &BigRational) -> bool {
        self.apart(other) <= &self.half + &other.half + stretch
    }

    pub(crate) fn agrees(&self, other: &Interval, through: &[Interval]) -> bool {
        let none = BigRational::zero();
        if self.overlaps(other, &none) {
            return true;
        }
        let finer = if self.half < other.half { &self.half } else { &other.half };
        let chain =
            through.iter().filter(|third| self.overlaps(third, &none) && other.overlaps(third, &none));
        let stretch = chain.map(|third| &third.half).max().filter(|half| *half > finer).unwrap_or(finer);
        self.overlaps(other, stretch)
    }
}

/// One half of a value said twice: what it stands for, its number, its unit.
pub(super) type Half<'h> = (&'h Interval, &'h Decimal, &'static Unit);
