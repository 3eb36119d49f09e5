//! The parts that keep a leg's oil in, in the order in which they stand on the tube, by the words a record calls them.

use super::Key;
use super::key;

/// A part of the stack.
#[derive(Debug, Clone, Copy)]
pub struct StackPart {
    /// What it is called; each of the words names it.
    pub words: &'static [&'static str],
    /// The value that says whether a fork has it; none where every fork has.
    pub key: Option<Key>,
}

/// The parts from the outside of the seal's housing inward (common practice, no source: on every telescopic fork the clip
/// holds the oil seal, and the dust seal lies over both).
pub const STACK: [StackPart; 6] = [
    StackPart { words: &["dust seal"], key: Some(key::SEALS_DUST_SEAL) },
    StackPart { words: &["clip"], key: Some(key::SEALS_CLIP) },
    StackPart { words: &["oil seal"], key: Some(key::SEALS_OIL_SEAL) },
    StackPart { words: &["washer"], key: Some(key::SEALS_WASHER) },
    StackPart { words: &["outer bushing"], key: None },
    StackPart { words: &["inner bushing"], key: None },
];

/// The parts that a text in small letters names, in its order: each by its place in [`STACK`].
pub fn named_in(text: &str) -> Vec<usize> {
    let of = |(n, part): (usize, &StackPart)| {
        Some((part.words.iter().filter_map(|word| text.find(word)).min()?, n))
    };
    let mut found: Vec<(usize, usize)> = STACK.iter().enumerate().filter_map(of).collect();
    found.sort_unstable();
    found.into_iter().map(|(_, n)| n).collect()
}
