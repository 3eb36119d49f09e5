//! What one run of the program keeps for the next: bytes by kind and digest, in one piece.

use std::borrow::Cow;
use std::collections::HashMap;
use std::ops::Range;

use foldhash::fast::RandomState;

use crate::output::Digest;

/// How long the digest of an entry is, and its whole line in the list: kind, digest, length.
const DIGEST: usize = 32;
const LINE: usize = 1 + DIGEST + 4;

/// What an earlier run kept.
#[derive(Debug, Default)]
pub struct Shelf {
    bytes: Vec<u8>,
    places: HashMap<(u8, Digest), Range<usize>, RandomState>,
}

impl Shelf {
    /// What was packed by this very program; nothing of what another one packed, or of bytes that are not whole.
    pub fn open(program: Digest, bytes: Vec<u8>) -> Shelf {
        match places(program, &bytes) {
            Some(places) => Shelf { bytes, places },
            None => Shelf::default(),
        }
    }

    /// The bytes of a kind under a digest.
    pub fn get(&self, kind: u8, key: Digest) -> Option<&[u8]> {
        self.bytes.get(self.places.get(&(kind, key))?.clone())
    }
}

fn places(program: Digest, bytes: &[u8]) -> Option<HashMap<(u8, Digest), Range<usize>, RandomState>> {
    let rest = bytes.strip_prefix(program.as_ref())?;
    let (count, rest) = rest.split_first_chunk::<4>()?;
    let count = usize::try_from(u32::from_le_bytes(*count)).ok()?;
    let list = rest.get(..count.checked_mul(LINE)?)?;
    let mut at = DIGEST + 4 + list.len();
    let mut places = HashMap::with_capacity_and_hasher(count, RandomState::default());
    for line in list.chunks_exact(LINE) {
        let (kind, rest) = line.split_first()?;
        let (key, length) = rest.split_first_chunk::<DIGEST>()?;
        let length = usize::try_from(u32::from_le_bytes(length.try_into().ok()?)).ok()?;
        let end = at.checked_add(length)?;
        places.insert((*kind, Digest::from(*key)), at..end);
        at = end;
    }
    (at == bytes.len()).then_some(places)
}

/// What is to be kept for the next run.
pub struct Pack<'a> {
    program: Digest,
    list: Vec<u8>,
    parts: Vec<Cow<'a, [u8]>>,
}

impl<'a> Pack<'a> {
    /// An empty one, of this program.
    pub fn new(program: Digest) -> Pack<'a> {
        Pack { program, list: Vec::new(), parts: Vec::new() }
    }

    /// Adds bytes of a kind under a digest. What is too long to be kept is left out.
    pub fn add(&mut self, kind: u8, key: Digest, bytes: Cow<'a, [u8]>) {
        let Ok(length) = u32::try_from(bytes.len()) else { return };
        self.list.push(kind);
        self.list.extend_from_slice(key.as_ref());
        self.list.extend_from_slice(&length.to_le_bytes());
        self.parts.push(bytes);
    }

    /// All of it in one piece.
    pub fn into_bytes(self) -> Vec<u8> {
        let count = u32::try_from(self.list.len() / LINE).unwrap_or_default();
        let count = count.to_le_bytes();
        let head = [self.program.as_ref(), &count, &self.list];
        let parts: Vec<&[u8]> = head.into_iter().chain(self.parts.iter().map(AsRef::as_ref)).collect();
        parts.concat()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_packed_is_found_by_the_same_program_and_only_whole() {
        let (mine, other, key) = (Digest::of(b"mine"), Digest::of(b"other"), Digest::of(b"key"));
        let mut pack = Pack::new(mine);
        pack.add(1, key, Cow::Borrowed(b"one"));
        pack.add(2, key, Cow::Borrowed(b""));
        pack.add(3, other, Cow::Borrowed(b"three"));
        let bytes = pack.into_bytes();
        let shelf = Shelf::open(mine, bytes.clone());
        assert_eq!(shelf.get(1, key), Some(&b"one"[..]));
        assert_eq!(shelf.get(2, key), Some(&b""[..]));
        assert_eq!(shelf.get(3, other), Some(&b"three"[..]));
        assert_eq!((shelf.get(3, key), shelf.get(4, key)), (None, None));
        assert_eq!(Shelf::open(other, bytes.clone()).get(1, key), None, "of another program");
        for length in 0..bytes.len() {
            assert_eq!(Shelf::open(mine, bytes[..length].to_vec()).get(1, key), None, "cut to {length}");
        }
        let longer = [bytes.as_slice(), b"x"].concat();
        assert_eq!(Shelf::open(mine, longer).get(1, key), None, "with more behind it");
    }
}
