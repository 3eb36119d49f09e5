//! What was made and asked for lately, so that what is kept does not grow with the shop.

use std::borrow::Borrow;
use std::collections::HashMap;
use std::hash::Hash;

use foldhash::fast::RandomState;

/// Values by what they were made from. When they take more than so many bytes, those that were not asked for since the
/// last time are let go.
#[derive(Debug)]
pub struct Lately<K, V> {
    now: HashMap<K, V, RandomState>,
    before: HashMap<K, V, RandomState>,
    bytes: usize,
    most: usize,
}

impl<K: Eq + Hash, V: Clone> Lately<K, V> {
    /// Nothing yet. Twice `most` bytes are kept at the most.
    pub fn new(most: usize) -> Self {
        Lately { now: HashMap::default(), before: HashMap::default(), bytes: 0, most }
    }

    /// What was made before, if it is still there; `bytes` says how many it takes.
    pub fn get<Q: Eq + Hash + ?Sized>(&mut self, key: &Q, bytes: impl Fn(&V) -> usize) -> Option<V>
    where
        K: Borrow<Q>,
    {
        if let Some(found) = self.now.get(key) {
            return Some(found.clone());
        }
        let (key, value) = self.before.remove_entry(key)?;
        let size = bytes(&value);
        self.put(key, value.clone(), size);
        Some(value)
    }

    /// Keeps a value that takes so many bytes.
    pub fn put(&mut self, key: K, value: V, bytes: usize) {
        if self.bytes > self.most {
            self.before = std::mem::take(&mut self.now);
            self.bytes = 0;
        }
        self.bytes += bytes;
        self.now.insert(key, value);
    }
}

#[cfg(test)]
mod tests {
    use super::Lately;

    #[test]
    fn what_is_asked_for_stays_and_what_is_not_goes() {
        let mut kept: Lately<u32, u32> = Lately::new(3);
        for key in 0..100 {
            kept.put(key, key, 1);
            assert_eq!(kept.get(&0, |_| 1), Some(0), "{key}");
        }
        assert_eq!(kept.get(&1, |_| 1), None, "it was not asked for");
        assert_eq!(kept.get(&99, |_| 1), Some(99));
        assert!(kept.now.len() + kept.before.len() <= 10);
    }
}
