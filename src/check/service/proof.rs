//! One variant of a service and the forks that choose it.

use crate::plan::{Bits, Plan};
use crate::resolve::ResolvedFork;

/// One variant of a service and the forks that choose it.
pub(super) struct Proof<'s> {
    pub(super) plan: &'s Plan<'s>,
    pub(super) meant: Bits,
    pub(super) forks: Vec<&'s ResolvedFork>,
}
