//! Which forks are of one kind: what services do is the same on all of them.

use super::fork::{ResolvedFork, Work};
use super::shop::Shop;
use crate::catalogue::FieldId;
use crate::output::Digest;

/// The parts that the shop's procedures and conditions are about, each by the values that a fork has of it.
#[derive(Debug, Default)]
pub struct NamedParts(Vec<Vec<FieldId>>);

impl NamedParts {
    /// Of a shop.
    pub fn of(shop: &Shop) -> NamedParts {
        let of_procedures = shop.procedures.iter().map(|procedure| &procedure.fitted);
        let of_conditions = shop.conditions.list.iter().map(|condition| &condition.fitted);
        let fields = of_procedures
            .chain(of_conditions)
            .map(|keys| keys.iter().filter_map(|key| shop.catalogue.find(&key.text)).collect());
        NamedParts(fields.filter(|fields: &Vec<FieldId>| !fields.is_empty()).collect())
    }

    /// What the services of a fork hang on, and which conditions mean anything for it: its choices and those that are open,
    /// what its legs do, and which legs have the parts that procedures and conditions are about.
    pub(super) fn kind(&self, fork: &ResolvedFork) -> Digest {
        let works = fork.legs.iter().map(|leg| match leg.work {
            Work::Both => 0,
            Work::Spring => 1,
            Work::Damper => 2,
        });
        let has = self.0.iter().flat_map(|fields| fork.fitted(fields.iter().copied())).map(u8::from);
        let legs: Vec<u8> = works.chain(has).collect();
        let choices = fork.choices.iter().flat_map(|(choice, option)| [choice.as_bytes(), option.as_bytes()]);
        let open = fork.open.iter().map(String::as_bytes);
        Digest::of_parts([legs.as_slice()].into_iter().chain(choices).chain([&b"open"[..]]).chain(open))
    }
}
