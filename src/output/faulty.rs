//! A disk that fails, for tests: full, read-only for a moment, or cut off for good as if the process had been killed.

use std::fs::{self, Permissions};
use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::disk::{Disk, Durable, RealDisk};

/// How the disk fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fault {
    /// One change is refused, as on a disk that is read-only for a moment.
    Refused,
    /// From one change on there is no room: half of a file is written, folders cannot be made, names can change.
    Full,
    /// One change is half done, and nothing is done after it.
    Killed,
}

/// A disk that fails at one of its changes.
#[derive(Debug)]
pub(crate) struct FaultyDisk {
    fault: Fault,
    /// Which change fails, counted from 0.
    at: usize,
    changes: AtomicUsize,
    /// Whether the fault was met.
    met: AtomicBool,
}

impl FaultyDisk {
    pub(crate) fn new(fault: Fault, at: usize) -> FaultyDisk {
        FaultyDisk { fault, at, changes: AtomicUsize::new(0), met: AtomicBool::new(false) }
    }

    /// A disk that never fails, to count the changes.
    pub(crate) fn sound() -> FaultyDisk {
        FaultyDisk::new(Fault::Refused, usize::MAX)
    }

    /// How many changes were asked for.
    pub(crate) fn changes(&self) -> usize {
        self.changes.load(Ordering::SeqCst)
    }

    /// Whether the fault was met.
    pub(crate) fn failed(&self) -> bool {
        self.met.load(Ordering::SeqCst)
    }

    /// What becomes of a change: `Ok` it is done; else it is refused, and the first one of a kill is half done.
    fn change(&self, needs_room: bool) -> Result<(), (io::Error, bool)> {
        let now = self.changes.fetch_add(1, Ordering::SeqCst);
        let hit = match self.fault {
            Fault::Refused => now == self.at,
            Fault::Full => now >= self.at && needs_room,
            Fault::Killed => now >= self.at,
        };
        if !hit {
            return Ok(());
        }
        self.met.store(true, Ordering::SeqCst);
        Err(match self.fault {
            Fault::Refused => (io::ErrorKind::PermissionDenied.into(), false),
            Fault::Full => (io::ErrorKind::StorageFull.into(), true),
            Fault::Killed => (io::Error::other("killed"), now == self.at),
        })
    }

    fn plain(&self, needs_room: bool, change: impl FnOnce() -> io::Result<()>) -> io::Result<()> {
        match self.change(needs_room) {
            Ok(()) => change(),
            Err((error, _)) => Err(error),
        }
    }
}

impl Disk for FaultyDisk {
    fn make_folder(&self, at: &Path) -> io::Result<()> {
        self.plain(true, || RealDisk.make_folder(at))
    }

    fn write_new(
        &self,
        at: &Path,
        bytes: &[u8],
        rights: Option<&Permissions>,
        durable: Durable,
    ) -> io::Result<()> {
        match self.change(true) {
            Ok(()) => RealDisk.write_new(at, bytes, rights, durable),
            Err((error, half)) => {
                if half && fs::symlink_metadata(at).is_err() {
                    RealDisk.write_new(at, &bytes[..bytes.len() / 2], rights, durable)?;
                }
                Err(error)
            }
        }
    }

    fn replace(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.plain(false, || RealDisk.replace(from, to))
    }

    fn place(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.plain(false, || RealDisk.place(from, to))
    }

    fn second_name(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.plain(true, || RealDisk.second_name(from, to))
    }

    fn remove_file(&self, at: &Path) -> io::Result<()> {
        self.plain(false, || RealDisk.remove_file(at))
    }

    fn remove_folder(&self, at: &Path) -> io::Result<()> {
        self.plain(false, || RealDisk.remove_folder(at))
    }

    fn sync_folder(&self, at: &Path) -> io::Result<()> {
        self.plain(false, || RealDisk.sync_folder(at))
    }
}
