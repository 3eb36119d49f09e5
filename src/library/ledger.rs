//! What a shop took from the library, by digest.

use std::collections::BTreeMap;

use super::units::unit_at;
use crate::output::Digest;

/// Where a shop keeps it.
pub const LEDGER: &str = "specs/library.txt";

/// How many letters of a digest are kept: 128 bits.
const LETTERS: usize = 32;

/// What a shop took from the library: the version, and of each text the digest it had when it was taken.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Ledger {
    /// The version it was last brought up to.
    pub version: String,
    texts: BTreeMap<String, String>,
}

/// The digest of a text, however its lines end.
fn digest(text: &str) -> String {
    let mut digest = Digest::of(text.replace("\r\n", "\n").trim_end().as_bytes()).to_string();
    digest.truncate(LETTERS);
    digest
}

impl Ledger {
    /// Reads a ledger. A line that is none is passed over: what it spoke of counts as the shop's own.
    pub fn read(text: &str) -> Ledger {
        let mut ledger = Ledger::default();
        for line in text.lines() {
            if let Some(version) = line.strip_prefix("# version ") {
                version.trim().clone_into(&mut ledger.version);
            } else if let Some((digest, name)) = line.split_once("  ").filter(|_| !line.starts_with('#')) {
                ledger.texts.insert(name.trim().to_owned(), digest.to_owned());
            }
        }
        ledger
    }

    /// The ledger as a file.
    pub fn write(&self) -> String {
        let mut out = "# What this shop took from the library, and the digest each text had then (BLAKE3, 128 bits).\n\
                       # `benchleaf library update` reads and writes it. What has another digest now is the shop's own.\n"
            .to_owned();
        out.push_str(&format!("# version {}\n", self.version));
        for (name, digest) in &self.texts {
            out.push_str(&format!("{digest}  {name}\n"));
        }
        out
    }

    /// Whether a text of this name was taken.
    pub fn has(&self, name: &str) -> bool {
        self.texts.contains_key(name)
    }

    /// Whether a text is as it was taken.
    pub fn is_as_taken(&self, name: &str, text: &str) -> bool {
        self.texts.get(name).is_some_and(|known| *known == digest(text))
    }

    /// Whether the text at a place of a file is as it was taken: the whole file, or the condition that stands there.
    pub fn is_as_taken_at(&self, path: &str, text: &str, at: usize) -> bool {
        let (name, text) = unit_at(path, text, at);
        self.is_as_taken(&name, &text)
    }

    /// The names of what was taken.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.texts.keys().map(String::as_str)
    }

    /// Notes that a text was taken.
    pub fn take(&mut self, name: &str, text: &str) {
        self.texts.insert(name.to_owned(), digest(text));
    }

    /// Forgets a text.
    pub fn forget(&mut self, name: &str) {
        self.texts.remove(name);
    }
}
