//! Every command over a shop of hostile texts: what comes out is read back by its own parser, and is what it was.

use std::path::Path;

use pulldown_cmark::{Event, Parser, Tag};
use serde_json::Value;

use crate::attack::{WORDS, attack};
use crate::support::{git, run, text, write};

fn said(shop: &Path, arguments: &[&str]) -> String {
    text(&run(shop, arguments).stdout)
}

fn json(shop: &Path, arguments: &[&str]) -> Value {
    let said = said(shop, arguments);
    serde_json::from_str(&said).unwrap_or_else(|error| panic!("{arguments:?}: {error}: {said}"))
}

/// The rows of a table as RFC 4180 writes it.
fn rows(csv: &str) -> Vec<Vec<String>> {
    let (mut rows, mut row, mut cell, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut letters = csv.chars().peekable();
    while let Some(c) = letters.next() {
        match c {
            '"' if quoted && letters.peek() == Some(&'"') => cell.extend(letters.next()),
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(std::mem::take(&mut cell)),
            '\r' if !quoted && letters.peek() == Some(&'\n') => {
                letters.next();
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            c => cell.push(c),
        }
    }
    assert!(!quoted && cell.is_empty() && row.is_empty(), "the table ends in the middle of a cell");
    rows
}

fn is_plain(said: &str) {
    for line in said.lines() {
        assert!(
            !line.trim_start().starts_with("::") && !line.contains("##["),
            "a line steers a runner: {line}"
        );
    }
}

// A test for each kind of words, so that they run beside each other.
#[test]
fn with_markup_every_format_of_every_command_is_read_back_by_its_own_parser() {
    read_back(WORDS[0]);
}

#[test]
fn with_marks_every_format_of_every_command_is_read_back_by_its_own_parser() {
    read_back(WORDS[1]);
}

#[test]
fn with_line_ends_every_format_of_every_command_is_read_back_by_its_own_parser() {
    let [_, _, lines] = WORDS;
    read_back(lines);
}

fn read_back((name, words): (&str, &str)) {
    let attack = attack(words);
    let mut places = attack.places.clone();
    places.sort();
    places.dedup();
    // So many kinds of text there were when this was written; fewer means that they are not found any more.
    let least = if name == "lines" { 15 } else { 25 };
    assert!(places.len() >= least, "{name}: {places:#?}");
    let folder = tempfile::tempdir().expect("a folder");
    let shop = folder.path();
    crate::attack::demo().iter().for_each(|(path, bytes)| write(&shop.join(path), bytes));
    git(shop, &["init", "-q"]);
    git(shop, &["add", "-A"]);
    git(shop, &["commit", "-q", "-m", "clean"]);
    attack.files.iter().for_each(|(path, bytes)| write(&shop.join(path), bytes));

    // A card may be too small for texts this long, which is said; nothing else is wrong.
    for finding in json(shop, &["check", "--format", "json"])["findings"].as_array().expect("a list") {
        assert!(finding["severity"] != "error" || finding["code"] == "card-overflow", "{finding:#}");
    }
    json(shop, &["check", "--format", "sarif"]);
    is_plain(&said(shop, &["check"]));
    for line in said(shop, &["check", "--format", "github"]).lines() {
        let command = line.strip_prefix("::").and_then(|rest| rest.split_once(' ')).map(|(word, _)| word);
        assert!(matches!(command, Some("error" | "warning" | "notice")), "{line}");
    }
    json(shop, &["compare", "HEAD", "--format", "json"]);
    is_plain(&said(shop, &["compare", "HEAD"]));
    let comment = said(shop, &["compare", "HEAD", "--format", "markdown"]);
    assert!(comment.contains("hacked") || name == "lines", "{comment}");
    for event in Parser::new_ext(&comment, pulldown_cmark::Options::all()) {
        let foreign = match &event {
            // A line end of our own inside a cell.
            Event::InlineHtml(tag) => tag.as_ref() != "<br>",
            event => {
                matches!(event, Event::Html(_) | Event::Start(Tag::Link { .. } | Tag::Image { .. }))
            }
        };
        assert!(!foreign, "{name}: {event:?}");
        if let Event::Text(text) = &event {
            assert!(!text.contains("@everyone"), "a mention: {text}");
        }
    }
    let fork = "velmora-c45:full-service";
    json(shop, &["pull", fork, "--format", "json"]);
    is_plain(&said(shop, &["pull", fork]));
    let table = rows(&said(shop, &["pull", fork, "--format", "csv"]));
    assert!(table.len() > 3);
    for row in table {
        assert_eq!(row.len(), 7, "{row:?}");
        let formula = row.iter().find(|cell| cell.starts_with(['=', '+', '-', '@', '\t', '\r']));
        assert_eq!(formula, None);
    }
    is_plain(&said(shop, &["card", "7H2K-9QWD"]));
}
