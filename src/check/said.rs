//! What the rules on one fork and on one job said, kept for the next check of the same shop.

use std::sync::Arc;

use crate::again::Again;
use crate::diagnostic::Finding;
use crate::output::Digest;

/// What was said last time. It is taken again where all that it rests on is as it was.
#[derive(Debug, Default)]
pub struct Said {
    pub(super) forks: Again<Arc<[Finding]>>,
    pub(super) jobs: Again<Arc<[Finding]>>,
}

impl Said {
    /// Ends a turn: what was not asked for in it is let go.
    pub fn turn(&mut self) {
        self.forks.turn();
        self.jobs.turn();
    }
}

/// What each fork and each job rests on, in their order. Empty: everything is judged, and nothing is kept.
#[derive(Debug, Default)]
pub struct Keys {
    /// Of the forks.
    pub forks: Vec<Digest>,
    /// Of the jobs.
    pub jobs: Vec<Digest>,
}
