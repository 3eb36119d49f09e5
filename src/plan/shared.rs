//! The plans of a whole shop: forks that have chosen alike walk their services alike, and share the plans.

use std::collections::HashMap;

use rayon::prelude::*;

use super::service::{Plan, plans};
use crate::catalogue::{Choices, FieldId};
use crate::record::Service;
use crate::resolve::{ResolvedFork, Shop, Work};

/// What the plans of a fork hang on, and which conditions mean anything for it: its choices, what its legs do, and
/// which legs have the parts that procedures and conditions are about.
type Kind<'f> = (&'f Choices, [Work; 2], Vec<[bool; 2]>);

/// The services of every fork, each planned once for all forks for which it runs the same.
#[derive(Debug)]
pub struct Plans<'s> {
    /// For each fork of the shop, by id, its place among the kinds.
    kinds: HashMap<String, usize>,
    /// For each kind its services, in the order of the shop's list.
    plans: Vec<Vec<Plan<'s>>>,
}

impl<'s> Plans<'s> {
    /// Plans every service of every fork. A plan hangs on nothing but what a fork has chosen, what its legs do, and
    /// whether they have the parts that procedures are about.
    pub(crate) fn new<'f>(shop: &'s Shop, forks: impl IntoIterator<Item = &'f ResolvedFork>) -> Plans<'s> {
        let of_procedures = shop.procedures.iter().map(|procedure| &procedure.fitted);
        let of_conditions = shop.conditions.list.iter().map(|condition| &condition.fitted);
        let parts: Vec<Vec<FieldId>> = of_procedures
            .chain(of_conditions)
            .map(|keys| keys.iter().filter_map(|key| shop.catalogue.find(&key.text)).collect())
            .filter(|fields: &Vec<FieldId>| !fields.is_empty())
            .collect();
        let mut kinds_seen: HashMap<Kind<'_>, usize> = HashMap::new();
        let mut first: Vec<&ResolvedFork> = Vec::new();
        let mut kinds = HashMap::new();
        for fork in forks {
            let works = [fork.legs[0].work, fork.legs[1].work];
            let has = parts.iter().map(|fields| fork.fitted(fields.iter().copied())).collect();
            let kind = *kinds_seen.entry((&fork.choices, works, has)).or_insert(first.len());
            if kind == first.len() {
                first.push(fork);
            }
            kinds.insert(fork.id.clone(), kind);
        }
        Plans { kinds, plans: first.par_iter().map(|fork| plans(shop, fork)).collect() }
    }

    /// The place of a fork's kind among the kinds: forks of one kind share their plans, and the same conditions mean
    /// anything for them.
    pub(crate) fn kind(&self, fork: &ResolvedFork) -> Option<usize> {
        self.kinds.get(&fork.id).copied()
    }

    /// The services of a fork, in the order of the shop's list.
    pub fn of(&self, fork: &ResolvedFork) -> &[Plan<'s>] {
        self.kinds.get(&fork.id).and_then(|kind| self.plans.get(*kind)).map_or(&[], Vec::as_slice)
    }

    /// A service of a fork with its place among the fork's; `None` where it is not for the fork.
    pub fn one(&self, fork: &ResolvedFork, service: &Service) -> Option<(usize, &Plan<'s>)> {
        self.of(fork).iter().enumerate().find(|(_, plan)| plan.service.id.text == service.id.text)
    }
}
