//! What the rules read of one record: what was written, what holds, what follows from it, and who vouches for it.
//! They stand together, so that nobody has to find the one by the place of another.

use std::ops::Deref;
use std::sync::Arc;

use crate::catalogue::FieldId;
use crate::derive::{Derived, DerivedOil};
use crate::record::SpecRecord;
use crate::resolve::ResolvedFork;
use crate::review::{Comparison, Inherited, RecordReview};

/// A fork with all that is known of it. It is read like the resolved fork it holds. A copy shares all of it.
#[derive(Debug, Clone)]
pub struct CheckedFork {
    /// Its record and its values, the family's under its own.
    pub resolved: Arc<ResolvedFork>,
    /// Its arithmetic.
    pub derived: Arc<Derived>,
    /// How each value stands, inherited ones too.
    pub review: Arc<RecordReview>,
    /// How what it inherits, values and choices, stands to its own sources.
    pub inherited: Arc<Inherited>,
}

impl CheckedFork {
    /// Whether a value is inherited, and nobody compared it, as it is, with a source of this fork.
    pub fn is_uncompared(&self, field: FieldId) -> bool {
        self.inherited.values.get(&field).is_some_and(|comparison| *comparison != Comparison::Done)
    }
}

impl Deref for CheckedFork {
    type Target = ResolvedFork;

    fn deref(&self) -> &ResolvedFork {
        &self.resolved
    }
}

/// A family, or a spring, with its reviews.
#[derive(Debug, Clone)]
pub struct CheckedFamily {
    /// What was written.
    pub record: Arc<SpecRecord>,
    /// How each value stands.
    pub review: RecordReview,
}

/// An oil with all that is known of it.
#[derive(Debug, Clone)]
pub struct CheckedOil {
    /// What was written.
    pub record: Arc<SpecRecord>,
    /// Its arithmetic.
    pub derived: DerivedOil,
    /// How each value stands.
    pub review: RecordReview,
}
