//! Forks that have chosen alike: what a rule reads of plans and conditions alone is the same for all of them, and is
//! judged once.

use std::collections::{HashMap, HashSet};

use crate::check::CheckedFork;
use crate::diagnostic::Finding;
use crate::plan::Plans;

/// Forks that share their plans and the conditions that mean anything.
pub(super) struct Alike<'f> {
    /// All of them, in the order of the shop; never none.
    pub(super) forks: Vec<&'f CheckedFork>,
}

impl<'f> Alike<'f> {
    /// The one that stands for all.
    pub(super) fn first(&self) -> &'f CheckedFork {
        self.forks[0]
    }

    /// Lets a finding reach them. Those of one group are reached together.
    pub(super) fn reach(&self, finding: &mut Finding) {
        if !finding.reaches.contains(&self.first().id) {
            finding.reaches.extend(self.forks.iter().map(|fork| fork.id.clone()));
        }
    }
}

/// Forks in groups, in the order of the first of each.
pub(super) fn alike<'f>(
    forks: impl IntoIterator<Item = &'f CheckedFork>,
    plans: &Plans<'_>,
) -> Vec<Alike<'f>> {
    let forks: Vec<&CheckedFork> = forks.into_iter().collect();
    let (mut seen, mut twice) = (HashSet::new(), HashSet::new());
    for fork in &forks {
        if !seen.insert(fork.id.as_str()) {
            twice.insert(fork.id.as_str());
        }
    }
    let mut groups: Vec<Alike<'f>> = Vec::new();
    let mut known: HashMap<usize, usize> = HashMap::new();
    for fork in forks {
        // Of two forks with one id the plans know only one: neither stands for others.
        let kind = plans.kind(fork).filter(|_| !twice.contains(fork.id.as_str()));
        let at = kind.and_then(|kind| known.get(&kind).copied());
        match at {
            Some(at) => groups[at].forks.push(fork),
            None => {
                known.extend(kind.map(|kind| (kind, groups.len())));
                groups.push(Alike { forks: vec![fork] });
            }
        }
    }
    groups
}
