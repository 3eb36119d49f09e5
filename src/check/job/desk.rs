//! What a rule on one job reads besides it.

use crate::check::CheckedFork;
use crate::date::AsOf;
use crate::judge::Sheets;
use crate::plan::Plans;
use crate::record::Job;
use crate::resolve::Shop;

/// What a rule on one job reads besides it.
pub(crate) struct Desk<'s> {
    /// The shop.
    pub(crate) shop: &'s Shop,
    /// Its forks.
    pub(crate) forks: &'s [CheckedFork],
    /// What is done on each.
    pub(crate) plans: &'s Plans<'s>,
    /// What each fork asks for.
    pub(crate) sheets: Sheets,
    /// The day the shop is judged on.
    pub(crate) day: Option<AsOf>,
}

impl<'s> Desk<'s> {
    /// The fork of a job.
    pub(crate) fn fork(&self, job: &Job) -> Option<&'s CheckedFork> {
        self.forks.iter().find(|fork| fork.id == job.fork.text)
    }
}
