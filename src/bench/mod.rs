//! The trade's arithmetic: pure functions on typed quantities, one file a subject.
//!
//! Everything inside is SI (`uom`, 64-bit floats); a page shows shop units. Each function says its formula,
//! its units, the range in which it holds, what it assumes and where it comes from. Whatever lies outside
//! that range is an [`OutOfRange`], a sentence that a mechanic can read, and never a NaN or an infinity.
//! Powers, logarithms and exponentials go through `libm`, so that the same input gives the same bytes on
//! every machine.

pub mod adjusters;
pub mod air;
pub mod choose;
mod d2270;
pub mod expansion;
pub mod fits;
pub mod grade;
pub mod leg;
pub mod oil;
pub mod range;
pub mod robust;
pub mod settled;
pub mod spring;
pub mod thread;
pub mod torque;
pub mod units;
pub mod wrench;

pub use range::OutOfRange;
