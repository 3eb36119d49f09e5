//! Our own folder within an output folder: its files, each written whole and never through a link.

use std::fs::{self, Metadata};
use std::path::Path;
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::disk::{Disk, Durable, clear};
use super::obstacle::Obstacle;
use crate::text::ordinary;

pub(crate) const MANIFEST: &str = "manifest.json";
pub(crate) const JOURNAL: &str = "journal.json";
pub(crate) const INPUTS: &str = "inputs.json";
pub(crate) const MEMORY: &str = "memory";
pub(crate) const IGNORE: &str = ".gitignore";
pub(crate) const LOCK: &str = "lock";
pub(crate) const STAGE: &str = "stage";
pub(crate) const KEPT: &str = "kept";

/// No file of our own is longer: a site of 100,000 pages needs 20 MB.
const LARGEST: u64 = 1 << 30;

/// A file as the disk knows it, beyond what a repository or an archive could carry: which file it is, and when it
/// last got its bytes or its name. Nobody can write a file with a given seal, so a record that holds the seal of
/// another file was made on this computer, after that file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Seal(String);

impl Seal {
    /// The seal of a file; `None` where the disk does not tell.
    pub(crate) fn of(path: &Path) -> Option<Seal> {
        let meta = fs::symlink_metadata(path).ok().filter(Metadata::is_file)?;
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt;
            Some(Seal(format!("{}-{}-{}.{:09}", meta.dev(), meta.ino(), meta.ctime(), meta.ctime_nsec())))
        }
        #[cfg(not(unix))]
        {
            let since = |time: std::io::Result<SystemTime>| {
                Some(time.ok()?.duration_since(SystemTime::UNIX_EPOCH).ok()?.as_nanos())
            };
            Some(Seal(format!("{}-{}", since(meta.created())?, since(meta.modified())?)))
        }
    }
}

impl AsRef<[u8]> for Seal {
    fn as_ref(&self) -> &[u8] {
        self.0.as_bytes()
    }
}

/// When the manifest was last written.
pub(crate) fn manifest_written(own: &Path) -> Option<SystemTime> {
    fs::symlink_metadata(own.join(MANIFEST)).ok()?.modified().ok()
}

/// A file of our own; `None` if it is not there.
pub(crate) fn read_own(path: &Path) -> Result<Option<Vec<u8>>, Obstacle> {
    match Obstacle::unless_file(path)? {
        None => Ok(None),
        Some(_) => ordinary::read(path, LARGEST).map(Some).map_err(Obstacle::disk("read", path)),
    }
}

/// Where a file of our own waits to be renamed.
pub(crate) fn waiting(name: &str) -> String {
    format!("{name}.new")
}

/// Writes a file of our own folder so that it is the old or the new one, whole, whenever we are killed.
pub(crate) fn write_whole(
    disk: &dyn Disk,
    own: &Path,
    name: &str,
    bytes: &[u8],
    durable: Durable,
) -> Result<(), Obstacle> {
    let waiting = own.join(waiting(name));
    let place = own.join(name);
    // A link or a pipe in its place is not ours, and is not replaced without a word.
    Obstacle::unless_file(&place)?;
    clear(disk, &waiting).map_err(Obstacle::disk("remove", &waiting))?;
    disk.write_new(&waiting, bytes, None, durable).map_err(Obstacle::disk("write", &waiting))?;
    disk.replace(&waiting, &place).map_err(Obstacle::disk("put in place", &place))?;
    if durable == Durable::Yes {
        disk.sync_folder(own).map_err(Obstacle::disk("write", own))?;
    }
    Ok(())
}
