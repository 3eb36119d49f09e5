//! The cards of the shop in the order in which they are printed and bound into volumes.

use std::collections::HashMap;
use std::ops::Range;

use foldhash::fast::RandomState;

use crate::book::Book;
use crate::check::CheckedFork;

/// How many cards a volume holds: what a stack of paper bears.
const VOLUME: usize = 50;

/// Which card of a fork.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CardOf {
    /// The job card of a service, by its place among the fork's plans.
    Service(usize),
    /// The hang card.
    Wall,
}

/// A card of a fork.
#[derive(Debug, Clone, Copy)]
pub struct CardAt<'s> {
    /// The fork.
    pub fork: &'s CheckedFork,
    /// Which of its cards.
    pub of: CardOf,
}

/// What names a card: the fork's id, and which of its cards.
pub type CardKey<'s> = (&'s str, CardOf);

impl<'s> CardAt<'s> {
    /// What names it.
    pub fn key(self) -> CardKey<'s> {
        (self.fork.id.as_str(), self.of)
    }
}

/// Where a fork stands.
struct Place {
    /// Among the forks.
    order: usize,
    /// Its cards among all; an empty range for a draft.
    cards: Range<usize>,
}

/// Every card of the shop. What is said of cards here means job cards, where hang cards are not named.
pub struct Stack<'s> {
    cards: Vec<CardAt<'s>>,
    /// One hang card for each fork that has a job card, with the volume of its first.
    walls: Vec<(usize, CardAt<'s>)>,
    places: HashMap<&'s str, Place, RandomState>,
}

impl<'s> Stack<'s> {
    /// The cards of every fork that is no draft, one for each of its services.
    pub fn new(book: &Book<'s>) -> Stack<'s> {
        let (mut cards, mut walls, mut places) = (Vec::new(), Vec::new(), HashMap::default());
        for (order, fork) in book.forks.iter().enumerate() {
            let first = cards.len();
            if !fork.record.draft {
                let services = 0..book.plans.of(fork).len();
                cards.extend(services.map(|service| CardAt { fork, of: CardOf::Service(service) }));
            }
            if cards.len() > first {
                walls.push((first / VOLUME, CardAt { fork, of: CardOf::Wall }));
            }
            places.insert(fork.id.as_str(), Place { order, cards: first..cards.len() });
        }
        Stack { cards, walls, places }
    }

    /// The hang cards.
    pub fn walls(&self) -> impl Iterator<Item = CardAt<'s>> {
        self.walls.iter().map(|(_, card)| *card)
    }

    /// The hang cards of the forks whose first job card stands in a volume, counted from 0.
    pub fn walls_of(&self, volume: usize) -> Vec<CardAt<'s>> {
        self.walls.iter().filter(|(at, _)| *at == volume).map(|(_, card)| *card).collect()
    }

    /// The job cards.
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
