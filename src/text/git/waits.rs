//! What would make git wait: something that is neither a file nor a folder in place of one of its files. No clone
//! brings that; an unpacked archive can.

use std::path::{Path, PathBuf};

use crate::text::ordinary;

/// Folders of git's own that hold nothing that is read here, or so much that it is not looked through.
const NOT_LOOKED_THROUGH: [&str; 5] = ["hooks", "lfs", "logs", "modules", "worktrees"];

/// The first of git's files that git would wait for, if there is one.
pub(super) fn waits_for(folder: &Path) -> Option<PathBuf> {
    let folder = folder.canonicalize().ok()?;
    for at in folder.ancestors() {
        // git looks here whether the folder itself is a repository, before it refuses to take it for one.
        let itself = ["HEAD", "commondir"].map(|name| at.join(name));
        if let Some(found) = itself.into_iter().find(|path| is_special(path)) {
            return Some(found);
        }
        let own = at.join(".git");
        if own.is_dir() {
            return in_repository(&own);
        }
        if own.is_file() {
            return in_repository(&led_to(&own)?);
        }
    }
    None
}

/// The folder that a `.git` file leads to, or a `commondir` file.
fn led_to(file: &Path) -> Option<PathBuf> {
    let text = String::from_utf8(ordinary::read(file, 4096).ok()?).ok()?;
    let path = text.strip_prefix("gitdir:").unwrap_or(&text).trim();
    Some(file.parent()?.join(path))
}

fn in_repository(own: &Path) -> Option<PathBuf> {
    let common = own.join("commondir");
    let shared = if common.is_file() { led_to(&common) } else { None };
    in_folder(own).or_else(|| shared.and_then(|shared| in_folder(&shared)))
}

fn in_folder(own: &Path) -> Option<PathBuf> {
    let looked_at = |entry: &walkdir::DirEntry| {
        let name = entry.file_name().to_string_lossy();
        let objects = entry.depth() == 2 && name.len() == 2;
        entry.depth() == 0 || !(objects || entry.depth() == 1 && NOT_LOOKED_THROUGH.contains(&name.as_ref()))
    };
    let entries = walkdir::WalkDir::new(own).into_iter().filter_entry(looked_at).flatten();
    entries.map(walkdir::DirEntry::into_path).find(|path| is_special(path))
}

/// Whether a path leads to a pipe or a device: opening one may wait. A socket, such as a file monitor's, is not waited for:
/// it cannot be opened at all.
#[cfg(unix)]
fn is_special(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt;
    let kind = std::fs::metadata(path).map(|meta| meta.file_type());
    kind.is_ok_and(|kind| kind.is_fifo() || kind.is_char_device() || kind.is_block_device())
}

/// Whether a path leads to a pipe or a device: elsewhere than on Unix none stands in a folder.
#[cfg(not(unix))]
fn is_special(_: &Path) -> bool {
    false
}
