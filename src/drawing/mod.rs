//! Drawings of where a number is read, from a record's own values: for cards and pages alike. Lines and greys alone,
//! in the ink of what they stand on, so that light, dark and grey paper show the same.

mod gap;
mod nut;
mod svg;

pub use gap::{Shape, gap};
pub use nut::nut;
pub use svg::{Coordinate, Drawing, c};
