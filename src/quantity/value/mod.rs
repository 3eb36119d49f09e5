//! Everything a field can hold.

use borsh::{BorshDeserialize, BorshSerialize};

mod decimal;
mod kept;
mod part;
mod quantity;
mod typed;

pub use decimal::{Decimal, MOST_DIGITS};
pub use part::{Fit, PropertyClass, Section, Size, Thread};
pub use quantity::{Quantity, Saying, Shape};

/// A value that was read. Two are equal when they mean the same, digit for digit, however they were typed.
#[derive(Debug, Clone, PartialEq, Eq, BorshSerialize, BorshDeserialize)]
pub enum Value {
    /// The part does not exist, or a family's value is cancelled.
    NotFitted,
    /// The source does not say it.
    Unknown,
    /// A number with its unit: quantities, adjuster settings, intervals.
    Quantity(Quantity),
    /// Two intervals of which the first that is over counts.
    FirstOf(Box<[Quantity; 2]>),
    /// A metric thread.
    Thread(Thread),
    /// Two or three dimensions of a part.
    Size(Size),
    /// A whole number without a unit.
    Count(u32),
    /// A fit code.
    Fit(Fit),
    /// A property class of a bolt.
    PropertyClass(PropertyClass),
    /// One of the field's options, by id.
    Choice(String),
    /// Free text.
    Text(String),
    /// A quantity that changes with the distance from the reference edge; never empty.
    Sections(Vec<Section>),
    /// The id of another record.
    Reference(String),
}

impl Value {
    /// The quantity, where it is one.
    ///
    /// ```
    /// use benchleaf::quantity::Value;
    ///
    /// assert!(Value::NotFitted.quantity().is_none());
    /// ```
    pub fn quantity(&self) -> Option<&Quantity> {
        match self {
            Value::Quantity(quantity) => Some(quantity),
            Value::Sections(sections) if sections.len() == 1 => {
                sections.first().map(|section| &section.value)
            }
            _ => None,
        }
    }

    /// What must each keep to a band: the two of a pair of intervals, else the value itself.
    pub(crate) fn parts(&self) -> Vec<Value> {
        match self {
            Value::FirstOf(both) => both.iter().cloned().map(Value::Quantity).collect(),
            value => vec![value.clone()],
        }
    }

    /// Whether it says that the source does not say it.
    pub(crate) fn is_unknown(&self) -> bool {
        *self == Value::Unknown
    }

    /// Whether it is said in two units of different size; in sections, each of them.
    pub(crate) fn has_twin(&self) -> bool {
        match self {
            Value::Quantity(quantity) => quantity.has_twin(),
            Value::Sections(sections) => sections.iter().all(|section| section.value.has_twin()),
            _ => false,
        }
    }
}
