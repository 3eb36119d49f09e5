//! What the steps of a plan ask for, and on which legs.

use crate::catalogue::{Field, Role};
use crate::plan::Plan;
use crate::quantity::{Dimension, Kind};
use crate::syntax::Scheme;

/// Whether the procedures ask for a value to be written down.
pub(super) fn is_read(plan: &Plan<'_>, key: &str) -> bool {
    plan.links_to(Scheme::Reading, key)
}

/// The legs on which a step names a value, or asks for it to be written down.
pub(super) fn named_on(plan: &Plan<'_>, key: &str) -> [bool; 2] {
    let (named, read) = (plan.legs_of(Scheme::Spec, key), plan.legs_of(Scheme::Reading, key));
    [named[0] || read[0], named[1] || read[1]]
}

/// An amount that goes in: it is written as left, and beside the number itself.
pub(super) fn is_amount(field: &Field) -> bool {
    field.role == Role::Set && matches!(field.kind, Kind::Quantity(Dimension::Volume))
}
