//! What is written of a part beside quantities: threads, sizes, fits, classes of bolts, stretches.

use std::io::{self, Read, Write};

use borsh::{BorshDeserialize, BorshSerialize};

use super::decimal::Decimal;
use super::kept;
use super::quantity::Quantity;
use crate::quantity::units::Unit;

/// A metric thread: `M6 × 1`, or `M6` with the coarse pitch left to the standard.
#[derive(Debug, Clone, PartialEq, Eq, Hash, BorshSerialize, BorshDeserialize)]
pub struct Thread {
    /// Nominal diameter in mm.
    pub diameter_mm: Decimal,
    /// Pitch in mm, where it is written.
    pub pitch_mm: Option<Decimal>,
}

/// The dimensions of a part: `43 × 55 × 11 mm` is inside, outside and height.
#[derive(Debug, Clone, PartialEq, Eq, BorshSerialize, BorshDeserialize)]
pub struct Size {
    /// The numbers in order.
    pub parts: Vec<Decimal>,
    /// The length unit of all of them.
    #[borsh(serialize_with = "kept::write_unit", deserialize_with = "kept::read_unit")]
    pub unit: &'static Unit,
}

impl Size {
    /// The numbers in metres, in order.
    pub(crate) fn parts_si(&self) -> Vec<f64> {
        self.parts.iter().map(|part| self.unit.to_si(part.float())).collect()
    }
}

/// A fit code of ISO 286: `47 H7`. Capitals are holes, small letters shafts.
#[derive(Debug, Clone, PartialEq, Eq, Hash, BorshSerialize, BorshDeserialize)]
pub struct Fit {
    /// Nominal size in mm.
    pub nominal: Decimal,
    /// Letter and grade: `H7`.
    pub code: String,
}

/// A property class: ISO 898-1 for steel bolts (`8.8`), ISO 3506-1 for stainless ones (`A2-70`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PropertyClass(&'static str);

/// The classes that are known, from memory of ISO 898-1 and ISO 3506-1.
const CLASSES: [&str; 16] = [
    "4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9", "A2-50", "A2-70", "A2-80", "A4-50",
    "A4-70", "A4-80", "A4-100",
];

impl PropertyClass {
    /// The class that is marked like this.
    pub(crate) fn from_mark(mark: &str) -> Option<PropertyClass> {
        CLASSES.into_iter().find(|class| *class == mark).map(PropertyClass)
    }

    /// As marked on the bolt's head: `8.8`.
    pub(crate) fn mark(self) -> &'static str {
        self.0
    }
}

/// A property class is written for the next run by its mark.
impl BorshSerialize for PropertyClass {
    fn serialize<W: Write>(&self, to: &mut W) -> io::Result<()> {
        BorshSerialize::serialize(self.mark(), to)
    }
}

impl BorshDeserialize for PropertyClass {
    fn deserialize_reader<R: Read>(from: &mut R) -> io::Result<PropertyClass> {
        PropertyClass::from_mark(&String::deserialize_reader(from)?).ok_or_else(kept::strange)
    }
}

/// A stretch of a part with the value that holds there, measured down from the reference edge.
#[derive(Debug, Clone, PartialEq, Eq, BorshSerialize, BorshDeserialize)]
pub struct Section {
    /// The value.
    pub value: Quantity,
    /// How far down it goes, a length; none for the last stretch.
    pub until: Option<Quantity>,
}
