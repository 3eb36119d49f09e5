//! The trade's arithmetic against published values, other libraries, the facts of the trade, and itself.

mod air;
mod at_the_bench;
mod fasteners;
mod fits;
mod grade;
mod oil;
mod properties;
mod spring;

/// The rows of a table without its head, cut at the commas.
fn rows(table: &str) -> impl Iterator<Item = Vec<&str>> {
    table.lines().skip(1).map(|line| line.split(',').collect())
}

/// A number from a table.
fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("{text:?} is not a number"))
}

/// Asserts that two values agree within a tolerance in the same unit.
#[track_caller]
fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "found {found}, published {wanted} ± {tolerance}");
}
