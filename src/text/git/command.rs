//! The git command, so that it starts no program that a repository names.

use std::ffi::OsStr;
use std::fmt;
use std::path::Path;
use std::process::{Command, Stdio};

/// Settings that win over the repository's: no file monitor, no hook, and no repository that is merely a folder among
/// the tracked files.
const SETTINGS: [&str; 4] = [
    "core.fsmonitor=false",
    "core.hooksPath=/dev/null",
    "safe.bareRepository=explicit",
    "core.quotePath=false",
];

/// Variables that say to git: ask nobody, take no lock, fetch nothing over any protocol, take every object for itself.
const VARIABLES: [(&str, &str); 6] = [
    ("LC_ALL", "C"),
    ("GIT_TERMINAL_PROMPT", "0"),
    ("GIT_OPTIONAL_LOCKS", "0"),
    ("GIT_NO_LAZY_FETCH", "1"),
    ("GIT_ALLOW_PROTOCOL", ""),
    ("GIT_NO_REPLACE_OBJECTS", "1"),
];

/// Variables that a hook we may run in has set for its own repository.
const OF_A_HOOK: [&str; 15] = [
    "GIT_DIR",
    "GIT_COMMON_DIR",
    "GIT_WORK_TREE",
    "GIT_IMPLICIT_WORK_TREE",
    "GIT_INDEX_FILE",
    "GIT_PREFIX",
    "GIT_OBJECT_DIRECTORY",
    "GIT_ALTERNATE_OBJECT_DIRECTORIES",
    "GIT_GRAFT_FILE",
    "GIT_SHALLOW_FILE",
    "GIT_NAMESPACE",
    "GIT_LITERAL_PATHSPECS",
    "GIT_GLOB_PATHSPECS",
    "GIT_NOGLOB_PATHSPECS",
    "GIT_ICASE_PATHSPECS",
];

/// Why git gave nothing of a repository. Each is one sentence.
#[derive(Debug)]
pub enum GitProblem {
    /// The command is not there.
    NotInstalled,
    /// It could not be started.
    NotStarted(std::io::Error),
    /// It stopped while it was read from.
    Stopped(std::io::Error),
    /// The repository belongs to someone else, and git does not trust it.
    NotTrusted,
    /// The folder is in no repository.
    NoRepository,
    /// The shop's folder has a name that is no text.
    FolderName,
    /// What was asked for cannot be the name of a revision.
    NoName(String),
    /// There is no such revision; whether the clone is without the whole history.
    NoRevision(String, bool),
    /// The name stands for more than one commit.
    NotOneRevision(String),
    /// The revision's files could not be listed.
    NotListed,
}

impl fmt::Display for GitProblem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            GitProblem::NotInstalled => {
                write!(out, "git is not installed, and without it no revision can be read")
            }
            GitProblem::NotStarted(error) => write!(out, "git cannot be started: {error}"),
            GitProblem::Stopped(error) => write!(out, "git stopped while it was read from: {error}"),
            GitProblem::NotTrusted => {
                write!(out, "git does not trust this repository, which belongs to someone else")
            }
            GitProblem::NoRepository => write!(out, "the folder is in no git repository"),
            GitProblem::FolderName => write!(out, "the shop's folder has a name that is not UTF-8 text"),
            GitProblem::NoName(name) => write!(out, "`{}` is not the name of a revision", tame(name)),
            GitProblem::NoRevision(name, shallow) => {
                write!(out, "there is no revision `{name}` here")?;
                if *shallow {
                    write!(out, "; this clone does not hold the whole history, so fetch more of it")?;
                }
                Ok(())
            }
            GitProblem::NotOneRevision(name) => write!(out, "`{name}` is not a single revision"),
            GitProblem::NotListed => write!(out, "git cannot list the revision"),
        }
    }
}

impl std::error::Error for GitProblem {}

impl GitProblem {
    /// Why the command did not start.
    pub(super) fn start(error: std::io::Error) -> Self {
        if error.kind() == std::io::ErrorKind::NotFound {
            GitProblem::NotInstalled
        } else {
            GitProblem::NotStarted(error)
        }
    }
}

/// The git command, to be run in a folder.
pub(super) fn command(folder: &Path) -> Command {
    let mut command = Command::new("git");
    command.arg("-C").arg(folder).args(["--no-pager", "--literal-pathspecs"]);
    for setting in SETTINGS {
        command.args(["-c", setting]);
    }
    for name in OF_A_HOOK {
        command.env_remove(name);
    }
    command.envs(VARIABLES).stdin(Stdio::null());
    command
}

/// What a git command prints. `refused` is what it means that git said no.
pub(super) fn git<A: AsRef<OsStr>>(
    folder: &Path,
    arguments: impl IntoIterator<Item = A>,
    refused: impl FnOnce() -> GitProblem,
) -> Result<Vec<u8>, GitProblem> {
    let output = command(folder).args(arguments).output().map_err(GitProblem::start)?;
    if output.status.success() {
        return Ok(output.stdout);
    }
    let dubious = String::from_utf8_lossy(&output.stderr).contains("dubious ownership");
    Err(if dubious { GitProblem::NotTrusted } else { refused() })
}

/// A name without characters that would act on a terminal.
pub(super) fn tame(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}
