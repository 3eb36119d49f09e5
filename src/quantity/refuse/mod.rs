//! What is said when a value cannot be taken: what is wrong, what it does at the bench, what to write.

mod amount;
mod number;
mod tolerance;
mod unit;
mod words;

pub(super) use amount::{below_absolute_zero, half_click, left_over, spelling_note};
pub(super) use number::{decimal_comma, negative, no_number, not_a_number, thousands_point};
pub(super) use tolerance::{
    half_limits, half_written, limit_and_tolerance, limits, percent_tolerance, range, tolerance, two_units,
};
pub(super) use unit::{ambiguous, bare_number, oil_weight, unknown_unit, words_after, wrong_dimension};
pub(crate) use words::blank;
pub(super) use words::{either, error, pattern, quote, title};
