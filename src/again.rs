//! What was worked out last time, kept under the digest of all that it rests on, so that the next time only what
//! changed is worked out anew.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use crate::output::Digest;

/// Values of one kind by what they rest on. What nobody asks for in one turn is let go at its end, so that no more is
/// kept than one turn needs.
#[derive(Debug)]
pub struct Again<V> {
    before: HashMap<Digest, V>,
    now: Mutex<HashMap<Digest, V>>,
}

impl<V> Default for Again<V> {
    fn default() -> Self {
        Again { before: HashMap::new(), now: Mutex::default() }
    }
}

impl<V: Clone> Again<V> {
    /// A value: as it was made before, or made now. Without a key it is made and not kept.
    pub fn or_make(&self, key: Option<Digest>, make: impl FnOnce() -> V) -> V {
        let Some(key) = key else { return make() };
        let value = self.before.get(&key).cloned().unwrap_or_else(make);
        // Entries are only ever added, so that a thread that panicked left them whole.
        self.keep(Some(key), value.clone());
        value
    }

    /// A value as it was kept before; none without a key.
    pub fn before(&self, key: Option<Digest>) -> Option<V> {
        self.before.get(&key?).cloned()
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
