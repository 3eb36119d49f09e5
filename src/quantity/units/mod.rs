//! Units: what they measure, their exact factors and their spellings.

mod digits;
mod dimension;
mod spelling;
mod table;
mod unit;

pub use dimension::Dimension;
pub(super) use spelling::{Spelling, spelled};
pub use spelling::{unit, unit_of};
pub use table::UNITS;
pub use unit::Unit;
