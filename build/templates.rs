//! The built-in templates and assets as Rust lists, so that a file in `templates` is built in without being named
//! elsewhere.

use std::path::{Path, PathBuf};
use std::{fs, io};

/// Writes the lists: names and texts, templates by the name a shop's own file may extend them by.
pub fn write(all: &[PathBuf], out: &Path) -> io::Result<()> {
    let names = all.iter().filter(|path| path.parent() == Some(Path::new("templates")));
    let (templates, assets): (Vec<&str>, Vec<&str>) =
        names.filter_map(|path| path.file_name()?.to_str()).partition(|name| name.ends_with(".html"));
    fs::write(out.join("templates.rs"), list("builtin/", &templates))?;
    fs::write(out.join("assets.rs"), list("", &assets))
}

fn list(before: &str, names: &[&str]) -> String {
    let entry = |name: &&str| {
        let path = format!("concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/templates/{name}\")");
        format!("    (\"{before}{name}\", include_str!({path})),\n")
    };
    format!("&[\n{}]\n", names.iter().map(entry).collect::<String>())
}
