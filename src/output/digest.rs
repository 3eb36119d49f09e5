//! Digests: two files, or two sets of inputs, are the same if their digests are.

use std::fmt;
use std::hash::{Hash, Hasher};
use std::io;
use std::path::Path;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::text::ordinary;

/// A BLAKE3 digest: two files, or two sets of inputs, are the same if their digests are.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The digest of some bytes.
    pub fn of(bytes: &[u8]) -> Digest {
        Digest(*blake3::hash(bytes).as_bytes())
    }

    /// The digest of several parts in their order. The parts `ab, c` and `a, bc` differ.
    pub fn of_parts<P: AsRef<[u8]>>(parts: impl IntoIterator<Item = P>) -> Digest {
        let mut hasher = blake3::Hasher::new();
        for part in parts {
            let part = part.as_ref();
            hasher.update(&(part.len() as u64).to_le_bytes());
            hasher.update(part);
        }
        Digest(*hasher.finalize().as_bytes())
    }

    /// The digest of all by which a value is equal to another of its type. It holds for this run of the program.
    pub fn of_value(value: &impl Hash) -> Digest {
        let mut seen = Seen(blake3::Hasher::new());
        value.hash(&mut seen);
        Digest(*seen.0.finalize().as_bytes())
    }

    /// The digest and the size in bytes of an ordinary file, read piece by piece.
    pub(crate) fn of_file(path: &Path) -> io::Result<(Digest, u64)> {
        let mut hasher = blake3::Hasher::new();
        hasher.update_reader(ordinary::open(path)?)?;
        Ok((Digest(*hasher.finalize().as_bytes()), hasher.count()))
    }
}

/// Hears what a value gives to be hashed, and keeps all of it in a digest.
struct Seen(blake3::Hasher);

impl Hasher for Seen {
    fn write(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    fn finish(&self) -> u64 {
        self.0.count()
    }
}

impl From<[u8; 32]> for Digest {
    fn from(bytes: [u8; 32]) -> Digest {
        Digest(bytes)
    }
}

impl AsRef<[u8]> for Digest {
    fn as_ref(&self) -> &[u8] {
        &self.0
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&blake3::Hash::from_bytes(self.0).to_hex())
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

impl FromStr for Digest {
    type Err = blake3::HexError;

    fn from_str(text: &str) -> Result<Digest, Self::Err> {
        Ok(Digest(*blake3::Hash::from_hex(text)?.as_bytes()))
    }
}

impl Serialize for Digest {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&blake3::Hash::from_bytes(self.0).to_hex())
    }
}

impl<'de> Deserialize<'de> for Digest {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Digest, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(|_| serde::de::Error::custom("a digest is 64 hexadecimal digits"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_kept_apart() {
        assert_ne!(Digest::of_parts(["ab", "c"]), Digest::of_parts(["a", "bc"]));
        assert_eq!(Digest::of_parts(["ab", "c"]), Digest::of_parts(["ab", "c"]));
    }
}
