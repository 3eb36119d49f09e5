//! What stands beside what: forks that are the same model on both sides, and their values.

use crate::pipeline::Checked;
use crate::resolve::{Resolved, Side};

/// The forks of both sides that are the same model, by their places in the old and the new list: by id, else
/// by maker and model where only one on each side goes by that name.
pub(super) struct Pairs {
    pub both: Vec<(usize, usize)>,
    pub added: Vec<usize>,
    pub removed: Vec<usize>,
}

pub(super) fn pairs(old: &Checked, new: &Checked) -> Pairs {
    let at_id = |checked: &Checked, id: &str| checked.forks.iter().position(|fork| fork.id == id);
    let (mut both, mut added) = (Vec::new(), Vec::new());
    for (at, fork) in new.forks.iter().enumerate() {
        match at_id(old, &fork.id) {
            Some(before) => both.push((before, at)),
            None => added.push(at),
        }
    }
    let mut removed: Vec<usize> =
        (0..old.forks.len()).filter(|at| at_id(new, &old.forks[*at].id).is_none()).collect();
    let title = |checked: &Checked, at: usize| checked.forks[at].record(&checked.shop).title();
    let (came, went) = (added.clone(), removed.clone());
    for at in came.iter().copied() {
        let name = title(new, at);
        let rivals = came.iter().filter(|other| title(new, **other) == name).count();
        let same: Vec<usize> = went.iter().copied().filter(|before| title(old, *before) == name).collect();
        if let ([before], 1, false) = (same.as_slice(), rivals, name.is_empty()) {
            both.push((*before, at));
            added.retain(|other| *other != at);
            removed.retain(|other| other != before);
        }
    }
    both.sort_by_key(|(_, at)| *at);
    Pairs { both, added, removed }
}

/// A fork on both sides, and the value of one field on one leg.
pub(super) struct Pair<'c> {
    pub old: (&'c Checked, usize),
    pub new: (&'c Checked, usize),
    pub key: &'c str,
    pub side: Side,
    pub from: Option<&'c Resolved>,
    pub to: Option<&'c Resolved>,
}
