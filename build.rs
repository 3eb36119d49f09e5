//! Lists the rules' pages, so that a page in `src/check/rules` is built in without being named elsewhere.

use std::path::Path;
use std::{env, fs, io};

fn main() -> io::Result<()> {
    println!("cargo:rerun-if-changed=src/check/rules");
    let mut codes = Vec::new();
    for entry in fs::read_dir("src/check/rules")? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        codes.extend(name.strip_suffix(".md").filter(|code| *code != "README").map(str::to_owned));
    }
    codes.sort();
    let one = |code: &String| {
        format!(
            "    ({code:?}, include_str!(concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/src/check/rules/{code}.md\"))),\n"
        )
    };
    let list: String = codes.iter().map(one).collect();
    let out = env::var_os("OUT_DIR").ok_or_else(|| io::Error::other("OUT_DIR is not set"))?;
    fs::write(Path::new(&out).join("rule_pages.rs"), format!("&[\n{list}]\n"))
}
