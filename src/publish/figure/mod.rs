//! Charts and drawings as SVG, from computed values alone: readable without colour, with title and
//! description, every line named where it stands.

mod chart;
mod force;
mod leg;
mod order;
mod scale;
mod viscosity;

pub use force::{air_force, leg_force};
pub use leg::drawing;
pub use order::order;
pub use viscosity::viscosity;

/// A finished figure.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct Drawing {
    /// Its fragment identifier.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// The SVG, to be put into the page as it is.
    pub svg: String,
    /// What it assumes and leaves out, one sentence each.
    pub notes: Vec<String>,
}

/// Text inside SVG.
fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// A coordinate: two decimals are a hundredth of a drawing unit, finer than any printer.
fn c(value: f64) -> String {
    let text = format!("{value:.2}");
    let trimmed = text.trim_end_matches('0').trim_end_matches('.');
    if trimmed == "-0" { "0".to_owned() } else { trimmed.to_owned() }
}
