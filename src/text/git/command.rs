//! The git command, so that it starts no program that a repository names.

use std::ffi::OsStr;
use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use super::problem::GitProblem;
use super::running::{PATIENCE, Running};
use super::waits::waits_for;

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

/// The most that is read of what a git command prints, in bytes: twenty thousand files with four hundred for each.
const MOST: u64 = 8 << 20;

/// What a git command prints. `refused` is what it means that git said no.
pub(super) fn git<A: AsRef<OsStr>>(
    folder: &Path,
    arguments: impl IntoIterator<Item = A>,
    refused: impl FnOnce() -> GitProblem,
) -> Result<Vec<u8>, GitProblem> {
    if let Some(path) = waits_for(folder) {
        return Err(GitProblem::Waits(path));
    }
    answer(command(folder).args(arguments), PATIENCE, refused)
}

/// What a command prints, where it does not say nothing for longer than `patience`.
fn answer(
    command: &mut Command,
    patience: Duration,
    refused: impl FnOnce() -> GitProblem,
) -> Result<Vec<u8>, GitProblem> {
    let (running, _, mut output) = Running::start(command, patience)?;
    let mut said = Vec::new();
    let mut piece = vec![0; 1 << 16];
    let read = loop {
        match output.read(&mut piece) {
            Ok(0) => break Ok(()),
            Ok(length) => said.extend_from_slice(&piece[..length]),
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => continue,
            Err(error) => break Err(GitProblem::Stopped(error)),
        }
        if said.len() as u64 > MOST {
            break Err(GitProblem::TooMuch);
        }
        running.progress();
    };
    if read.is_err() {
        running.enough();
    }
    let ended = running.end()?;
    read?;
    if ended.gave_up {
        Err(GitProblem::SaidNothing(patience.as_secs()))
    } else if ended.success {
        Ok(said)
    } else if ended.complaint.contains("dubious ownership") {
        Err(GitProblem::NotTrusted)
    } else {
        Err(refused())
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    /// A program that says nothing and does not end, as git does before a pipe. Not timed: a test that waits for ever
    /// has failed.
    #[test]
    fn a_command_that_says_nothing_is_ended() {
        let mut silent = Command::new("sleep");
        silent.arg("1000000");
        let problem =
            answer(&mut silent, Duration::from_millis(50), || GitProblem::NoRepository).unwrap_err();
        assert!(matches!(problem, GitProblem::SaidNothing(_)), "{problem}");
        // It has said all, and stays.
        let mut stays = Command::new("sh");
        stays.args(["-c", "echo all; exec >&-; exec sleep 1000000"]);
        let problem =
            answer(&mut stays, Duration::from_millis(200), || GitProblem::NoRepository).unwrap_err();
        assert!(matches!(problem, GitProblem::SaidNothing(_)), "{problem}");
    }

    #[test]
    fn a_command_that_goes_on_for_ever_is_ended_and_one_that_ends_is_heard() {
        let problem = answer(&mut Command::new("yes"), PATIENCE, || GitProblem::NoRepository).unwrap_err();
        assert!(matches!(problem, GitProblem::TooMuch), "{problem}");
        let mut speaks = Command::new("sh");
        speaks.args(["-c", "head -c 300000 /dev/zero >&2; echo said"]);
        assert_eq!(answer(&mut speaks, PATIENCE, || GitProblem::NoRepository).unwrap(), b"said\n");
        let problem = answer(&mut Command::new("false"), PATIENCE, || GitProblem::NotListed).unwrap_err();
        assert!(matches!(problem, GitProblem::NotListed), "{problem}");
    }
}
