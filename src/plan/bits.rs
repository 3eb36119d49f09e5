//! A set of small numbers, of one size: the words the plans use, over a well-kept bit set.

use fixedbitset::FixedBitSet;

/// A set of slots, one bit each.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Bits(FixedBitSet);

impl Bits {
    /// An empty set that can hold the numbers below `size`.
    pub(crate) fn none(size: usize) -> Self {
        Bits(FixedBitSet::with_capacity(size))
    }

    /// Adds a number; one beyond the size given is left out.
    pub(crate) fn add(&mut self, at: usize) {
        if at < self.0.len() {
            self.0.insert(at);
        }
    }

    /// Whether a number is in it.
    pub(crate) fn has(&self, at: usize) -> bool {
        self.0.contains(at)
    }

    /// Adds every number of another set.
    pub(crate) fn join(&mut self, other: &Bits) {
        self.0.union_with(&other.0);
    }

    /// Takes away every number of another set.
    pub(crate) fn drop(&mut self, other: &Bits) {
        self.0.difference_with(&other.0);
    }

    /// Keeps only the numbers of another set.
    pub(crate) fn keep(&mut self, other: &Bits) {
        self.0.intersect_with(&other.0);
    }

    /// What is in this set and not in the other.
    pub(crate) fn without(&self, other: &Bits) -> Bits {
        let mut left = self.clone();
        left.drop(other);
        left
    }

    /// What is in both.
    pub(crate) fn and(&self, other: &Bits) -> Bits {
        let mut both = self.clone();
        both.keep(other);
        both
    }

    /// Whether everything in this set is in the other.
    pub(crate) fn is_within(&self, other: &Bits) -> bool {
        self.0.is_subset(&other.0)
    }

    /// Whether nothing is in it.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_clear()
    }

    /// The numbers in it, rising.
    pub(crate) fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.ones()
    }
}
