//! The rules as Rust, one for each page in `src/check/rules`.
//!
//! A page's head declares its rule, so that a finding is made from a rule that has a page, or does not compile.

use std::path::{Path, PathBuf};
use std::{fs, io};

/// Writes every rule as a Rust value, and the list of them all, sorted by code.
pub fn write(all: &[PathBuf], out: &Path) -> io::Result<()> {
    let pages = all.iter().filter(|path| path.parent() == Some(Path::new("src/check/rules")));
    let mut pages: Vec<(&str, &PathBuf)> = pages
        .filter_map(|path| Some((path.file_name()?.to_str()?.strip_suffix(".md")?, path)))
        .filter(|(code, _)| *code != "README")
        .collect();
    pages.sort_unstable();
    let mut rules = String::new();
    for (code, path) in &pages {
        let rule = declare(code, &fs::read_to_string(path)?);
        rules += &rule.map_err(|why| io::Error::other(format!("{}: {why}", path.display())))?;
    }
    let names: String = pages.iter().map(|(code, _)| format!("&{}, ", constant(code))).collect();
    rules += &format!("/// Every rule, sorted by code.\npub static ALL: &[&Rule] = &[{names}];\n");
    fs::write(out.join("rules.rs"), rules)
}

/// The name of a rule's value: `OUTSIDE_BAND` for `outside-band`.
fn constant(code: &str) -> String {
    code.replace('-', "_").to_uppercase()
}

/// A rule as Rust, from its page. What the head says of it is no text for readers, except the severity
/// and the names it had before.
fn declare(code: &str, page: &str) -> Result<String, String> {
    let page = page.split("\n## Examples").next().unwrap_or(page).trim_end();
    let (head, body) = page.split_once("\n\n").ok_or("a page is a head, an empty line and its sections")?;
    let mut lines = head.lines();
    if lines.next() != Some(&format!("# {code}")) {
        return Err(format!("a page begins with `# ` and its file's name: `# {code}`"));
    }
    let (mut severity, mut called, mut former) = (None, None, Vec::new());
    let (mut acceptable, mut of_the_number) = (false, true);
    for line in lines {
        match line.split_once(": ") {
            Some(("Severity", words)) => severity = Some(words),
            Some(("Accept", "yes")) => acceptable = true,
            Some(("Number in doubt", "no")) => of_the_number = false,
            Some(("Called", words)) => called = Some(words),
            Some(("Called before", codes)) => former = codes.split(", ").collect(),
            _ => return Err(format!("`{line}` is not known in a page's head")),
        }
    }
    let severity = severity.ok_or("a page's head says `Severity: `")?;
    let words: Vec<&str> = severity.split(" or ").collect();
    if acceptable && of_the_number && words.contains(&"warning") && !words.contains(&"error") {
        return Err(
            "what may be let stand is an error where the number can hurt: `Severity: warning or error`"
                .to_owned(),
        );
    }
    let mut severities = String::new();
    for word in words {
        severities += match word {
            "error" => "Severity::Error, ",
            "warning" => "Severity::Warning, ",
            "note" => "Severity::Note, ",
            other => return Err(format!("`{other}` is no severity")),
        };
    }
    let finds = body.strip_prefix("## What it finds\n").ok_or("the first section is `## What it finds`")?;
    let finds = finds.split("\n## ").next().unwrap_or(finds).trim();
    let title = finds.split_inclusive(". ").next().unwrap_or(finds).trim_end();
    let before =
        if former.is_empty() { String::new() } else { format!("\nCalled before: {}", former.join(", ")) };
    let page = format!("# {code}\nSeverity: {severity}{before}\n\n{body}");
    Ok(format!(
        "#[doc = {title:?}]\npub static {}: Rule = Rule {{ code: {code:?}, title: {title:?}, \
         severities: &[{severities}], acceptable: {acceptable}, of_the_number: {of_the_number}, \
         called: {called:?}, former: &{former:?}, page: {page:?} }};\n",
        constant(code)
    ))
}
