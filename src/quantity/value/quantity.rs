//! A quantity: one or several readings of the same value, each with its number, tolerance and unit.

use borsh::{BorshDeserialize, BorshSerialize};

use super::decimal::Decimal;
use super::kept;
use crate::quantity::units::{Dimension, Unit};

/// How a number is limited.
#[derive(Debug, Clone, PartialEq, Eq, Hash, BorshSerialize, BorshDeserialize)]
pub enum Shape {
    /// `10.5 mm`.
    Exact(Decimal),
    /// `112 mm ± 2 mm`.
    PlusMinus {
        /// The target.
        middle: Decimal,
        /// How far it may be out either way; not below zero.
        tolerance: Decimal,
    },
    /// `47 mm +0.03/-0`.
    Limits {
        /// The nominal size.
        middle: Decimal,
        /// Added for the greatest.
        upper: Decimal,
        /// Added for the least; below zero or zero as a rule.
        lower: Decimal,
    },
    /// `100..120 mm`.
    Range {
        /// The least.
        from: Decimal,
        /// The greatest.
        to: Decimal,
    },
    /// `≤ 0.2 mm`.
    AtMost(Decimal),
    /// `≥ 306 mm`.
    AtLeast(Decimal),
}

impl Shape {
    /// The number a person reads first: the target, the limit, or the least of a range.
    ///
    /// ```
    /// use benchleaf::quantity::every_reading;
    ///
    /// let range = every_reading("96..112 mm").unwrap().remove(0);
    /// assert_eq!(range.main().shape.number().to_string(), "96");
    /// ```
    pub fn number(&self) -> &Decimal {
        match self {
            Shape::Exact(number) | Shape::AtMost(number) | Shape::AtLeast(number) => number,
            Shape::PlusMinus { middle, .. } | Shape::Limits { middle, .. } => middle,
            Shape::Range { from, .. } => from,
        }
    }

    /// Middle, least and greatest in the unit as written. A limit stands at all three; the middle of a
    /// range is the mean of its ends, that of `+0.03/-0` the nominal size.
    pub(in crate::quantity) fn figures(&self) -> (f64, f64, f64) {
        match self {
            Shape::Exact(number) | Shape::AtMost(number) | Shape::AtLeast(number) => {
                let number = number.float();
                (number, number, number)
            }
            Shape::PlusMinus { middle, tolerance } => {
                let (middle, tolerance) = (middle.float(), tolerance.float());
                (middle, middle - tolerance, middle + tolerance)
            }
            Shape::Limits { middle, upper, lower } => {
                let middle = middle.float();
                (middle, middle + lower.float(), middle + upper.float())
            }
            Shape::Range { from, to } => {
                let (from, to) = (from.float(), to.float());
                (f64::midpoint(from, to), from, to)
            }
        }
    }

    /// Whether it says how far the value may be out.
    pub(crate) fn has_tolerance(&self) -> bool {
        matches!(self, Shape::PlusMinus { .. } | Shape::Limits { .. })
    }
}

/// One reading of a value. Two are equal when number, tolerance and unit are, however they were typed.
#[derive(Debug, Clone, BorshSerialize, BorshDeserialize)]
pub struct Saying {
    /// As written.
    pub text: String,
    /// The number with its tolerance.
    pub shape: Shape,
    /// The unit.
    #[borsh(serialize_with = "kept::write_unit", deserialize_with = "kept::read_unit")]
    pub unit: &'static Unit,
}

impl PartialEq for Saying {
    fn eq(&self, other: &Saying) -> bool {
        self.shape == other.shape && self.unit == other.unit
    }
}

impl Eq for Saying {}

impl Saying {
    /// What it measures.
    pub(crate) fn dimension(&self) -> Dimension {
        self.unit.dimension
    }

    /// The target in SI coherent units (rad for angles); a range's mean, a limit itself.
    ///
    /// ```
    /// use benchleaf::quantity::every_reading;
    ///
    /// let gap = every_reading("104 mm ± 2 mm").unwrap().remove(0);
    /// assert_eq!(gap.main().middle_si(), 0.104);
    /// ```
    pub fn middle_si(&self) -> f64 {
        self.unit.to_si(self.shape.figures().0)
    }

