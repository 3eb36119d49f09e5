//! The shop's conditions, linked: what each brings with it and what it ends.
//!
//! Every condition has a slot for each leg, or one for the machine. A state of the job is a set of slots.

use std::collections::BTreeMap;

use super::bits::Bits;
use crate::catalogue::{FieldId, Works};
use crate::record::{Condition, Holder, Text};
use crate::resolve::{ResolvedFork, Shop, Side};

/// One condition of one leg, or of the machine.
pub type Slot = usize;

/// The conditions of a shop, linked.
#[derive(Debug)]
pub struct Vocabulary<'s> {
    /// The conditions, in the file's order.
    pub conditions: &'s [Condition],
    index: BTreeMap<&'s str, usize>,
    /// By condition: the values of the part it is about.
    fitted: Vec<Vec<FieldId>>,
    /// By slot: what holds when it holds, itself included.
    implied: Vec<Bits>,
    /// By slot: what cannot hold when it does not, itself included.
    implying: Vec<Bits>,
    /// By slot: what it excludes, said from either side.
    excluded: Vec<Bits>,
    /// The slots that exclude anything at all.
    excluding: Bits,
}

/// What a procedure does to the state of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Effect {
    /// What must hold before it.
    pub needs: Bits,
    /// What holds after it.
    pub brings: Bits,
    /// What no longer holds after it; never what it brings.
    pub ends: Bits,
}

