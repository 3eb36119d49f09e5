//! Shops on disk, and the program run in them.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// What the program said.
#[derive(Debug)]
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Ran {
        Ran {
            code: output.status.code().unwrap(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

/// The program, to be run in a folder.
pub fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_benchleaf"));
    command.current_dir(folder).env("NO_COLOR", "1");
    command
}

/// Runs the program in a folder.
pub fn run(folder: &Path, arguments: &[&str]) -> Ran {
    program(folder).args(arguments).output().unwrap().into()
}

/// Copies the clean small shop `tests/shops/plain` into a folder.
pub fn copy_shop(to: &Path) {
    copy(&PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/shops/plain"), to);
}

/// Copies a folder.
pub fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// Replaces a text that must stand exactly once in a file.
pub fn edit(folder: &Path, path: &str, old: &str, new: &str) {
    let full = folder.join(path);
    let text = std::fs::read_to_string(&full).unwrap();
    assert_eq!(text.matches(old).count(), 1, "`{old}` must stand once in {path}");
    std::fs::write(full, text.replace(old, new)).unwrap();
}

/// A repository with a name and an address of its own, so that no setting of this machine takes part.
pub fn git(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new("git")
        .arg("-C")
        .arg(folder)
        .args(["-c", "user.name=Wren", "-c", "user.email=wren@example.invalid", "-c", "commit.gpgsign=false"])
        .args([
            "-c",
            "core.autocrlf=false",
            "-c",
            "init.defaultBranch=main",
            "-c",
            "protocol.file.allow=always",
        ])
        .args(arguments)
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_AUTHOR_DATE", "2025-03-01T12:00:00Z")
        .env("GIT_COMMITTER_DATE", "2025-03-01T12:00:00Z")
        .output()
        .unwrap();
    assert!(output.status.success(), "git {arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// Commits everything in a folder.
pub fn commit(folder: &Path, message: &str) {
    git(folder, &["add", "-A"]);
    git(folder, &["commit", "-q", "-m", message]);
}
