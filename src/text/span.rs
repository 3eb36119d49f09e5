//! Where in the sources something stands.

use borsh::{BorshDeserialize, BorshSerialize};

/// One source file, by its place in [`super::Files`].
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, BorshSerialize, BorshDeserialize,
)]
pub struct FileId(pub u32);

/// A stretch of bytes in one source file. `start <= end`, both on character boundaries.
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, BorshSerialize, BorshDeserialize,
)]
pub struct Span {
    /// The file the bytes are in.
    pub file: FileId,
    /// First byte, counted from zero.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span from byte offsets; offsets beyond 4 GiB cannot occur, since larger files are refused.
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let clamp = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Span { file, start: clamp(start), end: clamp(end.max(start)) }
    }

    /// The bytes as a range, to slice the file's text with.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// A part of this span: `inner` counts from this span's start and is cut to fit inside it.
    pub fn part(self, inner: std::ops::Range<usize>) -> Self {
        let length = self.range().len();
        let start = inner.start.min(length);
        let end = inner.end.clamp(start, length);
        Span::new(self.file, self.start as usize + start, self.start as usize + end)
    }
}
