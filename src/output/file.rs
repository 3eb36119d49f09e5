//! Single files: one that is changed, a set that is made from what the program knows, a set that must be new. At
//! every moment a file is as it was or as it will be, and nothing is written through a link.

use std::fmt;
use std::fs::{self, File, Permissions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

use super::disk::{Disk, Durable, RealDisk, clear, make_folders};
use super::places::in_git;
use crate::text::ordinary::{self, Standing};

/// No source file that is compared or replaced is longer.
pub(super) const LARGEST: u64 = 1 << 30;

/// Why a file was not written; as it stands in a sentence.
#[derive(Debug)]
pub enum FileError {
    /// A link, a folder or a pipe has the file's name.
    NoOrdinaryFile(PathBuf),
    /// Its folder leads out of the folder it is to be in, through a link.
    Outside(PathBuf),
    /// It would be among git's own files.
    InGit(PathBuf),
    /// It may not be written.
    ReadOnly(PathBuf),
    /// Another run is changing it.
    Busy(PathBuf),
    /// It is not what was read: somebody changed it meanwhile.
    Changed(PathBuf),
    /// It must be new, and is there.
    There(PathBuf),
    /// The disk or the system said no.
    Disk {
        /// What we were doing: "look at", "write", …
        doing: &'static str,
        /// The file or folder.
        at: PathBuf,
        /// The system's answer.
        error: io::Error,
    },
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FileError::NoOrdinaryFile(at) => {
                write!(f, "{} is no ordinary file: change the file that it stands for", at.display())
            }
            FileError::Outside(at) => write!(
                f,
                "{} leads through a link out of its folder: nothing is written there; put a real folder in its place",
                at.display()
            ),
            FileError::InGit(at) => write!(
                f,
                "{} is among git's own files: nothing is written there; name another folder",
                at.display()
            ),
            FileError::ReadOnly(at) => write!(f, "{} may not be written: nothing was changed", at.display()),
            FileError::Busy(at) => {
                write!(f, "somebody else is changing {}: wait until that has ended", at.display())
            }
            FileError::Changed(at) => {
                write!(f, "{} was changed meanwhile: nothing was changed here, run it again", at.display())
            }
            FileError::There(at) => write!(f, "`{}` is there already and is left as it is", at.display()),
            FileError::Disk { doing, at, error } => {
                write!(f, "cannot {doing} `{}`: {error}; what was there is unchanged", at.display())
            }
        }
    }
}

impl std::error::Error for FileError {}

/// The disk's answer as our error; shaped for `map_err`.
pub(super) fn disk_error(doing: &'static str, at: &Path) -> impl FnOnce(io::Error) -> FileError {
    move |error| FileError::Disk { doing, at: at.to_path_buf(), error }
}

/// A source file that is ours to change until this is dropped.
#[derive(Debug)]
pub struct Held {
    path: PathBuf,
    /// Kept open for its lock alone: the file, or its folder where there is no file yet.
    _lock: Option<File>,
}

/// Takes a file of a shop that will be changed, whether it is there yet or not.
///
/// # Errors
/// It is a link, it leads out of the shop, it may not be written, somebody else holds it.
pub fn hold(shop: &Path, path: &str) -> Result<Held, FileError> {
    let full = shop.join(path);
    check_inside(shop, &full)?;
    match ordinary::standing(&full).map_err(disk_error("look at", &full))? {
        Standing::Nothing => {
            // Its folder stands in for it, so that two runs do not make it at once; where a folder cannot be
            // opened, as on Windows, what is put there is still compared with what was read.
            let folder = full.parent().and_then(|folder| File::open(folder).ok());
            let lock = folder.map(|file| lock(file, &full)).transpose()?;
            // Another run may have made it before we had the lock.
            match ordinary::standing(&full).map_err(disk_error("look at", &full))? {
                Standing::Nothing => Ok(Held { path: full, _lock: lock }),
                _ => Err(FileError::Changed(full)),
            }
        }
        Standing::File(meta) if meta.permissions().readonly() => Err(FileError::ReadOnly(full)),
        Standing::File(_) => {
            let file = ordinary::open(&full).map_err(disk_error("open", &full))?;
            let lock = lock(file, &full)?;
            // Another run may have put a new file in its place before we had the lock: it would be the old one's.
            if is_still(&lock, &full) {
                Ok(Held { _lock: Some(lock), path: full })
            } else {
                Err(FileError::Changed(full))
            }
        }
        Standing::Folder | Standing::Link | Standing::Special => Err(FileError::NoOrdinaryFile(full)),
    }
}

