//! A shop as it is in a revision of its git repository.

use std::collections::BTreeMap;
use std::path::Path;

use super::command::git;
use super::day::commit_day;
use super::problem::{GitProblem, tame};
use super::tree::{self, Mode, TreeEntry, too_long};
use crate::date::AsOf;
use crate::text::files::{LARGEST, LARGEST_SHOP, MOST_FILES, ROOTS, ReadProblem, Source, wanted};

/// A shop in a git revision: all its sources, read when it was opened.
#[derive(Debug, Clone)]
pub struct Revision {
    /// The commit's full name.
    pub commit: String,
    /// The commit's day; what is in a commit is settled.
    pub day: Option<AsOf>,
    files: BTreeMap<String, Result<Vec<u8>, String>>,
    problems: Vec<ReadProblem>,
}

/// A file to be read.
struct Blob {
    path: String,
    name: String,
}

impl Revision {
    /// Opens the shop kept in `folder` of a work tree as it was in `revision`: a commit, a branch, a tag or
    /// anything else git takes for a single commit.
    ///
    /// # Errors
    /// One sentence: git is not installed, the folder is in no repository, the revision is unknown.
    pub fn open(folder: &Path, revision: &str) -> Result<Revision, GitProblem> {
        let prefix = git(folder, ["rev-parse", "--show-prefix"], || GitProblem::NoRepository)?;
        String::from_utf8(prefix).map_err(|_| GitProblem::FolderName)?;
        let commit = resolve(folder, revision)?;
        let day = commit_day(folder, &commit).map(|date| AsOf { date, settled: true });
        let mut out = Revision { commit, day, files: BTreeMap::new(), problems: Vec::new() };
        let blobs = out.list_blobs(folder)?;
        out.read_blobs(folder, &blobs)?;
        out.problems.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(out)
    }

    /// Which files are to be read; what cannot be read is told at once.
    fn list_blobs(&mut self, folder: &Path) -> Result<Vec<Blob>, GitProblem> {
        let mut blobs = Vec::new();
        let mut left = LARGEST_SHOP;
        for entry in tree::list(folder, &self.commit, &ROOTS)? {
            let path = String::from_utf8_lossy(&entry.path).into_owned();
            if let Some(message) = refused(&entry, &path) {
                self.problems.push(ReadProblem { path: tame(&path), message: message.to_owned() });
            } else if !wanted(&path) {
                continue;
            } else if entry.size.is_some_and(|size| size > LARGEST) {
                self.files.insert(path, Err(too_long()));
            } else if blobs.len() == MOST_FILES || left < entry.size.unwrap_or(LARGEST) {
                self.problems.push(ReadProblem::too_much());
                break;
            } else {
                left -= entry.size.unwrap_or(LARGEST);
                blobs.push(Blob { path, name: entry.blob });
            }
        }
        Ok(blobs)
    }

    fn read_blobs(&mut self, folder: &Path, blobs: &[Blob]) -> Result<(), GitProblem> {
        let names: Vec<&str> = blobs.iter().map(|blob| blob.name.as_str()).collect();
        tree::read(folder, &names, |at, content| {
            self.files.insert(blobs[at].path.clone(), content);
            true
        })
    }
}

/// Why an entry is never read, whatever it holds.
fn refused(entry: &TreeEntry, path: &str) -> Option<&'static str> {
    if std::str::from_utf8(&entry.path).is_err() {
        return Some("its name is not readable text (UTF-8)");
    }
    if path != tame(path) || path.split('/').any(|part| matches!(part, "" | "." | "..")) {
        return Some("its name is not one a file of a shop can have");
    }
    match entry.mode {
        _ if !wanted(path) => None,
        Mode::Link => Some("it is a link, which is not followed in a revision"),
        Mode::Repository => Some("it is another repository, which is not read"),
        Mode::File => None,
    }
}

impl Source for Revision {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        (self.files.keys().cloned().collect(), self.problems.clone())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        let problem = |message: String| ReadProblem { path: path.to_owned(), message };
        match self.files.get(path) {
            Some(Ok(bytes)) => Ok(bytes.clone()),
            Some(Err(message)) => Err(problem(message.clone())),
            None => Err(problem("it is not there".to_owned())),
        }
    }
}

/// The full name of a revision's commit.
fn resolve(folder: &Path, revision: &str) -> Result<String, GitProblem> {
    let odd = revision.is_empty() || revision.starts_with('-') || revision.chars().any(char::is_control);
    if odd {
        return Err(GitProblem::NoName(revision.to_owned()));
    }
    let commit = format!("{revision}^{{commit}}");
    let name = git(folder, ["rev-parse", "--verify", "--quiet", "--end-of-options", &commit], || {
        GitProblem::NoRevision(revision.to_owned(), is_shallow(folder))
    })?;
    let name = String::from_utf8_lossy(&name).trim().to_owned();
    let plain = name.len() >= 40 && name.bytes().all(|byte| byte.is_ascii_hexdigit());
    if plain { Ok(name) } else { Err(GitProblem::NotOneRevision(revision.to_owned())) }
}

/// Whether the clone is without the whole history.
fn is_shallow(folder: &Path) -> bool {
    let answer = git(folder, ["rev-parse", "--is-shallow-repository"], || GitProblem::NoRepository);
    answer.is_ok_and(|answer| answer.starts_with(b"true"))
}
