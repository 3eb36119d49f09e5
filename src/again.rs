//! What was worked out last time, kept under the digest of all that it rests on, so that the next time only what
//! changed is worked out anew.

mod shelf;

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use foldhash::fast::RandomState;

use crate::output::Digest;

pub use shelf::{Pack, Shelf};

/// Values of one kind by what they rest on. What nobody asks for in one turn is let go at its end, so that no more is
/// kept than one turn needs.
#[derive(Debug)]
pub struct Again<V> {
    before: HashMap<Digest, V, RandomState>,
    now: Mutex<HashMap<Digest, V, RandomState>>,
    /// What an earlier run of the program kept.
    shelf: Option<Kept<V>>,
}

/// Where an earlier run kept values of a kind, which kind, and how one is read.
type Kept<V> = (Arc<Shelf>, u8, fn(&[u8]) -> Option<V>);

impl<V> Default for Again<V> {
    fn default() -> Self {
        Again { before: HashMap::default(), now: Mutex::default(), shelf: None }
    }
}

impl<V: Clone> Again<V> {
    /// A value: as it was made before, or made now. Without a key it is made and not kept.
    pub fn or_make(&self, key: Option<Digest>, make: impl FnOnce() -> V) -> V {
        let Some(key) = key else { return make() };
        let value = self.before(Some(key)).unwrap_or_else(make);
        // Entries are only ever added, so that a thread that panicked left them whole.
        self.keep(Some(key), value.clone());
        value
    }

    /// A value as it was kept before; none without a key.
    pub fn before(&self, key: Option<Digest>) -> Option<V> {
        let key = key?;
        self.before.get(&key).cloned().or_else(|| {
            let (shelf, kind, read) = self.shelf.as_ref()?;
            read(shelf.get(*kind, key)?)
        })
    }

    /// Takes what an earlier run kept of a kind; `read` gives nothing for bytes that it does not understand.
    pub fn with(shelf: &Arc<Shelf>, kind: u8, read: fn(&[u8]) -> Option<V>) -> Again<V> {
        Again { shelf: Some((Arc::clone(shelf), kind, read)), ..Again::default() }
    }

    /// Packs what was asked for in the last turn for the next run; `write` gives nothing for what is not to be kept. What
    /// came from the shelf goes back as it is.
    pub fn pack<'a>(&'a self, kind: u8, write: impl Fn(&V) -> Option<Vec<u8>>, pack: &mut Pack<'a>) {
        let shelf = self.shelf.as_ref().map(|(shelf, ..)| shelf);
        for (key, value) in &self.before {
            match shelf.and_then(|shelf| shelf.get(kind, *key)) {
                Some(bytes) => pack.add(kind, *key, Cow::Borrowed(bytes)),
                None => write(value).into_iter().for_each(|bytes| pack.add(kind, *key, Cow::Owned(bytes))),
            }
        }
    }

    /// Keeps a value for the next turn; without a key nothing is kept.
    pub fn keep(&self, key: Option<Digest>, value: V) {
        if let Some(key) = key {
            self.now.lock().unwrap_or_else(PoisonError::into_inner).insert(key, value);
        }
    }

    /// Ends a turn.
    pub fn turn(&mut self) {
        self.before = std::mem::take(self.now.get_mut().unwrap_or_else(PoisonError::into_inner));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rests_on_the_same_is_made_once_and_what_nobody_asks_for_is_let_go() {
        let (a, b) = (Digest::of(b"a"), Digest::of(b"b"));
        let mut again = Again::default();
        assert_eq!((again.or_make(Some(a), || 1), again.or_make(Some(b), || 2)), (1, 2));
        again.turn();
        assert_eq!(again.or_make(Some(a), || 3), 1, "it was made before");
        assert_eq!(again.or_make(None, || 4), 4, "without a key it is made");
        again.turn();
        assert_eq!(again.or_make(Some(b), || 5), 5, "the turn before did not ask for it");
    }
}
