//! What a check keeps for the next one: of the same run, and as bytes of the next run of the program.

use std::sync::Arc;

use super::loaded::{Loaded, Record};
use crate::again::{Again, Pack, Shelf};
use crate::check::{CheckedFork, Said};
use crate::diagnostic::Finding;
use crate::output::Digest;
use crate::record::SpecRecord;
use crate::review::TextReviews;
use crate::schema::{SchemaFault, Validators};

/// The kind under which records are kept; those behind it are what rules said.
const RECORDS: u8 = 0;
const SAID: u8 = 1;

/// What a check worked out, for the next one of the same shop: it does only what changed since. What it finds is the
/// same as without.
#[derive(Default)]
pub struct Memory {
    pub(super) validators: Again<Result<Arc<Validators>, SchemaFault>>,
    pub(super) loaded: Again<Arc<Loaded>>,
    pub(super) forks: Again<CheckedFork>,
    pub(super) texts: Again<Arc<TextReviews>>,
    pub(super) said: Said,
}

impl Memory {
    /// With what an earlier run of this very program kept of this shop or another; nothing of what another program kept,
    /// or of bytes that are not whole.
    pub fn from_bytes(bytes: Vec<u8>) -> Memory {
        open(bytes)
    }

    /// What the next run of this program may take again: what the last check read of the records that hold values, and
    /// what its rules said.
    pub fn to_bytes(&self) -> Vec<u8> {
        pack(self)
    }

    /// Lets go what the last check did not ask for.
    pub(super) fn turn(&mut self) {
        self.validators.turn();
        self.loaded.turn();
        self.forks.turn();
        self.texts.turn();
        self.said.turn();
    }
}

/// This very program: its version and its sources.
fn program() -> Digest {
    Digest::of_parts([env!("CARGO_PKG_VERSION"), env!("BENCHLEAF_SOURCES")])
}

fn open(bytes: Vec<u8>) -> Memory {
    let shelf = Arc::new(Shelf::open(program(), bytes));
    Memory { loaded: Again::with(&shelf, RECORDS, read), said: Said::with(&shelf, SAID), ..Memory::default() }
}

fn pack(memory: &Memory) -> Vec<u8> {
    let mut pack = Pack::new(program());
    memory.loaded.pack(RECORDS, |loaded| write(loaded), &mut pack);
    memory.said.pack(SAID, &mut pack);
    pack.into_bytes()
}

/// Only the many records that hold values are kept. They name nobody under a `for:`, and no job: what is kept stands beside
/// pages that are published.
fn write(loaded: &Loaded) -> Option<Vec<u8>> {
    match &loaded.record {
        Some(Record::Spec(record))
            if loaded.singled.is_empty() && record.sources.iter().all(|source| source.jobs.is_empty()) =>
        {
            borsh::to_vec(&(record, &loaded.findings)).ok()
        }
        _ => None,
    }
}

fn read(bytes: &[u8]) -> Option<Arc<Loaded>> {
    let (record, findings): (Arc<SpecRecord>, Vec<Finding>) = borsh::from_slice(bytes).ok()?;
    Some(Arc::new(Loaded { record: Some(Record::Spec(record)), singled: Vec::new(), findings }))
}
