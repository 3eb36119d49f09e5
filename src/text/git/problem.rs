//! Why git gave nothing of a repository.

use std::fmt;
use std::path::PathBuf;

/// Why git gave nothing of a repository. Each is one sentence.
#[derive(Debug)]
pub enum GitProblem {
    /// The command is not there.
    NotInstalled,
    /// It could not be started.
    NotStarted(std::io::Error),
    /// It stopped while it was read from.
    Stopped(std::io::Error),
    /// It said nothing for so many seconds.
    SaidNothing(u64),
    /// Something stands in the place of one of git's files that is no file, and git would wait for it.
    Waits(PathBuf),
    /// It says more than is read.
    TooMuch,
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
            GitProblem::SaidNothing(seconds) => {
                write!(out, "git said nothing for {seconds} seconds: something in its folder makes it wait")
            }
            GitProblem::Waits(path) => write!(
                out,
                "`{}` is no ordinary file, and git would wait for it: put git's own file in its place",
                tame(&path.display().to_string())
            ),
            GitProblem::TooMuch => write!(out, "the revision holds more files than are read"),
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

/// A name without characters that would act on a terminal.
pub(super) fn tame(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}
