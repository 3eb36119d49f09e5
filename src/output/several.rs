//! Several source files that change together: all of them, or none.

use std::io;
use std::path::{Path, PathBuf};

use super::disk::{Disk, RealDisk};
use super::file::{
    FileError, LARGEST, check_inside, disk_error, lock_above, make_parent, settle_names, write_beside,
};
use crate::text::ordinary;

/// A file that changes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Where it is.
    pub path: PathBuf,
    /// Its text as it was read; `None`: it was not there.
    pub old: Option<String>,
    /// Its text as it will be; `None`: it goes.
    pub new: Option<String>,
}

/// Changes files, in the order given. New texts are on the disk before the first file changes; a failure after that
/// puts the old texts back. A run that is killed in between leaves each file whole, old or new.
///
/// # Errors
/// A file is not as it was read, or the disk says no: all are as they were.
pub fn change_files(root: &Path, changes: &[Change]) -> Result<(), FileError> {
    change_files_on(&RealDisk, root, changes)
}

pub(crate) fn change_files_on(disk: &dyn Disk, root: &Path, changes: &[Change]) -> Result<(), FileError> {
    let _lock = changes.first().map(|change| lock_above(&change.path)).transpose()?;
    for change in changes {
        check_inside(root, &change.path)?;
        as_read(change)?;
    }
    let (mut folders, mut waiting) = (Vec::new(), Vec::new());
    let done = write_all(disk, changes, &mut folders, &mut waiting)
        .and_then(|()| place_all(disk, changes, &waiting));
    if done.is_err() {
        // What cannot be removed is hidden, and the next run removes it.
        for beside in waiting.iter().flatten() {
            let _ = disk.remove_file(beside);
        }
        for folder in folders.iter().rev() {
            let _ = disk.remove_folder(folder);
        }
    }
    done
}

/// Refuses a file that somebody changed since it was read.
fn as_read(change: &Change) -> Result<(), FileError> {
    let unchanged = match ordinary::read(&change.path, LARGEST) {
        Ok(bytes) => change.old.as_ref().is_some_and(|old| bytes == old.as_bytes()),
        Err(error) => error.kind() == io::ErrorKind::NotFound && change.old.is_none(),
    };
    if unchanged { Ok(()) } else { Err(FileError::Changed(change.path.clone())) }
}

/// Writes every new text beside the file it is for.
fn write_all(
    disk: &dyn Disk,
    changes: &[Change],
    folders: &mut Vec<PathBuf>,
    waiting: &mut Vec<Option<PathBuf>>,
) -> Result<(), FileError> {
    for change in changes {
        let beside = match &change.new {
            None => None,
            Some(text) => {
                make_parent(disk, &change.path, folders)?;
                Some(write_beside(disk, &change.path, text.as_bytes(), None)?)
            }
        };
        waiting.push(beside);
    }
    Ok(())
}

fn place_all(disk: &dyn Disk, changes: &[Change], waiting: &[Option<PathBuf>]) -> Result<(), FileError> {
    for (at, (change, beside)) in changes.iter().zip(waiting).enumerate() {
        let done = as_read(change).and_then(|()| {
            let placed = match beside {
                Some(beside) => disk.replace(beside, &change.path),
                None if change.old.is_some() => disk.remove_file(&change.path),
                None => Ok(()),
            };
            placed.map_err(disk_error("write", &change.path))
        });
        if done.is_err() {
            put_back(disk, &changes[..at]);
            return done;
        }
    }
    for change in changes {
        settle_names(disk, &change.path);
    }
    Ok(())
}

/// Puts the old texts back, the last first. What cannot be put back is whole, and the same command goes on from there.
fn put_back(disk: &dyn Disk, changes: &[Change]) {
    for change in changes.iter().rev() {
        match &change.old {
            None => drop(disk.remove_file(&change.path)),
            Some(old) => {
                if let Ok(beside) = write_beside(disk, &change.path, old.as_bytes(), None) {
                    let _ = disk.replace(&beside, &change.path);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::output::faulty::{Fault, FaultyDisk};

    fn changes(root: &Path) -> Vec<Change> {
        let change = |path: &str, old: Option<&str>, new: Option<&str>| Change {
            path: root.join(path),
            old: old.map(str::to_owned),
            new: new.map(str::to_owned),
        };
        vec![
            change("a.md", Some("a1"), Some("a2")),
            change("b.md", Some("b1"), None),
            change("new/c.md", None, Some("c2")),
            change("z.txt", Some("z1"), Some("z2")),
        ]
    }

    fn begin(root: &Path) {
        fs::create_dir(root).unwrap();
        for (name, text) in [("a.md", "a1"), ("b.md", "b1"), ("z.txt", "z1")] {
            fs::write(root.join(name), text).unwrap();
        }
    }

    fn tree(root: &Path) -> Vec<(String, String)> {
        let items = walkdir::WalkDir::new(root).sort_by_file_name().into_iter().map(Result::unwrap);
        let files = items.filter(|item| item.file_type().is_file());
        let name = |path: &Path| path.strip_prefix(root).unwrap().to_str().unwrap().to_owned();
        files
            .map(|item| (name(item.path()), fs::read_to_string(item.path()).unwrap()))
            .filter(|(name, _)| !name.ends_with(".new"))
            .collect()
    }

    /// A shop takes a later library while the disk fails at every change in turn.
    #[test]
    fn files_that_change_together_are_all_old_or_all_new() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path().join("sound");
        begin(&root);
        let old = tree(&root);
        let sound = FaultyDisk::sound();
        change_files_on(&sound, &root, &changes(&root)).unwrap();
        let new = tree(&root);
        assert_eq!(new.len(), 3, "{new:?}");
        for fault in [Fault::Refused, Fault::Full] {
            for at in 0..sound.changes() {
                let root = dir.path().join(format!("{fault:?}-{at}"));
                begin(&root);
                let done = change_files_on(&FaultyDisk::new(fault, at), &root, &changes(&root));
                // On a full disk the old text may find no room again: each file is whole all the same.
                let after = tree(&root);
                match done {
                    Ok(()) => assert_eq!(after, new, "{fault:?} at {at}"),
                    Err(_) if fault == Fault::Refused => assert_eq!(after, old, "{fault:?} at {at}"),
                    Err(_) => assert!(
                        after.iter().all(|file| old.contains(file) || new.contains(file)),
                        "{fault:?} at {at}: {after:?}"
                    ),
                }
            }
        }
    }

    #[test]
    fn a_file_that_somebody_saved_meanwhile_stops_all_of_it() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path().join("shop");
        begin(&root);
        fs::write(root.join("z.txt"), "saved meanwhile").unwrap();
        let before = tree(&root);
        let done = change_files(&root, &changes(&root));
        assert!(matches!(done, Err(FileError::Changed(_))), "{done:?}");
        assert_eq!(tree(&root), before);
    }
}
