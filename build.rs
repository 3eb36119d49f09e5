//! Before the program is built: a fingerprint of its own sources, so that a site made by other code is never
//! taken for up to date; the rules, as their pages declare them; the built-in templates;
//! and the names of the catalogue as Rust.

#[path = "build/catalogue.rs"]
mod catalogue;
#[path = "build/commit.rs"]
mod commit;
#[path = "build/library.rs"]
mod library;
#[path = "build/rules.rs"]
mod rules;
#[path = "build/sizes.rs"]
mod sizes;
#[path = "build/templates.rs"]
mod templates;

use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn files(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() { files(&path, out) } else { out.push(path) }
    }
}

fn main() -> io::Result<()> {
    let mut all = Vec::new();
    for folder in ["src", "templates"] {
        println!("cargo::rerun-if-changed={folder}");
        files(Path::new(folder), &mut all);
    }
    all.sort();
    let mut hasher = DefaultHasher::new();
    for path in &all {
        path.hash(&mut hasher);
        fs::read(path).unwrap_or_default().hash(&mut hasher);
    }
    println!("cargo::rustc-env=BENCHLEAF_SOURCES={:016x}", hasher.finish());
    let out = env::var_os("OUT_DIR").ok_or_else(|| io::Error::other("OUT_DIR is not set"))?;
    library::write(Path::new(&out))?;
    commit::tell();
    catalogue::write(Path::new(&out))?;
    templates::write(&all, Path::new(&out))?;
    sizes::write(Path::new("templates/card.css"), Path::new(&out))?;
    rules::write(&all, Path::new(&out))
}
