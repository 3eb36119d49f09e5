//! Rules that sum up: what they say of several forks is what they say of each, put together, so that a fork of which
//! one says nothing can be left out. Which these are is kept for the next check; it asks a rule only of the forks that
//! changed and of those of which it said something.

use std::collections::HashSet;
use std::sync::atomic::{AtomicU64, Ordering};

use super::{CheckedFork, Keys, Said};
use crate::diagnostic::Finding;

/// The forks of a shop, with the rules that say nothing of each: a bit for each rule.
pub(super) struct Asked<'a> {
    forks: &'a [CheckedFork],
    /// As it was said last time of what rests on the same.
    known: Vec<u64>,
    now: Vec<AtomicU64>,
}

impl<'a> Asked<'a> {
    /// With what is known from the last check.
    pub(super) fn new(forks: &'a [CheckedFork], (said, keys): (&Said, &Keys)) -> Asked<'a> {
        let known = |at: usize| said.quiet.before(keys.fork(at)).unwrap_or_default();
        let known: Vec<u64> = (0..forks.len()).map(known).collect();
        let now = known.iter().copied().map(AtomicU64::new).collect();
        Asked { forks, known, now }
    }

    /// Whether the rule of a number, below 64, says nothing of the fork at a place.
    pub(super) fn is_quiet(&self, at: usize, rule: usize) -> bool {
        self.known[at] >> rule & 1 == 1
    }

    /// Notes that the rule of a number says nothing of the fork at a place.
    pub(super) fn quiet(&self, at: usize, rule: usize) {
        self.now[at].fetch_or(1 << rule, Ordering::Relaxed);
    }

    /// What the rule of a number says. It names the forks that each finding reaches; where it does not, any may be the
    /// reason.
    pub(super) fn of(&self, rule: usize, say: impl FnOnce(&[CheckedFork]) -> Vec<Finding>) -> Vec<Finding> {
        let places: Vec<usize> = (0..self.forks.len()).filter(|at| !self.is_quiet(*at, rule)).collect();
        if places.is_empty() {
            return Vec::new();
        }
        let findings = if places.len() == self.forks.len() {
            say(self.forks)
        } else {
            let forks: Vec<CheckedFork> = places.iter().map(|at| self.forks[*at].clone()).collect();
            say(&forks)
        };
        if findings.iter().all(|finding| !finding.reaches.is_empty()) {
            let told: HashSet<&String> = findings.iter().flat_map(|finding| &finding.reaches).collect();
            for at in places.into_iter().filter(|at| !told.contains(&self.forks[*at].id)) {
                self.quiet(at, rule);
            }
        }
        findings
    }

    /// Keeps it for the next check.
    pub(super) fn keep(self, (said, keys): (&Said, &Keys)) {
        for (at, quiet) in self.now.into_iter().enumerate() {
            said.quiet.keep(keys.fork(at), quiet.into_inner());
        }
    }
}