fn lock(file: File, at: &Path) -> Result<File, FileError> {
    match super::lock::lock(&file) {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(FileError::Busy(at.to_path_buf())),
        Err(TryLockError::Error(error)) => Err(disk_error("lock", at)(error)),
    }
}

/// Locks the folder that a new file is to be in, or the nearest one above that is there already, so that two runs do
/// not make the same files at once. `None` where a folder cannot be opened, as on Windows: there the second of them
/// finds that something has the name.
pub(super) fn lock_above(path: &Path) -> Result<Option<File>, FileError> {
    let folder = std::path::absolute(path)
        .ok()
        .and_then(|path| path.ancestors().skip(1).find(|folder| folder.is_dir()).map(Path::to_path_buf));
    folder.and_then(|folder| File::open(folder).ok()).map(|file| lock(file, path)).transpose()
}

/// Whether an open file is the one that now has a name.
#[cfg(unix)]
fn is_still(file: &File, at: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let which = |meta: io::Result<fs::Metadata>| meta.map(|meta| (meta.dev(), meta.ino())).ok();
    let open = which(file.metadata());
    open.is_some() && open == which(fs::symlink_metadata(at))
}

/// Whether an open file is the one that now has a name: elsewhere than on Unix an open file keeps its name.
#[cfg(not(unix))]
fn is_still(_: &File, at: &Path) -> bool {
    at.is_file()
}

impl Held {
    /// Puts `new` in place of `old`; `None`: there is no such file yet.
    ///
    /// The new text is on the disk before the old one is compared, so that only the moment between the comparison
    /// and the renaming is left in which somebody's edit could be lost.
    ///
    /// # Errors
    /// The file is as it was then.
    pub fn put(&self, old: Option<&str>, new: &str) -> Result<(), FileError> {
        self.put_on(&RealDisk, old, new)
    }

    pub(crate) fn put_on(&self, disk: &dyn Disk, old: Option<&str>, new: &str) -> Result<(), FileError> {
        let rights = fs::symlink_metadata(&self.path).ok().map(|meta| meta.permissions());
        let beside = write_beside(disk, &self.path, new.as_bytes(), rights.as_ref())?;
        let unchanged = match ordinary::read(&self.path, LARGEST) {
            Ok(bytes) => old.is_some_and(|old| bytes == old.as_bytes()),
            Err(error) => error.kind() == io::ErrorKind::NotFound && old.is_none(),
        };
        let done = match (unchanged, old) {
            (false, _) => Err(FileError::Changed(self.path.clone())),
            (true, Some(_)) => disk.replace(&beside, &self.path).map_err(disk_error("write", &self.path)),
            (true, None) => disk.place(&beside, &self.path).map_err(|error| match error.kind() {
                io::ErrorKind::AlreadyExists => FileError::Changed(self.path.clone()),
                _ => disk_error("write", &self.path)(error),
            }),
        };
        if done.is_err() {
            // Where it cannot be removed, the next run will.
            let _ = disk.remove_file(&beside);
        }
        done?;
        settle_names(disk, &self.path);
        Ok(())
    }
}

/// Writes files of a folder anew that the program alone makes, such as schemas: each is made or replaced, and one
/// that is as it should be is left alone. `root` is the folder out of which no link may lead.
///
/// # Errors
/// The files before the one that is named are written, the others are as they were.
pub fn write_files(root: &Path, files: &[(PathBuf, Vec<u8>)]) -> Result<(), FileError> {
    write_files_on(&RealDisk, root, files)
}

pub(crate) fn write_files_on(
    disk: &dyn Disk,
    root: &Path,
    files: &[(PathBuf, Vec<u8>)],
) -> Result<(), FileError> {
    for (path, _) in files {
        check_inside(root, path)?;
        match ordinary::standing(path).map_err(disk_error("look at", path))? {
            Standing::Nothing | Standing::File(_) => {}
            Standing::Folder | Standing::Link | Standing::Special => {
                return Err(FileError::NoOrdinaryFile(path.clone()));
            }
        }
    }
    for (path, bytes) in files {
        if ordinary::read(path, LARGEST).is_ok_and(|there| there == *bytes) {
            continue;
        }
        make_parent(disk, path, &mut Vec::new())?;
        let beside = write_beside(disk, path, bytes, None)?;
        disk.replace(&beside, path).map_err(|error| {
            let _ = disk.remove_file(&beside);
            disk_error("write", path)(error)
        })?;
        settle_names(disk, path);
    }
    Ok(())
}

