//! A set of small numbers.

/// A set of slots, one bit each.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Bits(Vec<u64>);

impl Bits {
    /// An empty set that can hold the numbers below `size`.
    pub(crate) fn none(size: usize) -> Self {
        Bits(vec![0; size.div_ceil(64)])
    }

    /// Adds a number; one beyond the size given is left out.
    pub(crate) fn add(&mut self, at: usize) {
        if let Some(word) = self.0.get_mut(at / 64) {
            *word |= 1 << (at % 64);
        }
    }

    /// Whether a number is in it.
    pub(crate) fn has(&self, at: usize) -> bool {
        self.0.get(at / 64).is_some_and(|word| word >> (at % 64) & 1 == 1)
    }

    /// Adds every number of another set.
    pub(crate) fn join(&mut self, other: &Bits) {
        self.0.iter_mut().zip(&other.0).for_each(|(word, other)| *word |= other);
    }

    /// Takes away every number of another set.
    pub(crate) fn drop(&mut self, other: &Bits) {
        self.0.iter_mut().zip(&other.0).for_each(|(word, other)| *word &= !other);
    }

    /// Keeps only the numbers of another set.
    pub(crate) fn keep(&mut self, other: &Bits) {
        self.0.iter_mut().zip(&other.0).for_each(|(word, other)| *word &= other);
    }

    /// What is in this set and not in the other.
    pub(crate) fn without(&self, other: &Bits) -> Bits {
        Bits(self.0.iter().zip(&other.0).map(|(word, other)| word & !other).collect())
    }

    /// What is in both.
    pub(crate) fn and(&self, other: &Bits) -> Bits {
        Bits(self.0.iter().zip(&other.0).map(|(word, other)| word & other).collect())
    }

    /// Whether everything in this set is in the other.
    pub(crate) fn is_within(&self, other: &Bits) -> bool {
        self.0.iter().zip(&other.0).all(|(word, other)| word & !other == 0)
    }

    /// Whether nothing is in it.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    /// The numbers in it, rising.
    pub(crate) fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(at, word)| {
            let mut left = *word;
            std::iter::from_fn(move || {
                (left != 0).then(|| {
                    let bit = left.trailing_zeros() as usize;
                    left &= left - 1;
                    at * 64 + bit
                })
            })
        })
    }
}
