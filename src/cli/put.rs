//! Putting a changed source file in the place of the old one: at every moment the old text is there, or the new.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A source file that is ours to change until this is dropped.
pub(super) struct Held {
    path: PathBuf,
    /// Kept open for its lock alone: the file, or its folder where there is no file yet.
    _lock: Option<File>,
}

/// Takes a file that will be changed, whether it is there yet or not.
///
/// # Errors
/// One sentence: it is a link, it may not be written, somebody else holds it.
pub(super) fn hold(path: &Path) -> Result<Held, String> {
    let shown = path.display();
    let about = match fs::symlink_metadata(path) {
        Ok(about) => about,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            // Its folder stands in for it, so that two runs do not make it at once; where a folder cannot be
            // opened, as on Windows, what is put there is still compared with what was read.
            let folder = path.parent().and_then(|folder| File::open(folder).ok());
            return Ok(Held {
                path: path.to_path_buf(),
                _lock: folder.map(|file| lock(file, path)).transpose()?,
            });
        }
        Err(error) => return Err(format!("{shown} cannot be looked at: {error}")),
    };
    if !about.is_file() {
        return Err(format!("{shown} is no ordinary file: change the file that it stands for"));
    }
    if about.permissions().readonly() {
        return Err(format!("{shown} may not be written: nothing was changed"));
    }
    let file = File::open(path).map_err(|error| format!("{shown} cannot be opened: {error}"))?;
    Ok(Held { path: path.to_path_buf(), _lock: Some(lock(file, path)?) })
}

fn lock(file: File, path: &Path) -> Result<File, String> {
    let shown = path.display();
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(fs::TryLockError::WouldBlock) => {
            Err(format!("somebody else is changing {shown}: wait until that has ended"))
        }
        Err(fs::TryLockError::Error(error)) => Err(format!("{shown} cannot be held: {error}")),
    }
}

impl Held {
    /// Puts `new` in place of `old`; `None`: there is no such file yet.
    ///
    /// # Errors
    /// One sentence; the file is as it was then.
    pub(super) fn put(&self, old: Option<&str>, new: &str) -> Result<(), String> {
        let shown = self.path.display();
        let there = match fs::read(&self.path) {
            Ok(bytes) => Some(bytes),
            Err(error) if error.kind() == io::ErrorKind::NotFound => None,
            Err(error) => return Err(format!("{shown} cannot be read: {error}")),
        };
        if there.as_deref() != old.map(str::as_bytes) {
            return Err(format!("{shown} was changed meanwhile: nothing was changed here, run it again"));
        }
        let (Some(folder), Some(name)) = (self.path.parent(), self.path.file_name()) else {
            return Err(format!("{shown} is no file's name"));
        };
        // Always the same name, so that what a killed run leaves behind is cleared away by the next one; and
        // a hidden one, so that it is never taken for a record.
        let beside = folder.join(format!(".{}.new", name.to_string_lossy()));
        let done = self.write(&beside, new).and_then(|()| fs::rename(&beside, &self.path));
        done.map_err(|error| {
            // It is ours; where it cannot be removed the next run will.
            let _ = fs::remove_file(&beside);
            format!("{shown} cannot be written: {error}; nothing was changed")
        })?;
        sync_folder(folder);
        Ok(())
    }

    fn write(&self, beside: &Path, new: &str) -> io::Result<()> {
        match fs::remove_file(beside) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
        let mut file = OpenOptions::new().write(true).create_new(true).open(beside)?;
        file.write_all(new.as_bytes())?;
        if let Ok(about) = fs::metadata(&self.path) {
            file.set_permissions(about.permissions())?;
        }
        file.sync_all()
    }
}

/// Makes the renaming last through a power cut, where the system can.
fn sync_folder(folder: &Path) {
    if cfg!(unix) {
        // The file is whole either way; only when it is seen hangs on this.
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}
