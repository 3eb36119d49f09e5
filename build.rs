//! A fingerprint of the program's own sources: a site made by other code is never taken for up to date.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

fn files(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() { files(&path, out) } else { out.push(path) }
    }
}

fn main() {
    let mut all = Vec::new();
    for folder in ["src", "templates"] {
        println!("cargo::rerun-if-changed={folder}");
        files(Path::new(folder), &mut all);
    }
    all.sort();
    let mut hasher = DefaultHasher::new();
    for path in all {
        path.hash(&mut hasher);
        std::fs::read(&path).unwrap_or_default().hash(&mut hasher);
    }
    println!("cargo::rustc-env=BENCHLEAF_SOURCES={:016x}", hasher.finish());
}
