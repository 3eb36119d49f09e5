//! The shop lead who asks how something is written: the guide and its test are one text, `tests/notation/guide.md`.
//! `UPDATE_DOCS=1 cargo test --test notation` writes `docs/notation.md` anew.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use benchleaf::catalogue::{Catalogue, Field, builtin};
use benchleaf::quantity::{FieldSpec, Trouble, Value, read_value, write_value};
use benchleaf::text::{Folder, Memory, Source};
use benchleaf::{Checked, check_shop};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn text(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).expect("a file of the repository")
}

/// Reads what is written for a field of the catalogue.
fn read(field: &Field, written: &str) -> (Option<Value>, Vec<Trouble>) {
    let (kind, units, title) = (&field.kind, field.units.as_slice(), field.title.as_str());
    read_value(written, &FieldSpec { kind, units, title, example: "", bands: &[] })
}

/// The lines of a block, each what is written and what it is.
fn cases(block: &[&str]) -> Vec<(String, String)> {
    let two = |line: &&str| line.split_once(" | ").map(|(a, b)| (a.to_owned(), b.to_owned()));
    block.iter().map(|line| two(line).unwrap_or_else(|| panic!("`{line}` says what it is"))).collect()
}

fn taken(field: &Field, block: &[&str]) -> String {
    let mut out = "| Written | Read as | Is |\n|---|---|---|\n".to_owned();
    for (written, is) in cases(block) {
        let (value, troubles) = read(field, &written);
        let value = value.unwrap_or_else(|| panic!("`{written}` is read: {troubles:?}"));
        let canonical = write_value(&value);
        // What is read is read again as the same.
        assert_eq!(read(field, &canonical), (Some(value), Vec::new()), "{written}");
        out.push_str(&format!("| `{written}` | `{canonical}` | {is} |\n"));
    }
    out
}

fn refused(field: &Field, block: &[&str]) -> String {
    let mut out = "| Written | Why not | Said instead |\n|---|---|---|\n".to_owned();
    for (written, is) in cases(block) {
        let (_, troubles) = read(field, &written);
        let [trouble] = troubles.as_slice() else { panic!("`{written}` is refused once: {troubles:?}") };
        let instead = trouble.instead.replace('|', "\\|");
        out.push_str(&format!("| `{written}` | {is} (`{}`) | {instead} |\n", trouble.rule.code));
    }
    out
}

/// The small shop with lines of one file changed, and what is found in it that was not found before.
fn changed(file: &str, block: &[&str]) -> (Checked, BTreeSet<String>) {
    let shop = Folder { root: root().join("tests/shops/plain") };
    let (paths, _) = shop.list();
    let mut files: BTreeMap<String, Vec<u8>> =
        paths.into_iter().map(|path| (path.clone(), shop.read(&path).expect("a source"))).collect();
    let codes = |checked: &Checked| -> BTreeSet<String> {
        checked.findings.iter().map(|finding| finding.code().to_owned()).collect()
    };
    let before = codes(&check_shop(&Memory { files: files.clone() }));
    let text = String::from_utf8(files[file].clone()).expect("text");
    let with = |sign: &str| -> String {
        block.iter().filter_map(|line| line.strip_prefix(sign)).map(|line| format!("{line}\n")).collect()
    };
    let (old, new) = (with("- "), with("+ "));
    assert_eq!(text.matches(&old).count(), 1, "`{old}` stands once in {file}");
    files.insert(file.to_owned(), text.replace(&old, &new).into_bytes());
    let checked = check_shop(&Memory { files });
    let new = codes(&checked).difference(&before).cloned().collect();
    (checked, new)
}

fn in_record(file: &str, block: &[&str]) -> String {
    let (checked, new) = changed(file, block);
    let expected: BTreeSet<String> =
        block.iter().filter_map(|line| line.strip_prefix("? ")).map(str::to_owned).collect();
    assert_eq!(new, expected, "{block:#?}");
    let lines: Vec<String> =
        block.iter().filter_map(|line| line.strip_prefix("+ ")).map(without_figures).collect();
    let kind = if file.ends_with(".md") { "markdown" } else { "yaml" };
    let mut out = format!("```{kind}\n{}\n```\n", lines.join("\n"));
    for finding in checked.findings.iter().filter(|finding| expected.contains(finding.code())) {
        out.push_str(&format!(
            "\n`check` says: {} (`{}`).\n",
            without_figures(&finding.message),
            finding.code()
        ));
    }
    out
}

/// What a record says with `…` for each figure: an example that is pasted must be refused.
fn without_figures(line: &str) -> String {
    let mut out = String::new();
    let mut quoted = false;
    let mut word = String::new();
    let close = |word: &mut String, out: &mut String| {
        let figure = word.starts_with(|c: char| c.is_ascii_digit()) && !word.contains("..");
        let years = word.contains("..") && word.len() == 10;
        out.push_str(if figure || years { "…" } else { word });
        word.clear();
    };
    for letter in line.chars() {
        quoted ^= letter == '"';
        if quoted || letter.is_alphanumeric() || "._-".contains(letter) {
            word.push(letter);
        } else {
            close(&mut word, &mut out);
            out.push(letter);
        }
    }
    close(&mut word, &mut out);
    out
}

fn made(source: &str, catalogue: &Catalogue) -> String {
    let field = |key: &str| {
        let id = catalogue.find(key).unwrap_or_else(|| panic!("there is no field `{key}`"));
        catalogue.field(id)
    };
    let mut out = String::new();
    let mut lines = source.lines();
    while let Some(line) = lines.next() {
        let Some(head) = line.strip_prefix("```") else {
            out.push_str(line);
            out.push('\n');
            continue;
        };
        let block: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
        let (what, of) = head.split_once(' ').expect("what the block is, and of what");
        out.push_str(&match what {
            "cases" => taken(field(of), &block),
            "refused" => refused(field(of), &block),
            "record" => in_record(of, &block),
            _ => panic!("no block is called {what}"),
        });
    }
    out
}

#[test]
fn the_guide_to_the_notation_is_what_the_program_reads() {
    let guide = made(&text("tests/notation/guide.md"), &builtin().expect("the catalogue"));
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(root().join("docs/notation.md"), &guide).expect("written");
        return;
    }
    let there = text("docs/notation.md");
    let first = guide.lines().zip(there.lines()).find(|(made, there)| made != there);
    assert!(there == guide, "look at it, then `UPDATE_DOCS=1 cargo test --test notation`: {first:?}");
}
