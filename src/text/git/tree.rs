//! The files of a commit: listed, and their contents read through one process.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::Stdio;

use super::super::files::LARGEST;
use super::command::{command, git};
use super::problem::GitProblem;
use super::running::{PATIENCE, Running};
use super::waits::waits_for;

/// What an entry of a tree is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mode {
    /// An ordinary file.
    File,
    /// A link, whose content is the path it leads to.
    Link,
    /// A commit of another repository.
    Repository,
}

/// One entry of a commit's tree.
#[derive(Debug, Clone)]
pub(super) struct TreeEntry {
    /// Its path as git keeps it, below the folder that was asked in.
    pub(super) path: Vec<u8>,
    /// What it is.
    pub(super) mode: Mode,
    /// The name of its content.
    pub(super) blob: String,
    /// Its length in bytes, where this clone holds it.
    pub(super) size: Option<u64>,
}

/// Lists the entries of a commit below some folders of the shop's folder.
pub(super) fn list(folder: &Path, commit: &str, roots: &[&str]) -> Result<Vec<TreeEntry>, GitProblem> {
    let mut arguments = vec!["ls-tree", "-r", "-z", "-l", commit, "--"];
    arguments.extend(roots);
    let listing = git(folder, arguments, || GitProblem::NotListed)?;
    Ok(listing.split(|byte| *byte == 0).filter_map(entry).collect())
}

/// One line of `ls-tree -l`: mode, kind, name, size, a tab, the path.
fn entry(line: &[u8]) -> Option<TreeEntry> {
    let tab = line.iter().position(|byte| *byte == b'\t')?;
    let head = String::from_utf8_lossy(&line[..tab]).into_owned();
    let mut head = head.split_ascii_whitespace();
    let (mode, _, blob) = (head.next()?, head.next()?, head.next()?);
    let mode = match mode {
        "120000" => Mode::Link,
        "160000" => Mode::Repository,
        _ => Mode::File,
    };
    let size = head.next().and_then(|size| size.parse().ok());
    Some(TreeEntry { path: line[tab + 1..].to_vec(), mode, blob: blob.to_owned(), size })
}

/// Hands the content of each blob to `take`, with its place in the list, until `take` says that it has enough.
/// Instead of the content, one sentence where it cannot be had.
pub(super) fn read(
    folder: &Path,
    blobs: &[&str],
    mut take: impl FnMut(usize, Result<Vec<u8>, String>) -> bool,
) -> Result<(), GitProblem> {
    if let Some(path) = waits_for(folder) {
        return Err(GitProblem::Waits(path));
    }
    let mut command = command(folder);
    command.args(["cat-file", "--batch"]).stdin(Stdio::piped());
    let (running, input, output) = Running::start(&mut command, PATIENCE)?;
    let read = std::thread::scope(|scope| {
        // Asking and reading go on side by side, or both pipes fill and neither side moves.
        scope.spawn(move || {
            let Some(mut input) = input else { return };
            for blob in blobs {
                if writeln!(input, "{blob}").is_err() {
                    break;
                }
            }
        });
        let mut output = BufReader::new(output);
        let read = (0..blobs.len()).try_for_each(|at| match one_blob(&mut output) {
            Ok(content) => {
                running.progress();
                take(at, content).then_some(()).ok_or(None)
            }
            Err(error) => Err(Some(error)),
        });
        if read.is_err() {
            // It may wait for us for ever.
            running.enough();
        }
        read
    });
    let ended = running.end()?;
    match read {
        Ok(()) | Err(None) => Ok(()),
        Err(Some(_)) if ended.gave_up => Err(GitProblem::SaidNothing(PATIENCE.as_secs())),
        Err(Some(error)) => Err(GitProblem::Stopped(error)),
    }
}

/// One answer of `cat-file --batch`: a head line, so many bytes, a line feed.
fn one_blob(output: &mut impl BufRead) -> std::io::Result<Result<Vec<u8>, String>> {
    let mut head = Vec::new();
    output.take(4096).read_until(b'\n', &mut head)?;
    let head = String::from_utf8_lossy(&head).into_owned();
    let mut words = head.split_ascii_whitespace().skip(1);
    match (words.next(), words.next().and_then(|size| size.parse::<u64>().ok())) {
        (Some("blob"), Some(size)) => {
            let mut bytes = Vec::new();
            let long = size > LARGEST;
            let read = if long {
                std::io::copy(&mut output.take(size), &mut std::io::sink())?
            } else {
                output.take(size).read_to_end(&mut bytes)? as u64
            };
            if read < size {
                return Err(std::io::ErrorKind::UnexpectedEof.into());
            }
            let mut end = [0];
            output.read_exact(&mut end)?;
            Ok(if long { Err(too_long()) } else { Ok(bytes) })
        }
        (Some("missing"), _) => Ok(Err("this clone does not hold its content".to_owned())),
        _ => Err(std::io::Error::other("an answer that is not understood")),
    }
}

/// That a file is longer than what is read.
pub(super) fn too_long() -> String {
    format!("it is longer than {LARGEST} bytes, and no more are read")
}
