//! What is told of one fork: made once for all its pages, which come together, and let go soon after the last.

use std::collections::{BTreeSet, VecDeque};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::Book;
use super::card::short_text;
use super::facts::Facts;
use super::show::figures;
use super::vouch;
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::publish::view::Figure;
use crate::resolve::Shop;

/// Of how many forks it is kept: more than threads are at work.
const KEPT: usize = 32;

/// What is told of a fork, each part made when it is first asked for.
#[derive(Debug)]
pub struct Told<'s> {
    /// The fork.
    pub fork: &'s CheckedFork,
    shop: &'s Shop,
    figures: Vec<OnceLock<Arc<[Figure]>>>,
    short: Vec<OnceLock<Arc<str>>>,
    facts: OnceLock<Facts>,
    doubted: BTreeSet<FieldId>,
}

impl<'s> Told<'s> {
    fn new(book: &Book<'s>, fork: &'s CheckedFork) -> Told<'s> {
        let fields = book.shop.catalogue.iter().count();
        Told {
            fork,
            shop: book.shop,
            figures: vec![OnceLock::new(); fields],
            short: vec![OnceLock::new(); fields],
            facts: OnceLock::new(),
            doubted: vouch::doubted(book, fork),
        }
    }

    /// The figures of a field, as [`figures`] makes them, with the doubt about them.
    pub fn figures(&self, id: FieldId) -> &Arc<[Figure]> {
        self.figures[usize::from(id.0)].get_or_init(|| {
            let mut made = figures(self.shop, self.fork, id);
            made.iter_mut().for_each(|figure| figure.doubt = self.in_doubt(id));
            made.into()
        })
    }

    /// Whether `check` has a finding open on a field's value.
    pub fn in_doubt(&self, id: FieldId) -> bool {
        self.doubted.contains(&id)
    }

    /// The fields whose values are in doubt, in the catalogue's order.
    pub fn doubted(&self) -> impl Iterator<Item = FieldId> {
        self.doubted.iter().copied()
    }

    /// A field's value in a few words, as [`short_text`] makes it, with the doubt about it.
    pub fn short(&self, id: FieldId) -> &Arc<str> {
        self.short[usize::from(id.0)].get_or_init(|| {
            let text = short_text(self.shop, self.fork, id);
            let marked = self.in_doubt(id) && !text.is_empty();
            if marked { format!("{text} ({})", vouch::IN_DOUBT).into() } else { text.into() }
        })
    }

    /// What is to be said about it besides.
    pub fn facts(&self) -> &Facts {
        self.facts.get_or_init(|| Facts::of(self.shop, &self.fork.derived))
    }
}

/// What was told last.
#[derive(Debug, Default)]
pub(super) struct Recent<'s>(Mutex<VecDeque<Arc<Told<'s>>>>);

impl<'s> Recent<'s> {
    /// What is told of a fork.
    pub fn of(&self, book: &Book<'s>, fork: &'s CheckedFork) -> Arc<Told<'s>> {
        // A thread that panicked left the list whole: it is only added to and cut.
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(told) = kept.iter().find(|told| told.fork.id == fork.id) {
            return Arc::clone(told);
        }
        let told = Arc::new(Told::new(book, fork));
        kept.push_front(Arc::clone(&told));
        kept.truncate(KEPT);
        told
    }
}
