//! The cards of the shop in the order in which they are printed and bound into volumes.

use std::collections::HashMap;
use std::ops::Range;

use crate::book::Book;
use crate::check::CheckedFork;

/// How many cards a volume holds: what a stack of paper bears.
const VOLUME: usize = 50;

/// A card: a fork, and the place of the service among the fork's.
#[derive(Debug, Clone, Copy)]
pub struct CardAt<'s> {
    /// The fork.
    pub fork: &'s CheckedFork,
    /// The service, as its place among the fork's plans.
    pub service: usize,
}

/// What names a card: the fork's id, and the place of the service among the fork's.
pub type CardKey<'s> = (&'s str, usize);

impl<'s> CardAt<'s> {
    /// What names it.
    pub fn key(self) -> CardKey<'s> {
        (self.fork.id.as_str(), self.service)
    }
}

/// Where a fork stands.
struct Place {
    /// Among the forks.
    order: usize,
    /// Its cards among all; an empty range for a draft.
    cards: Range<usize>,
}

/// Every card of the shop.
pub struct Stack<'s> {
    cards: Vec<CardAt<'s>>,
    places: HashMap<&'s str, Place>,
}

impl<'s> Stack<'s> {
    /// The cards of every fork that is no draft, one for each of its services.
    pub fn new(book: &Book<'s>) -> Stack<'s> {
        let (mut cards, mut places) = (Vec::new(), HashMap::new());
        for (order, fork) in book.forks.iter().enumerate() {
            let first = cards.len();
            if !fork.record.draft {
                let services = 0..book.plans.of(fork).len();
                cards.extend(services.map(|service| CardAt { fork, service }));
            }
            places.insert(fork.id.as_str(), Place { order, cards: first..cards.len() });
        }
        Stack { cards, places }
    }

    /// All of them.
    pub fn all(&self) -> &[CardAt<'s>] {
        &self.cards
    }

    /// The cards of a fork; none for a draft.
    pub fn of(&self, fork: &CheckedFork) -> &[CardAt<'s>] {
        self.places.get(fork.id.as_str()).map_or(&[], |place| &self.cards[place.cards.clone()])
    }

    /// How many volumes they fill.
    pub fn volumes(&self) -> usize {
        self.cards.len().div_ceil(VOLUME)
    }

    /// The cards of a volume, counted from 0.
    pub fn volume(&self, n: usize) -> &[CardAt<'s>] {
        self.cards.chunks(VOLUME).nth(n).unwrap_or_default()
    }

    /// The volume in which a fork's first card stands, or would stand; and the fork's place among the forks.
    pub fn place(&self, fork: &CheckedFork) -> (usize, usize) {
        self.places.get(fork.id.as_str()).map_or((0, 0), |place| (place.cards.start / VOLUME, place.order))
    }
}