impl<'s> Vocabulary<'s> {
    /// Links a shop's conditions. Names that lead nowhere are left out.
    pub fn of(shop: &'s Shop) -> Self {
        let conditions = shop.conditions.list.as_slice();
        let index =
            conditions.iter().enumerate().map(|(at, condition)| (condition.id.text.as_str(), at)).collect();
        let mut out = Vocabulary {
            conditions,
            index,
            fitted: conditions
                .iter()
                .map(|condition| {
                    condition.fitted.iter().filter_map(|key| shop.catalogue.find(&key.text)).collect()
                })
                .collect(),
            implied: Vec::new(),
            implying: Vec::new(),
            excluded: Vec::new(),
            excluding: Bits::none(conditions.len() * 2),
        };
        let size = out.size();
        let ahead = |out: &Vocabulary<'s>, pick: fn(&Condition) -> &[Text]| -> Vec<Vec<Slot>> {
            (0..size).map(|slot| out.beside(slot, pick(&conditions[slot / 2]))).collect()
        };
        let implies = ahead(&out, |condition| &condition.implies);
        let mut implied_by = vec![Vec::new(); size];
        for (from, to) in implies.iter().enumerate() {
            to.iter().for_each(|slot| implied_by[*slot].push(from));
        }
        out.excluded = vec![Bits::none(size); size];
        for (from, to) in ahead(&out, |condition| &condition.excludes).iter().enumerate() {
            for slot in to {
                out.excluded[from].add(*slot);
                out.excluded[*slot].add(from);
                out.excluding.add(from);
                out.excluding.add(*slot);
            }
        }
        out.implied = (0..size).map(|slot| reach(slot, &implies)).collect();
        out.implying = (0..size).map(|slot| reach(slot, &implied_by)).collect();
        out
    }

    /// How many slots there are.
    pub(crate) fn size(&self) -> usize {
        self.conditions.len() * 2
    }

    /// An empty set of slots.
    pub(crate) fn none(&self) -> Bits {
        Bits::none(self.size())
    }

    /// The condition of an id.
    pub(crate) fn find(&self, id: &str) -> Option<usize> {
        self.index.get(id).copied()
    }

    /// The condition of a slot.
    pub fn condition(&self, slot: Slot) -> &'s Condition {
        &self.conditions[slot / 2]
    }

    /// The leg of a slot; `None` for the machine's.
    pub fn side(&self, slot: Slot) -> Option<Side> {
        match (self.condition(slot).per, slot % 2) {
            (Holder::Machine, _) => None,
            (Holder::Leg, 0) => Some(Side::Left),
            (Holder::Leg, _) => Some(Side::Right),
        }
    }

    /// The slots among these that exclude anything.
    pub(crate) fn excluding(&self, slots: &Bits) -> Bits {
        slots.and(&self.excluding)
    }

    /// What this slot excludes.
    pub(crate) fn excluded(&self, slot: Slot) -> &Bits {
        &self.excluded[slot]
    }

    /// The slots that conditions named beside a slot's own stand for: the same leg's, or the machine's;
    /// from the machine to a leg's condition, both legs'.
    fn beside(&self, slot: Slot, names: &[Text]) -> Vec<Slot> {
        let mut out = Vec::new();
        for at in names.iter().filter_map(|name| self.find(&name.text)) {
            match (self.conditions[slot / 2].per, self.conditions[at].per) {
                (_, Holder::Machine) => out.push(at * 2),
                (Holder::Leg, Holder::Leg) => out.push(at * 2 + slot % 2),
                (Holder::Machine, Holder::Leg) => out.extend([at * 2, at * 2 + 1]),
            }
        }
        out
    }

    /// The slots that mean anything for a fork.
    pub fn meant(&self, fork: &ResolvedFork) -> Bits {
        let mut out = self.none();
        for (at, condition) in self.conditions.iter().enumerate() {
            if !condition.applies.holds(&fork.choices) {
                continue;
            }
            let has = fork.fitted(self.fitted[at].iter().copied());
            for (n, leg) in fork.legs.iter().enumerate().filter(|(n, _)| has[*n]) {
                if condition.per == Holder::Machine
                    || condition.works == Works::Both
                    || leg.work.holds(condition.works)
                {
                    out.add(if condition.per == Holder::Machine { at * 2 } else { at * 2 + n });
                }
            }
        }
        out
    }

    /// The slots of conditions named, on these legs, as far as they mean anything.
    pub(crate) fn slots(&self, names: &[Text], legs: [bool; 2], meant: &Bits) -> Bits {
        let mut out = self.none();
        for at in names.iter().filter_map(|name| self.find(&name.text)) {
            match self.conditions[at].per {
                Holder::Machine => out.add(at * 2),
                Holder::Leg => (0..2).filter(|n| legs[*n]).for_each(|n| out.add(at * 2 + n)),
            }
        }
        out.keep(meant);
        out
    }

    /// Everything that holds when these hold.
    pub(crate) fn with_implied(&self, slots: &Bits) -> Bits {
        let mut out = slots.clone();
        slots.iter().for_each(|slot| out.join(&self.implied[slot]));
        out
    }

    /// Everything that cannot hold when these do not.
    fn with_implying(&self, slots: &Bits) -> Bits {
        let mut out = slots.clone();
        slots.iter().for_each(|slot| out.join(&self.implying[slot]));
        out
    }

    /// What three lists of conditions do on these legs of a fork.
    pub(crate) fn effect(
        &self,
        [needs, brings, ends]: [&[Text]; 3],
        legs: [bool; 2],
        meant: &Bits,
    ) -> Effect {
        let mut brings = self.with_implied(&self.slots(brings, legs, meant));
        brings.keep(meant);
        let mut ended = self.slots(ends, legs, meant);
        brings.iter().for_each(|slot| ended.join(&self.excluded[slot]));
        let ends = self.with_implying(&ended).without(&brings);
        Effect { needs: self.slots(needs, legs, meant), brings, ends }
    }
}

/// What can be reached from a slot, itself included.
fn reach(from: Slot, edges: &[Vec<Slot>]) -> Bits {
    let mut out = Bits::none(edges.len());
    let mut open = vec![from];
    out.add(from);
    while let Some(slot) = open.pop() {
        for next in edges.get(slot).into_iter().flatten() {
            if !out.has(*next) {
                out.add(*next);
                open.push(*next);
            }
        }
    }
    out
}
