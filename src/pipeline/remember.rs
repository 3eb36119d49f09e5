//! What a check keeps for the next run of the program, as bytes.

use std::sync::Arc;

use super::{Loaded, Memory, Record};
use crate::again::{Again, Pack, Shelf};
use crate::check::Said;
use crate::diagnostic::Finding;
use crate::output::Digest;
use crate::record::SpecRecord;

/// The kind under which records are kept; those behind it are what rules said.
const RECORDS: u8 = 0;
const SAID: u8 = 1;

/// This very program: its version and its sources.
fn program() -> Digest {
    Digest::of_parts([env!("CARGO_PKG_VERSION"), env!("BENCHLEAF_SOURCES")])
}

pub(super) fn open(bytes: Vec<u8>) -> Memory {
    let shelf = Arc::new(Shelf::open(program(), bytes));
    Memory { loaded: Again::with(&shelf, RECORDS, read), said: Said::with(&shelf, SAID), ..Memory::default() }
}

pub(super) fn pack(memory: &Memory) -> Vec<u8> {
    let mut pack = Pack::new(program());
    memory.loaded.pack(RECORDS, |loaded| write(loaded), &mut pack);
    memory.said.pack(SAID, &mut pack);
    pack.into_bytes()
}

/// Only the many records that hold values are kept. They name nobody under a `for:`.
fn write(loaded: &Loaded) -> Option<Vec<u8>> {
    match &loaded.record {
        Some(Record::Spec(record)) if loaded.singled.is_empty() => {
            borsh::to_vec(&(record, &loaded.findings)).ok()
        }
        _ => None,
    }
}

fn read(bytes: &[u8]) -> Option<Arc<Loaded>> {
    let (record, findings): (Arc<SpecRecord>, Vec<Finding>) = borsh::from_slice(bytes).ok()?;
    Some(Arc::new(Loaded { record: Some(Record::Spec(record)), singled: Vec::new(), findings }))
}
