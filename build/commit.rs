//! The commit the program was built from, for `--version` alone: it stands in no page and goes into no digest.
//!
//! Only a release build knows it: a debug build would be made anew with every commit.

use std::env;
use std::process::Command;

/// Hands the commit over; `unknown` outside git.
pub fn tell() {
    let release = env::var("PROFILE").is_ok_and(|profile| profile == "release");
    let commit = release.then(ask).flatten().unwrap_or_else(|| "unknown".to_owned());
    println!("cargo::rustc-env=BENCHLEAF_COMMIT={commit}");
}

fn ask() -> Option<String> {
    let git = |arguments: &[&str]| {
        let done = Command::new("git").args(arguments).output().ok().filter(|done| done.status.success())?;
        Some(String::from_utf8(done.stdout).ok()?.trim().to_owned())
    };
    // A folder of another repository, such as one that holds downloads, is not where the program comes from.
    git(&["ls-files", "--error-unmatch", "build/commit.rs"])?;
    for name in ["HEAD", "logs/HEAD"] {
        let path = git(&["rev-parse", "--git-path", name])?;
        if std::path::Path::new(&path).exists() {
            println!("cargo::rerun-if-changed={path}");
        }
    }
    let changed = git(&["status", "--porcelain", "--untracked-files=no"])?;
    let mark = if changed.is_empty() { "" } else { ", changed" };
    Some(format!("{}{mark}", git(&["rev-parse", "--short=12", "HEAD"])?))
}
