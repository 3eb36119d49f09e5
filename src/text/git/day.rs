//! The day of a commit, and whether a folder still says what its last commit says.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::command::git;
use super::problem::GitProblem;
use super::tree::{self, Mode, TreeEntry};
use crate::date::{AsOf, Date};
use crate::text::files::{LARGEST, wanted};
use crate::text::open::read_inside;

/// The folders whose files decide whether a shop is as it was committed.
const COMPARED: [&str; 2] = ["specs", "procedures"];

/// The day that the shop in a folder is judged on: that of the last commit, where the folder's sources are kept
/// in git. Settled where nothing of them is changed or new since.
pub fn last_commit(folder: &Path) -> Option<AsOf> {
    let entries = tree::list(folder, "HEAD", &COMPARED).ok()?;
    if !entries.iter().any(|entry| entry.path.starts_with(b"specs/")) {
        return None;
    }
    let date = commit_day(folder, "HEAD")?;
    Some(AsOf { date, settled: is_settled(folder, &entries) })
}

/// The day of a commit, in the zone of whoever committed: the same for every reader.
pub(super) fn commit_day(folder: &Path, commit: &str) -> Option<Date> {
    let arguments = ["rev-list", "--no-walk", "--format=%cs", commit, "--"];
    let answer = git(folder, arguments, || GitProblem::NoRepository).ok()?;
    // The first line names the commit.
    Date::read(String::from_utf8(answer).ok()?.lines().nth(1)?.trim())
}

/// Whether the files of the folder are those of the commit. git's own answer would come from its file monitor, its
/// index and its filters, each of which may be a program of the repository's; so the contents are compared here.
/// Line ends that git changes on the way into the folder do not count.
fn is_settled(folder: &Path, entries: &[TreeEntry]) -> bool {
    let kept: Vec<&TreeEntry> =
        entries.iter().filter(|entry| std::str::from_utf8(&entry.path).is_ok_and(wanted)).collect();
    let Some(there) = files_of(folder) else { return false };
    let same_paths = kept.len() == there.len()
        && kept.iter().all(|entry| {
            let path = std::str::from_utf8(&entry.path).unwrap_or_default();
            there.get(path).is_some_and(|mode| *mode == entry.mode)
        });
    if !same_paths || kept.iter().any(|entry| entry.size.is_none_or(|size| size > LARGEST)) {
        return false;
    }
    let blobs: Vec<&str> = kept.iter().map(|entry| entry.blob.as_str()).collect();
    let mut same = true;
    let read = tree::read(folder, &blobs, |at, content| {
        let there = content_of(folder, kept[at]);
        same = content.is_ok_and(|content| there.is_some_and(|there| says_the_same(&content, &there)));
        same
    });
    read.is_ok() && same
}

/// The files and links below the folders that are compared. `None` where not all of them can be seen, or where
/// something else stands among them.
fn files_of(folder: &Path) -> Option<BTreeMap<String, Mode>> {
    let mut files = BTreeMap::new();
    for root in COMPARED {
        let top = folder.join(root);
        if std::fs::symlink_metadata(&top).is_err() {
            continue;
        }
        for entry in walkdir::WalkDir::new(top) {
            let entry = entry.ok()?;
            let inner = entry.path().strip_prefix(folder).ok()?;
            let parts: Option<Vec<&str>> = inner.components().map(|part| part.as_os_str().to_str()).collect();
            let path = parts?.join("/");
            let mode = if entry.path_is_symlink() { Mode::Link } else { Mode::File };
            if wanted(&path) && !entry.file_type().is_dir() {
                files.insert(path, mode);
            }
        }
    }
    Some(files)
}

/// What stands in the folder in an entry's place.
fn content_of(folder: &Path, entry: &TreeEntry) -> Option<Vec<u8>> {
    let path = std::str::from_utf8(&entry.path).ok()?;
    match entry.mode {
        Mode::File => read_inside(folder, path, LARGEST).ok(),
        Mode::Link => std::fs::read_link(folder.join(path)).ok().map(PathBuf::into_os_string).map(bytes),
        Mode::Repository => None,
    }
}

/// A path as git keeps it.
fn bytes(path: std::ffi::OsString) -> Vec<u8> {
    path.into_string()
        .map_or_else(|path| path.to_string_lossy().into_owned().into_bytes(), String::into_bytes)
}

/// Whether two texts are the same but for their line ends.
fn says_the_same(a: &[u8], b: &[u8]) -> bool {
    fn lines(text: &[u8]) -> impl Iterator<Item = &[u8]> {
        text.split(|byte| *byte == b'\n').map(|line| line.strip_suffix(b"\r").unwrap_or(line))
    }
    a == b || lines(a).eq(lines(b))
}
