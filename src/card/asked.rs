//! What the steps of a plan ask for, and on which legs.

use crate::plan::Plan;
use crate::syntax::Scheme;

/// Whether the procedures ask for a value to be written down.
pub(super) fn is_read(plan: &Plan<'_>, key: &str) -> bool {
    plan.links_to(Scheme::Reading, key)
}
