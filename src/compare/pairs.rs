//! What stands beside what: forks that are the same model on both sides, and their values.

use crate::check::CheckedFork;
use crate::pipeline::Checked;
use crate::resolve::{Resolved, Side};

/// The forks of both sides that are the same model, the old one first: by id, by the id that a record
/// says it had, else by maker and model where only one on each side goes by that name.
pub(super) struct Pairs<'c> {
    pub both: Vec<(&'c CheckedFork, &'c CheckedFork)>,
    pub added: Vec<&'c CheckedFork>,
    pub removed: Vec<&'c CheckedFork>,
}

pub(super) fn pairs<'c>(old: &'c Checked, new: &'c Checked) -> Pairs<'c> {
    let (mut both, mut added) = (Vec::new(), Vec::new());
    for fork in &new.forks {
        match old.fork(&fork.id) {
            Some(before) => both.push((before, fork)),
            None => added.push(fork),
        }
    }
    let mut removed: Vec<&CheckedFork> =
        old.forks.iter().filter(|fork| new.fork(&fork.id).is_none()).collect();
    // A record that says how it was called.
    let renamed = new.shop.renamed_forks();
    removed.retain(|before| {
        let now = renamed.get(&before.id).and_then(|id| added.iter().position(|fork| fork.id == *id));
        if let Some(at) = now {
            both.push((before, added.remove(at)));
        }
        now.is_none()
    });
    let (came, went) = (added.clone(), removed.clone());
    for fork in &came {
        let name = fork.record.title();
        let rivals = came.iter().filter(|other| other.record.title() == name).count();
        let same: Vec<&CheckedFork> =
            went.iter().copied().filter(|before| before.record.title() == name).collect();
        if let ([before], 1, false) = (same.as_slice(), rivals, name.is_empty()) {
            both.push((before, fork));
            added.retain(|other| other.id != fork.id);
            removed.retain(|other| other.id != before.id);
        }
    }
    both.sort_by(|(_, a), (_, b)| a.id.cmp(&b.id));
    Pairs { both, added, removed }
}

/// A fork on both sides, and the value of one field on one leg.
pub(super) struct Pair<'c> {
    pub old: (&'c Checked, &'c CheckedFork),
    pub new: (&'c Checked, &'c CheckedFork),
    pub key: &'c str,
    pub side: Side,
    pub from: Option<&'c Resolved>,
    pub to: Option<&'c Resolved>,
}