    /// Whether it is nothing in whatever unit: zero, with no tolerance, and no point on a scale.
    pub(crate) fn is_nothing(&self) -> bool {
        let zero = matches!(&self.shape, Shape::Exact(number) if number.is_zero());
        zero && self.unit.offset_numerator == 0 && self.dimension() != Dimension::Temperature
    }

    /// The least in SI; equal to the middle where no tolerance is given.
    pub(crate) fn least_si(&self) -> f64 {
        self.unit.to_si(self.shape.figures().1)
    }

    /// The greatest in SI; equal to the middle where no tolerance is given.
    pub(crate) fn greatest_si(&self) -> f64 {
        self.unit.to_si(self.shape.figures().2)
    }
}

/// A quantity: the first reading is the value, the others are twins that agree with it. Two are equal when
/// their readings are, however they were typed.
#[derive(Debug, Clone, BorshSerialize, BorshDeserialize)]
pub struct Quantity {
    /// The whole text as written.
    pub text: String,
    /// The readings, the value first; never empty.
    pub sayings: Vec<Saying>,
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Quantity) -> bool {
        self.sayings == other.sayings
    }
}

impl Eq for Quantity {}

impl Quantity {
    /// What it measures.
    ///
    /// ```
    /// use benchleaf::quantity::{Dimension, every_reading};
    ///
    /// let fill = every_reading("470 mL").unwrap().remove(0);
    /// assert_eq!(fill.dimension(), Dimension::Volume);
    /// ```
    pub fn dimension(&self) -> Dimension {
        self.main().unit.dimension
    }

    /// The value itself.
    ///
    /// ```
    /// use benchleaf::quantity::every_reading;
    ///
    /// let torque = every_reading("23 N·m (17 lbf·ft)").unwrap().remove(0);
    /// assert_eq!(torque.main().text, "23 N·m");
    /// ```
    pub fn main(&self) -> &Saying {
        &self.sayings[0]
    }

    /// The unit the value is written in.
    ///
    /// ```
    /// use benchleaf::quantity::every_reading;
    ///
    /// let torque = every_reading("23 N·m (17 lbf·ft)").unwrap().remove(0);
    /// assert_eq!(torque.unit().symbol, "N·m");
    /// ```
    pub fn unit(&self) -> &'static Unit {
        self.main().unit
    }

    /// Whether it is said again with other digits, so that a wrong unit or digit would show. `500 mL (500 cc)`
    /// and `82 N·m (8.2 daN·m)` are not: the second saying repeats the first.
    pub(crate) fn has_twin(&self) -> bool {
        self.sayings[1..].iter().any(|twin| !twin.unit.same_digits(self.main().unit))
    }

    /// The target in SI coherent units: m, m³, kg, N·m, N, Pa, N/m, m²/s, kg/m³, K, s, rad, m², 1. The mean
    /// of a range; the limit of `≤` and `≥`.
    ///
    /// ```
    /// use benchleaf::quantity::every_reading;
    ///
    /// let limit = every_reading("≤ 0.2 mm").unwrap().remove(0);
    /// assert_eq!(limit.middle_si(), 0.0002);
    /// ```
    pub fn middle_si(&self) -> f64 {
        self.main().middle_si()
    }

    /// The least in SI; equal to the middle where no tolerance is given.
    pub(crate) fn least_si(&self) -> f64 {
        self.main().least_si()
    }

    /// The greatest in SI; equal to the middle where no tolerance is given.
    pub(crate) fn greatest_si(&self) -> f64 {
        self.main().greatest_si()
    }

    /// Whether a reading in SI is inside the tolerance: it is left as it is.
    pub(crate) fn holds(&self, reading: f64) -> bool {
        // A hair's breadth of slack: a limit from decimal text may land one rounding beside it.
        reading >= self.least_si() - 1e-9 && reading <= self.greatest_si() + 1e-9
    }
}
