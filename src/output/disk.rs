//! The one interface that writes: every change of a file or a folder goes through a [`Disk`]. Nothing here follows
//! a link: files are made new, and then given their name.

use std::fs::{self, File, Permissions};
use std::io::{self, Write};
use std::path::Path;

use tempfile::TempPath;

/// Whether a new file outlives a power cut from the moment it is in place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Durable {
    /// It is on the disk before it is renamed.
    Yes,
    /// The system writes it when it likes; a reader still sees the whole old or the whole new file.
    No,
}

/// What changes files and folders. Tests put one in its place that fails.
pub(crate) trait Disk: Sync + std::fmt::Debug {
    /// Makes a folder.
    ///
    /// # Errors
    /// Something is there, or the disk says no.
    fn make_folder(&self, at: &Path) -> io::Result<()>;

    /// Writes a file that is not there yet, with the rights of the file it is to replace.
    ///
    /// # Errors
    /// Something is there, or the disk says no; a part of it may be there then.
    fn write_new(
        &self,
        at: &Path,
        bytes: &[u8],
        rights: Option<&Permissions>,
        durable: Durable,
    ) -> io::Result<()>;

    /// Gives a file another name. A file that has the name is replaced in the same moment; a link is replaced, not
    /// followed.
    ///
    /// # Errors
    /// The disk says no.
    fn replace(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Gives a file a name that nothing has.
    ///
    /// # Errors
    /// Something has the name, or the disk says no.
    fn place(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Gives a file a second name that nothing has.
    ///
    /// # Errors
    /// Something has the name, or the disk cannot do it.
    fn second_name(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Removes a file or a link.
    ///
    /// # Errors
    /// The disk says no.
    fn remove_file(&self, at: &Path) -> io::Result<()>;

    /// Removes an empty folder.
    ///
    /// # Errors
    /// It is not empty, or the disk says no.
    fn remove_folder(&self, at: &Path) -> io::Result<()>;

    /// Makes the names in a folder outlive a power cut, where the system can.
    ///
    /// # Errors
    /// The disk says no.
    fn sync_folder(&self, at: &Path) -> io::Result<()>;
}

/// The disk of this computer.
#[derive(Debug)]
pub(crate) struct RealDisk;

impl Disk for RealDisk {
    fn make_folder(&self, at: &Path) -> io::Result<()> {
        fs::create_dir(at)
    }

    fn write_new(
        &self,
        at: &Path,
        bytes: &[u8],
        rights: Option<&Permissions>,
        durable: Durable,
    ) -> io::Result<()> {
        let mut file = File::options().write(true).create_new(true).open(at)?;
        file.write_all(bytes)?;
        if let Some(rights) = rights {
            file.set_permissions(rights.clone())?;
        }
        if durable == Durable::Yes {
            file.sync_all()?;
        }
        Ok(())
    }

    fn replace(&self, from: &Path, to: &Path) -> io::Result<()> {
        TempPath::try_from_path(from)?.persist(to).map_err(give_back)
    }

    fn place(&self, from: &Path, to: &Path) -> io::Result<()> {
        match TempPath::try_from_path(from)?.persist_noclobber(to).map_err(give_back) {
            // Some disks cannot do this in one step.
            Err(error)
                if error.kind() != io::ErrorKind::AlreadyExists && fs::symlink_metadata(to).is_err() =>
            {
                self.replace(from, to)
            }
            done => done,
        }
    }

    fn second_name(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn remove_file(&self, at: &Path) -> io::Result<()> {
        fs::remove_file(at)
    }

    fn remove_folder(&self, at: &Path) -> io::Result<()> {
        fs::remove_dir(at)
    }

    fn sync_folder(&self, at: &Path) -> io::Result<()> {
        // Elsewhere than on Unix a folder cannot be opened for that.
        if cfg!(unix) { File::open(at)?.sync_all() } else { Ok(()) }
    }
}

/// The file that could not be renamed stays: whoever wrote it decides what becomes of it.
fn give_back(failed: tempfile::PathPersistError) -> io::Error {
    let tempfile::PathPersistError { error, path } = failed;
    // Where it cannot be kept it is gone, and the next run writes it again.
    let _ = path.keep();
    error
}

/// Removes what an earlier run left in a place: a file, a link or a pipe, but no folder.
///
/// # Errors
/// It cannot be removed.
pub(crate) fn clear(disk: &dyn Disk, at: &Path) -> io::Result<()> {
    match disk.remove_file(at) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        done => done,
    }
}

/// Makes a folder and those it lies in, the outermost first, and gives those that were made.
///
/// # Errors
/// A folder cannot be made: which, and why. Those made before it are in `made`.
pub(crate) fn make_folders(disk: &dyn Disk, at: &Path, made: &mut Vec<std::path::PathBuf>) -> io::Result<()> {
    let missing: Vec<&Path> = at
        .ancestors()
        .take_while(|folder| !folder.as_os_str().is_empty() && fs::symlink_metadata(folder).is_err())
        .collect();
    for folder in missing.into_iter().rev() {
        match disk.make_folder(folder) {
            Ok(()) => made.push(folder.to_path_buf()),
            // Another run made it in between.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => {}
            Err(error) => return Err(error),
        }
    }
    if at.as_os_str().is_empty() || at.is_dir() { Ok(()) } else { Err(io::ErrorKind::NotADirectory.into()) }
}
