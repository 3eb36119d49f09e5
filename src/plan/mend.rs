//! The one move or the one insertion that would mend a service.

use super::bits::Bits;
use super::vocabulary::Effect;
use super::walk::{Walk, holds};

/// A change to the order of a service. Places are counted in procedures of the plan as it is, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// Take the procedure at `from` out and put it in before the one now at `before`.
    Move {
        /// Which procedure.
        from: usize,
        /// Before which one; the number of procedures for the end.
        before: usize,
    },
    /// Put a procedure in before the one at `before`.
    Insert {
        /// Which of the candidates.
        candidate: usize,
        /// Before which one; the number of procedures for the end.
        before: usize,
    },
}

/// A service to mend.
pub struct Mend<'a> {
    /// What holds at the start.
    pub start: &'a Bits,
    /// What must hold at the end.
    pub hand_back: &'a Bits,
    /// What each procedure does.
    pub effects: &'a [Effect],
    /// The walk through them.
    pub walk: &'a Walk,
    /// What each procedure does that could be put in.
    pub candidates: &'a [Effect],
}

/// Services with more procedures than this are not mended: the search is quadratic.
const LONGEST: usize = 200;

/// Looks for the one change that leaves nothing missing in the whole service: first for a move of
/// the procedures the miss is about, the shortest one; then for an insertion, the latest that fits.
pub(crate) fn mend(mend: &Mend<'_>, miss: usize) -> Option<Change> {
    let size = mend.effects.len();
    let miss = mend.walk.misses.get(miss)?;
    if size > LONGEST {
        return None;
    }
    let brings = |effect: &Effect| miss.slots.iter().all(|slot| effect.brings.has(*slot));
    let mut movers: Vec<usize> = (miss.at..size).filter(|at| brings(&mend.effects[*at])).collect();
    movers.extend(miss.ended_by);
    movers.extend((miss.at < size).then_some(miss.at));
    let mut moves: Vec<(usize, usize, usize)> = Vec::new();
    for (rank, from) in movers.iter().enumerate() {
        // Before itself and before its neighbour are where it stands already.
        let away = |before: &usize| *before != *from && *before != *from + 1;
        let far = |before: usize| if before > *from { before - from - 1 } else { from - before };
        moves.extend((0..=size).filter(away).map(|before| (far(before), rank, before)));
    }
    moves.sort_unstable();
    for (_, rank, before) in moves {
        let change = Change::Move { from: movers[rank], before };
        if mends(mend, change) {
            return Some(change);
        }
    }
    let fitting = mend.candidates.iter().enumerate().filter(|(_, effect)| brings(effect));
    for (candidate, _) in fitting {
        for before in (0..=miss.at).rev() {
            let change = Change::Insert { candidate, before };
            if mends(mend, change) {
                return Some(change);
            }
        }
    }
    None
}

fn mends(mend: &Mend<'_>, change: Change) -> bool {
    let all = mend.effects.iter();
    match change {
        Change::Move { from, before } => {
            let stay = |range: std::ops::Range<usize>| {
                mend.effects[range.clone()]
                    .iter()
                    .zip(range)
                    .filter(|(_, at)| *at != from)
                    .map(|(effect, _)| effect)
            };
            let moved =
                stay(0..before).chain(&mend.effects[from..=from]).chain(stay(before..mend.effects.len()));
            holds(mend.start, moved, mend.hand_back)
        }
        Change::Insert { candidate, before } => {
            let put = std::iter::once(&mend.candidates[candidate]);
            holds(mend.start, all.clone().take(before).chain(put).chain(all.skip(before)), mend.hand_back)
        }
    }
}
