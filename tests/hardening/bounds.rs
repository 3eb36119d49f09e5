//! Too much of anything is bounded, and a finding says so. Nothing is timed here: what is counted is what comes out.

use std::path::Path;

use serde_json::Value;

use crate::support::{copy, here, run, text, write};

const FORK: &str = "specs/forks/tarn-41.yaml";
const SERVICE: &str = "procedures/services/full-service.yaml";
const PROCEDURE: &str = "procedures/close-leg.md";

fn shop() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    copy(&here("tests/shops/plain"), folder.path());
    folder
}

fn add(shop: &Path, path: &str, more: &str) {
    let path = shop.join(path);
    let text = std::fs::read_to_string(&path).expect("a source");
    write(&path, text + more);
}

/// The findings of one rule as their messages.
fn found(shop: &Path, code: &str) -> Vec<String> {
    let output = run(shop, &["check", "--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    // Every other format bears it as well.
    for format in ["text", "sarif", "github"] {
        assert_eq!(run(shop, &["check", "--format", format]).status.code(), Some(1), "{format}");
    }
    let json: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let list = json["findings"].as_array().expect("a list").iter();
    let message = |finding: &Value| finding["message"].as_str().expect("a text").to_owned();
    list.filter(|finding| finding["code"] == code).map(message).collect()
}

#[test]
fn mistakes_of_one_kind_in_one_file_are_told_a_hundred_times_and_counted() {
    let shop = shop();
    let keys: String = (0..400).map(|n| format!("k{n}: 1, ")).collect();
    add(shop.path(), FORK, &format!("bushings: {{{}}}\n", keys.trim_end_matches(", ")));
    let found = found(shop.path(), "unknown-key");
    assert_eq!(found.len(), 101);
    assert!(found[100].starts_with("300 more"), "{}", found[100]);
}

#[test]
fn a_record_of_a_hundred_thousand_keys_or_items_is_refused() {
    for more in [
        (0..100_000).map(|n| format!("k{n}: 1 mm\n")).collect::<String>(),
        format!("notes: [{}x]\n", "x,".repeat(100_000)),
    ] {
        let shop = shop();
        add(shop.path(), FORK, &more);
        let found = found(shop.path(), "too-much");
        assert_eq!(found.len(), 1, "{found:?}");
    }
}

#[test]
fn a_record_with_a_mistake_in_each_of_many_places_is_told_of_some() {
    let shop = shop();
    let reviews: String = (0..5_000).map(|n| format!("  - {{odd{n}: 1, other{n}: 2}}\n")).collect();
    add(shop.path(), FORK, &format!("reviewed:\n{reviews}"));
    assert_eq!(found(shop.path(), "too-much").len(), 1);
    assert_eq!(found(shop.path(), "unknown-key").len(), 101);
}

#[test]
fn a_service_and_a_procedure_without_end_are_cut() {
    for list in [
        vec!["set-air-gap"; 40_000].join(", "),
        format!("{{one_of: [{}]}}", vec!["set-air-gap"; 40_000].join(", ")),
    ] {
        let shop = shop();
        let service = std::fs::read_to_string(shop.path().join(SERVICE)).expect("a service");
        write(
            &shop.path().join(SERVICE),
            service.replace("[set-air-gap, close-leg]", &format!("[{list}, close-leg]")),
        );
        let found = found(shop.path(), "too-much");
        assert!(found.len() == 1 && found[0].contains("300 procedures"), "{found:?}");
    }
    let shop = shop();
    let steps: String = (2..20_000).map(|n| format!("{n}. Turn {n}.\n")).collect();
    add(shop.path(), PROCEDURE, &steps);
    let found = found(shop.path(), "too-much");
    assert!(found.len() == 1 && found[0].contains("1000 steps"), "{found:?}");
}

/// Each of these letters opens a quote in the one before.
#[test]
fn a_procedure_as_long_as_a_book_is_read_up_to_a_bound() {
    let shop = shop();
    let quotes = format!("\n2. Read this.\n\n{}\n", ">".repeat(3 << 20));
    add(shop.path(), PROCEDURE, &quotes);
    let found = found(shop.path(), "too-much");
    assert!(found.len() == 1 && found[0].contains("512 KiB"), "{found:?}");
}

/// A comment on a change holds 65,536 letters at the hosts that are known (from memory).
#[test]
fn a_comparison_of_many_steps_fits_a_comment() {
    let (old, new) = (shop(), shop());
    for (shop, word) in [(&old, "Rub"), (&new, "Press")] {
        let long = "the collar against its shoulder and feel that it is seated all round ".repeat(4);
        let steps: String = (2..5_000).map(|n| format!("{n}. {word} {long}{n}.\n")).collect();
        add(shop.path(), PROCEDURE, &steps);
    }
    let paths = [old.path(), new.path()].map(|path| path.display().to_string());
    for format in ["text", "json", "markdown"] {
        let output = run(old.path(), &["compare", &paths[0], &paths[1], "--format", format]);
        let said = text(&output.stdout);
        // Some forms mark the word that changed.
        assert!(said.contains("Press") && said.contains(" the collar"), "{format}");
        if format == "markdown" {
            assert!(said.len() < 65_536 && said.contains("Left out: "), "{}", said.len());
        }
    }
}

#[test]
fn what_is_quoted_is_cut() {
    let shop = shop();
    let long = "x".repeat(1 << 20);
    add(shop.path(), FORK, &format!("{long}: 1\n"));
    write(
        &shop.path().join("specs/oils/long.yaml"),
        format!("id: {long}\nmaker: [{long}]\nlabel: {{a: {long}}}\n"),
    );
    add(shop.path(), PROCEDURE, &format!("2. [{long}](spec:{long}) and [x](odd:{long})\n"));
    let output = run(shop.path(), &["check", "--format", "json"]);
    let json: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let list = json["findings"].as_array().expect("a list");
    assert!(list.len() > 3);
    for finding in list {
        for key in ["message", "bench", "instead"] {
            let length = finding[key].as_str().expect("a text").len();
            assert!(length < 1_300, "{key} of {} is {length} bytes long", finding["code"]);
        }
    }
}
