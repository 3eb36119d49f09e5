//! Shops on disk, and the program run in them.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// The built program.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_benchleaf");

/// A file or folder of this repository.
pub fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// Copies a file, or a folder with all that is in it.
pub fn copy(from: &Path, to: &Path) {
    if from.is_file() {
        std::fs::copy(from, to).expect("a copy");
        return;
    }
    for entry in walkdir::WalkDir::new(from) {
        let entry = entry.expect("a folder to copy");
        let target = to.join(entry.path().strip_prefix(from).expect("inside"));
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(&target).expect("a folder");
        } else {
            std::fs::copy(entry.path(), &target).expect("a copy");
        }
    }
}

/// Writes a file and the folders it is in.
pub fn write(path: &Path, bytes: impl AsRef<[u8]>) {
    std::fs::create_dir_all(path.parent().expect("a folder")).expect("folders");
    std::fs::write(path, bytes).expect("written");
}

/// Runs the program in a folder. It must end by itself, and without a panic.
pub fn run(folder: &Path, arguments: &[&str]) -> Output {
    let output = Command::new(PROGRAM)
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .output()
        .expect("the program runs");
    let errors = text(&output.stderr);
    assert!(!errors.contains("panicked"), "{arguments:?}: {errors}");
    assert!(output.status.code().is_some(), "{arguments:?} was killed: {:?}", output.status);
    output
}

/// Bytes that must be text.
pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// git, with no setting of this machine; `program` is its exit status and output whatever it says.
pub fn git_says(folder: &Path, arguments: &[&str]) -> Output {
    Command::new("git")
        .arg("-C")
        .arg(folder)
        .args(["-c", "user.name=Wren", "-c", "user.email=wren@example.invalid"])
        .args(arguments)
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_AUTHOR_DATE", "2026-11-27T12:00:00Z")
        .env("GIT_COMMITTER_DATE", "2026-11-27T12:00:00Z")
        .stdin(Stdio::null())
        .output()
        .expect("git is installed")
}

/// git, which must succeed.
pub fn git(folder: &Path, arguments: &[&str]) -> String {
    let output = git_says(folder, arguments);
    assert!(output.status.success(), "git {arguments:?}: {}", text(&output.stderr));
    text(&output.stdout)
}
