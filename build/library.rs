//! The library that a new shop begins with, as a Rust list: the repository's own procedures, cautions, conditions,
//! services, complaints and tools, and the demo's records for whoever asks for them.
//!
//! Only a release build holds the texts. A debug build reads them from the repository when it is asked for them, so
//! that whoever edits a record there does not wait for the program to be built again.

use std::path::{Path, PathBuf};
use std::{env, fs, io};

/// The folders and files that go along.
const SOURCES: [&str; 6] =
    ["procedures", "specs/tools", "specs/forks", "specs/families", "specs/oils", "specs/shop.yaml"];

/// Writes the list of paths and texts; an empty one for a debug build.
pub fn write(out: &Path) -> io::Result<()> {
    let mut entries = String::new();
    if env::var("PROFILE").is_ok_and(|profile| profile == "release") {
        let mut paths = Vec::new();
        for source in SOURCES {
            println!("cargo::rerun-if-changed={source}");
            let source = PathBuf::from(source);
            if source.is_dir() { super::files(&source, &mut paths) } else { paths.push(source) }
        }
        paths.sort();
        for path in paths {
            let Some(path) = path.to_str().map(|path| path.replace('\\', "/")) else { continue };
            let hidden = path.split('/').any(|part| part.starts_with('.'));
            if !hidden && (path.ends_with(".md") || path.ends_with(".yaml")) {
                let text = format!("concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/{path}\")");
                entries.push_str(&format!("    (\"{path}\", include_str!({text})),\n"));
            }
        }
    }
    fs::write(out.join("library.rs"), format!("&[\n{entries}]\n"))
}
