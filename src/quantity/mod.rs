//! A number as written, with its unit and tolerance: exact factors, reading, writing.
//!
//! [`read_value`] reads what a mechanic writes (`112 mm ± 2 mm`, `478 mL (16.2 US fl oz)`, `M6 × 1`,
//! `not fitted`) for the field that [`Wanted`] describes, and either gives a [`Value`] or says in a
//! [`Trouble`] what is wrong, what that does at the bench and what to write instead. What was written is
//! kept digit for digit; [`write_value`] gives the canonical spelling and [`Value::shown`] the printed one.

mod agree;
mod convert;
mod decimal;
mod dimension;
mod explain;
mod kind;
mod number;
mod plain;
mod read;
mod reading;
mod refuse;
mod resolve;
mod said;
mod table;
mod typed;
mod unit;
mod value;
mod write;

pub use convert::every_reading;
pub use decimal::{Decimal, MOST_DIGITS};
pub use dimension::Dimension;
pub use kind::{Kind, Trouble, Wanted};
pub use read::{LONGEST, LONGEST_TEXT, read_value};
pub(crate) use refuse::blank;
pub use said::{Quantity, Said, Shape};
pub use table::UNITS;
pub use unit::{Unit, unit, unit_of};
pub use value::{Fit, PropertyClass, Section, Size, Thread, Value};
pub use write::write_value;
