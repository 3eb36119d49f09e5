//! Text that does not depend on the fork: made once for all pages and cards on which it reads the same.

use std::collections::{HashMap, VecDeque};
use std::hash::Hash;
use std::sync::{Arc, Mutex, PoisonError};

use super::doubt::Doubts;
use super::texts::ForkTexts;
use crate::check::CheckedFork;
use crate::resolve::Shop;
use crate::syntax::markdown::Prose;

/// The codes of a card: of the fork's values, and of all that the card says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Codes {
    /// Of the fork's values.
    pub values: String,
    /// Of the card.
    pub card: String,
}

/// Stands in a text that was written before for what is the fork's own. No source can hold it.
pub const OPEN: char = '\0';

/// A text of the shop and the terms that were linked before it, and what it became, with the terms linked after.
type Known = HashMap<(usize, u64), (Arc<str>, u64)>;

/// What was written so far on pages of the same depth. It grows with the shop's texts, not with its forks.
#[derive(Debug, Default)]
pub struct Written(Mutex<Known>);

impl Written {
    /// A text after these terms: as it was written before, or made now. The text must live as long as this.
    pub fn or_make(
        &self,
        prose: &Prose,
        linked: u64,
        make: impl FnOnce() -> (String, u64),
    ) -> (Arc<str>, u64) {
        let key = (std::ptr::from_ref(prose).addr(), linked);
        // Entries are only ever added, so that a thread that panicked left them whole.
        let known = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((html, after)) = known().get(&key) {
            return (Arc::clone(html), *after);
        }
        let (html, after) = make();
        let html: Arc<str> = html.into();
        known().insert(key, (Arc::clone(&html), after));
        (html, after)
    }
}

/// Texts of the shop that are made once and kept, by what they are made of.
#[derive(Debug)]
pub struct Kept<K>(Mutex<HashMap<K, Arc<str>>>);

impl<K> Default for Kept<K> {
    fn default() -> Self {
        Kept(Mutex::default())
    }
}

impl<K: Eq + Hash> Kept<K> {
    /// A text: as it was made before, or made now.
    pub fn or_make(&self, key: K, make: impl FnOnce() -> String) -> Arc<str> {
        // Entries are only ever added, so that a thread that panicked left them whole.
        let known = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(text) = known().get(&key) {
            return Arc::clone(text);
        }
        let text: Arc<str> = make().into();
        known().insert(key, Arc::clone(&text));
        text
    }
}

/// Of how many forks the texts are kept: more than threads are at work.
const KEPT: usize = 32;

/// The texts of the forks that were asked for last.
#[derive(Debug, Default)]
pub struct Recent<'s>(Mutex<VecDeque<Arc<ForkTexts<'s>>>>);

impl<'s> Recent<'s> {
    /// The texts of a fork.
    pub fn of(&self, shop: &'s Shop, fork: &'s CheckedFork, doubts: &Doubts<'s>) -> Arc<ForkTexts<'s>> {
        // A thread that panicked left the list whole: it is only added to and cut.
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(texts) = kept.iter().find(|texts| texts.fork.id == fork.id) {
            return Arc::clone(texts);
        }
        let texts = Arc::new(ForkTexts::new(shop, fork, doubts));
        kept.push_front(Arc::clone(&texts));
        kept.truncate(KEPT);
        texts
    }
}
