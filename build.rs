//! Before the program is built: a fingerprint of its own sources, so that a site made by other code is never
//! taken for up to date; a list of the rules' pages, so that a page in `src/check/rules` is built in without being
//! named elsewhere; and the names of the catalogue as Rust.

#[path = "build/catalogue.rs"]
mod catalogue;

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
    catalogue::write(Path::new(&out))?;
    list_pages(&all, Path::new(&out))
}

/// Writes the pages' codes and texts as a Rust list.
fn list_pages(all: &[PathBuf], out: &Path) -> io::Result<()> {
    let pages = all.iter().filter(|path| path.parent() == Some(Path::new("src/check/rules")));
    let names = pages.filter_map(|path| path.file_name()?.to_str()?.strip_suffix(".md"));
    let mut codes: Vec<&str> = names.filter(|code| *code != "README").collect();
    codes.sort_unstable();
    let one = |code: &&str| {
        let path = format!("concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/src/check/rules/{code}.md\")");
        format!("    ({code:?}, include_str!({path})),\n")
    };
    let list: String = codes.iter().map(one).collect();
    fs::write(out.join("rule_pages.rs"), format!("&[\n{list}]\n"))
}
