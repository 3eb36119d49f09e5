//! A number as written, with its unit and tolerance: exact factors, reading, writing.
//!
//! [`read_value`] reads what a mechanic writes (`112 mm ± 2 mm`, `478 mL (16.2 US fl oz)`, `M6 × 1`,
//! `not fitted`) for the field that [`FieldSpec`] describes, and either gives a [`Value`] or says in a
//! [`Trouble`] what is wrong, what that does at the bench and what to write instead. What was written is
//! kept digit for digit; [`write_value`] gives the canonical spelling and [`Value::shown`] the printed one.

mod agree;
mod amounts;
mod convert;
mod field;
mod read;
mod refuse;
mod round;
mod trouble;
mod units;
mod value;
mod write;

pub(crate) use agree::{Compared, compare};
pub(crate) use amounts::names_a_figure;
pub use field::{FieldSpec, Kind, KindError};
pub use read::{Amount, LONGEST, LONGEST_TEXT, amounts, every_reading, read_value};
pub(crate) use refuse::blank;
pub use trouble::Trouble;
pub use units::{Dimension, UNITS, Unit, unit, unit_of};
pub use value::{
    Decimal, Fit, MOST_DIGITS, PropertyClass, Quantity, Saying, Section, Shape, Size, Thread, Value,
};
pub use write::write_value;
