//! A service walked: which conditions hold after each procedure, and what was missing where.

use super::bits::Bits;
use super::vocabulary::{Effect, Slot, Vocabulary};

/// Where a condition of a leg or of the machine holds, in procedures of the plan counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Life {
    /// Which.
    pub slot: Slot,
    /// The procedure that brought it about; `None` when it held at the start.
    pub from: Option<usize>,
    /// The procedure that ended it; `None` when it holds at hand-back.
    pub to: Option<usize>,
}

/// Conditions that did not hold where they had to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Miss {
    /// The procedure that needs them; one past the last for hand-back.
    pub at: usize,
    /// What did not hold.
    pub slots: Vec<Slot>,
    /// The procedure that ended them; `None` when nothing had brought them about.
    pub ended_by: Option<usize>,
}

/// A walk through a service.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Walk {
    /// The conditions' lives, in the order they begin.
    pub lives: Vec<Life>,
    /// What was missing, in order.
    pub misses: Vec<Miss>,
    /// Procedures that changed nothing.
    pub idle: Vec<usize>,
}

/// Walks effects from a start to what must hold at the end. A condition that was missing is taken to
/// hold from there on, so that one mistake is said once. Cost: the number of procedures times the
/// words of a state.
pub(crate) fn walk<'e>(
    vocabulary: &Vocabulary<'_>,
    start: &Bits,
    effects: impl IntoIterator<Item = &'e Effect>,
    hand_back: &Bits,
) -> Walk {
    let mut out = Walk::default();
    let mut state = start.clone();
    // By slot: the life that is open, and the procedure that ended the last one.
    let mut open: Vec<Option<usize>> = vec![None; vocabulary.size()];
    let mut ended: Vec<Option<usize>> = vec![None; vocabulary.size()];
    for slot in start.iter() {
        open[slot] = Some(out.lives.len());
        out.lives.push(Life { slot, from: None, to: None });
    }
    let mut at = 0;
    for effect in effects {
        require(vocabulary, &effect.needs, at, &mut state, &ended, &mut out);
        let before = state.clone();
        state.drop(&effect.ends);
        state.join(&effect.brings);
        for slot in before.without(&state).iter() {
            ended[slot] = Some(at);
            if let Some(life) = open[slot].take() {
                out.lives[life].to = Some(at);
            }
        }
        for slot in state.without(&before).iter() {
            open[slot] = Some(out.lives.len());
            out.lives.push(Life { slot, from: Some(at), to: None });
        }
        if before == state {
            out.idle.push(at);
        }
        at += 1;
    }
    require(vocabulary, hand_back, at, &mut state, &ended, &mut out);
    out
}

/// Whether nothing at all is missing on a walk. It stops at the first thing that is, so that a search which
/// tries many orders of a broken service is done with most of them at once.
pub fn holds<'e>(start: &Bits, effects: impl IntoIterator<Item = &'e Effect>, hand_back: &Bits) -> bool {
    let mut state = start.clone();
    for effect in effects {
        if !effect.needs.is_within(&state) {
            return false;
        }
        state.drop(&effect.ends);
        state.join(&effect.brings);
    }
    hand_back.is_within(&state)
}

fn require(
    vocabulary: &Vocabulary<'_>,
    needs: &Bits,
    at: usize,
    state: &mut Bits,
    ended: &[Option<usize>],
    out: &mut Walk,
) {
    let missing = needs.without(state);
    if missing.is_empty() {
        return;
    }
    for slot in missing.iter() {
        let ended_by = ended[slot];
        match out
            .misses
            .iter_mut()
            .rev()
            .take_while(|miss| miss.at == at)
            .find(|miss| miss.ended_by == ended_by)
        {
            Some(miss) => miss.slots.push(slot),
            None => out.misses.push(Miss { at, slots: vec![slot], ended_by }),
        }
    }
    state.join(&vocabulary.with_implied(&missing));
}
