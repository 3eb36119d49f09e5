//! Numbers rounded into another unit, without pretending to more than was written.

use super::units::Unit;
use super::value::Decimal;
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::Signed;

/// A number in another unit, rounded. A float decides except near a half, where the exact value does.
pub(super) fn point(number: &Decimal, from: &Unit, to: &Unit, places: u8) -> String {
    clear(to.from_si(from.to_si(number.float())), places)
        .unwrap_or_else(|| rounded(&to.of_base(&from.to_base(&number.rational())), places))
}

/// A number rounded, where a float suffices to tell which way.
pub(super) fn clear(near: f64, places: u8) -> Option<String> {
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
