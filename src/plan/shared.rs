//! The plans of a whole shop: forks that have chosen alike walk their services alike, and share the plans.

use std::collections::HashMap;

use foldhash::fast::RandomState;
use rayon::prelude::*;

use super::service::{Plan, plans};
use crate::output::Digest;
use crate::record::Service;
use crate::resolve::{ResolvedFork, Shop};

/// The services of every fork, each planned once for all forks for which it runs the same.
#[derive(Debug)]
pub struct Plans<'s> {
    /// For each kind of fork its place.
    kinds: HashMap<Digest, usize, RandomState>,
    /// For each kind its services, in the order of the shop's list.
    plans: Vec<Vec<Plan<'s>>>,
}

impl<'s> Plans<'s> {
    /// Plans every service of every fork. A plan hangs on nothing but what a fork has chosen, what its legs do, and
    /// whether they have the parts that procedures are about: on its kind.
    pub(crate) fn new<'f>(shop: &'s Shop, forks: impl IntoIterator<Item = &'f ResolvedFork>) -> Plans<'s> {
        let mut kinds = HashMap::default();
        let mut first: Vec<&ResolvedFork> = Vec::new();
        for fork in forks {
            kinds.entry(fork.kind).or_insert_with(|| {
                first.push(fork);
                first.len() - 1
            });
        }
        Plans { kinds, plans: first.par_iter().map(|fork| plans(shop, fork)).collect() }
    }

    /// The place of a fork's kind among the kinds: forks of one kind share their plans, and the same conditions mean
    /// anything for them.
    pub(crate) fn kind(&self, fork: &ResolvedFork) -> Option<usize> {
        self.kinds.get(&fork.kind).copied()
    }

    /// The services of a fork, in the order of the shop's list.
    pub fn of(&self, fork: &ResolvedFork) -> &[Plan<'s>] {
        self.kind(fork).and_then(|kind| self.plans.get(kind)).map_or(&[], Vec::as_slice)
    }

    /// A service of a fork with its place among the fork's; `None` where it is not for the fork.
    pub fn one(&self, fork: &ResolvedFork, service: &Service) -> Option<(usize, &Plan<'s>)> {
        self.of(fork).iter().enumerate().find(|(_, plan)| plan.service.id.text == service.id.text)
    }
}
