//! From one unit to another, with rounding that does not pretend to more than was written.

use super::read::every_reading;
use super::round::{clear, point, rounded};
use super::units::Unit;
use super::value::{Decimal, Quantity, Saying, Shape};
use super::write::{NBSP, ranged, signed};

/// Most decimals a converted number gets.
const MOST_DECIMALS: u8 = 9;

impl Quantity {
    /// The value in another unit of its dimension, rounded half away from zero to so many decimals, with its
    /// tolerance: `3.78 ± 0.08 in`, `3.94–4.72 in`. In its own unit it stays as written. A tolerance is
    /// never rounded away: it gets the decimals it needs. A unit of another dimension changes nothing.
    pub(crate) fn in_unit(&self, unit: &Unit, decimals: u8) -> String {
        self.main().in_unit(unit, decimals)
    }

    /// The decimals that keep about the precision that was written, in another unit.
    pub(crate) fn decimals_in(&self, unit: &Unit) -> u8 {
        self.main().decimals_in(unit)
    }

    /// The value in every other unit of its dimension, in the table's order, each with the precision that
    /// was written.
    pub(crate) fn in_every_unit(&self) -> Vec<(&'static Unit, String)> {
        self.dimension()
            .units()
            .filter(|unit| !std::ptr::eq(*unit, self.unit()))
            .map(|unit| (unit, self.in_unit(unit, self.decimals_in(unit))))
            .collect()
    }
}

impl Saying {
    /// See [`Quantity::in_unit`].
    pub(crate) fn in_unit(&self, unit: &Unit, decimals: u8) -> String {
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
                let limit_text =
                    |limit: &Decimal| if limit.is_zero() { "0".to_owned() } else { width(limit, places) };
                return format!(
                    "{}{NBSP}{}{NBSP}{}/{}",
                    point(middle, places),
                    unit.symbol_shown(),
                    signed(&limit_text(upper), '+'),
                    signed(&limit_text(lower), '−')
                );
            }
            Shape::Range { from, to } => ranged(&point(from, places), &point(to, places)),
        };
        format!("{number}{NBSP}{}", unit.symbol_shown())
    }

    /// The same in another unit of its dimension, as [`Saying::in_unit`] rounds it; `None` where there is none.
    pub(crate) fn converted(&self, unit: &'static Unit, decimals: u8) -> Option<Saying> {
        let shown = self.in_unit(unit, decimals);
        let text = shown.replace(NBSP, " ").replace('–', "..").replace('−', "-");
        let readings = every_reading(&text).ok()?;
        readings.into_iter().map(|quantity| quantity.main().clone()).find(|said| said.unit == unit)
    }

    /// See [`Quantity::decimals_in`].
    pub(crate) fn decimals_in(&self, unit: &Unit) -> u8 {
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