/// Makes files that must be new: all, or none. One that is there with the very same text, beside others that are
/// missing, was made by a run that was killed; it is left as it is.
///
/// # Errors
/// Nothing was made.
pub fn make_files(root: &Path, files: &[(PathBuf, Vec<u8>)]) -> Result<(), FileError> {
    make_files_on(&RealDisk, root, files)
}

pub(crate) fn make_files_on(
    disk: &dyn Disk,
    root: &Path,
    files: &[(PathBuf, Vec<u8>)],
) -> Result<(), FileError> {
    let _lock = files.first().map(|(path, _)| lock_above(path)).transpose()?;
    let mut missing = Vec::new();
    for (path, bytes) in files {
        check_inside(root, path)?;
        match ordinary::standing(path).map_err(disk_error("look at", path))? {
            Standing::Nothing => missing.push((path, bytes)),
            Standing::File(_) if ordinary::read(path, LARGEST).is_ok_and(|there| there == *bytes) => {}
            _ => return Err(FileError::There(path.clone())),
        }
    }
    if let (true, Some((path, _))) = (missing.is_empty(), files.first()) {
        return Err(FileError::There(path.clone()));
    }
    let mut made = Made::default();
    let done = made.all(disk, &missing);
    if done.is_err() {
        made.undo(disk);
    }
    done
}

/// What a run has made so far, to be taken back if it fails.
#[derive(Default)]
struct Made {
    folders: Vec<PathBuf>,
    waiting: Vec<PathBuf>,
    placed: Vec<PathBuf>,
}

impl Made {
    fn all(&mut self, disk: &dyn Disk, files: &[(&PathBuf, &Vec<u8>)]) -> Result<(), FileError> {
        for (path, bytes) in files {
            make_parent(disk, path, &mut self.folders)?;
            self.waiting.push(write_beside(disk, path, bytes, None)?);
        }
        for ((path, _), beside) in files.iter().zip(&self.waiting) {
            disk.place(beside, path).map_err(|error| match error.kind() {
                io::ErrorKind::AlreadyExists => FileError::There((*path).clone()),
                _ => disk_error("write", path)(error),
            })?;
            self.placed.push((*path).clone());
        }
        for (path, _) in files {
            settle_names(disk, path);
        }
        Ok(())
    }

    fn undo(&self, disk: &dyn Disk) {
        // What cannot be taken back is whole, and the same command goes on from there.
        for file in self.placed.iter().chain(&self.waiting[self.placed.len()..]) {
            let _ = disk.remove_file(file);
        }
        for folder in self.folders.iter().rev() {
            let _ = disk.remove_folder(folder);
        }
    }
}

pub(super) fn make_parent(disk: &dyn Disk, path: &Path, made: &mut Vec<PathBuf>) -> Result<(), FileError> {
    let Some(folder) = path.parent() else { return Ok(()) };
    make_folders(disk, folder, made).map_err(disk_error("make", folder))
}

/// Writes the new file beside the old one. Always under the same name, so that what a killed run leaves behind is
/// cleared away by the next one; and a hidden one, so that it is never taken for a record.
pub(super) fn write_beside(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    rights: Option<&Permissions>,
) -> Result<PathBuf, FileError> {
    let (Some(folder), Some(name)) = (path.parent(), path.file_name()) else {
        return Err(FileError::NoOrdinaryFile(path.to_path_buf()));
    };
    let beside = folder.join(format!(".{}.new", name.to_string_lossy()));
    clear(disk, &beside).map_err(disk_error("remove", &beside))?;
    disk.write_new(&beside, bytes, rights, Durable::Yes).map_err(|error| {
        if error.kind() != io::ErrorKind::AlreadyExists {
            let _ = disk.remove_file(&beside);
        }
        disk_error("write", path)(error)
    })?;
    Ok(beside)
}

/// Makes the renaming last through a power cut, where the system can.
pub(super) fn settle_names(disk: &dyn Disk, path: &Path) {
    if let Some(folder) = path.parent() {
        // The file is whole either way; only when it is seen hangs on this.
        let _ = disk.sync_folder(folder);
    }
}

/// Refuses a path whose folder leads out of `root` through a link, or into git's own files.
pub(super) fn check_inside(root: &Path, path: &Path) -> Result<(), FileError> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let find = |folder: &Path| super::places::real_path(folder).map_err(disk_error("find", folder));
    let (real_root, real) = (find(root)?, find(folder)?);
    if in_git(&real) {
        return Err(FileError::InGit(path.to_path_buf()));
    }
    if real.starts_with(&real_root) { Ok(()) } else { Err(FileError::Outside(folder.to_path_buf())) }
}

#[cfg(test)]
mod tests;
