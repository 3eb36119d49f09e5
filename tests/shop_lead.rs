//! The shop lead adds a fork model by hand, makes mistakes, and is told what to do.

mod common;

use common::{ShopCopy, out};

const FORK: &str = "specs/forks/tarnholm-u45.yaml";

#[test]
fn three_slips_in_a_record_are_three_findings_at_their_places() {
    let shop = ShopCopy::new();
    // The imperial figure under the US label, a torque copied into the wrong unit, a word misspelt.
    shop.replace(FORK, "505 mL (17.1 US fl oz)", "505 mL (17.8 US fl oz)");
    shop.replace(FORK, "26 N·m (19 lbf·ft)", "19 N·m (19 lbf·ft)");
    shop.replace(FORK, "  solid_length:", "  sold_length:");
    let done = shop.run(&["check"]);
    assert_eq!(done.status.code(), Some(1));
    let said = out(&done);
    let errors: Vec<&str> = said.lines().filter(|line| line.starts_with("error[")).collect();
    assert_eq!(errors.len(), 3, "{said}");
    assert!(said.contains("imp fl oz"), "names the reading that agrees:\n{said}");
    assert!(said.contains("did you mean `solid_length`?"), "{said}");
    assert!(said.lines().all(|line| line.chars().count() <= 80), "80 columns:\n{said}");
    for place in ["30:21", "37:3", "61:32"] {
        assert!(said.contains(&format!("{FORK}:{place}\n")), "{place}\n{said}");
    }
}

#[test]
fn the_same_findings_come_as_data() {
    let shop = ShopCopy::new();
    shop.replace(FORK, "stroke: 122 mm", "stroke: 122");
    let done = shop.run(&["check", "--format", "json"]);
    assert_eq!(done.status.code(), Some(1));
    let data: serde_json::Value = serde_json::from_str(&out(&done)).expect("JSON");
    let findings = data["findings"].as_array().expect("findings");
    let error = findings.iter().find(|finding| finding["severity"] == "error").expect("an error");
    assert_eq!(error["code"], "bare-number");
    assert_eq!(error["path"], FORK);
}

#[test]
fn the_demo_shop_has_no_errors() {
    let shop = ShopCopy::new();
    let done = shop.run(&["check"]);
    assert_eq!(done.status.code(), Some(0), "{}", out(&done));
}

#[test]
fn a_mistake_in_a_family_is_said_once_with_the_models_it_reaches() {
    let shop = ShopCopy::new();
    let family = "specs/families/tarnholm-inverted.yaml";
    let text = std::fs::read_to_string(shop.file(family)).expect("the family");
    let difference =
        text.lines().find(|line| line.trim_start().starts_with("air_gap_difference:")).expect("a line");
    shop.replace(family, difference, "  air_gap_difference: ≤ 90 mm");
    let done = shop.run(&["check", "--format", "json"]);
    let data: serde_json::Value = serde_json::from_str(&out(&done)).expect("JSON");
    let hits: Vec<&serde_json::Value> = data["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .filter(|f| f["code"] == "outside-band")
        .filter(|f| f["path"] == family)
        .collect();
    assert_eq!(hits.len(), 1, "{hits:?}");
    assert!(hits[0]["reaches"].as_array().expect("models").len() >= 2, "{hits:?}");
}

#[test]
fn a_folder_without_a_shop_is_said_and_nothing_else_happens() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |arguments: &[&str]| {
        std::process::Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(arguments)
            .current_dir(folder.path())
            .output()
            .expect("the program runs")
    };
    assert_eq!(run(&["check"]).status.code(), Some(1), "no fork record is an error");
    assert_eq!(run(&["check", "not-there"]).status.code(), Some(2), "no folder cannot run");
    assert_eq!(run(&["chek"]).status.code(), Some(2));
}

/// A new shop, and in it a first record of every kind: all can be checked and published before they are filled in, and
/// what is still wanted is told.
#[test]
fn every_kind_of_new_record_stands_in_the_shop_before_it_is_filled_in() {
    let folder = tempfile::tempdir().expect("a folder");
    let shop = folder.path().join("shop");
    let run = |words: &[&str]| {
        std::process::Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(words)
            .current_dir(if shop.is_dir() { &shop } else { folder.path() })
            .output()
            .expect("it runs")
    };
    let made = run(&["new", "shop", "shop"]);
    assert_eq!(made.status.code(), Some(0), "{}", out(&made));
    for words in [
        &["new", "fork", "orrin-r38"][..],
        &["new", "fork", "orrin-r38b", "--like", "tarn-41"],
        &["new", "oil", "orrin-light"],
        &["new", "procedure", "look-at-the-clips"],
        &["new", "service", "quick-look", "--like", "tarn-41"],
    ] {
        let done = run(words);
        assert_eq!(done.status.code(), Some(0), "{words:?}: {}", out(&done));
        let again = run(words);
        assert_ne!(again.status.code(), Some(0), "{words:?} a second time overwrites nothing");
    }
    let check = run(&["check"]);
    assert_eq!(check.status.code(), Some(0), "{}", out(&check));
    for wanted in ["the choice `damping` is not made", "`grade.viscosity_40` is missing"] {
        assert!(out(&check).contains(wanted), "{wanted}: {}", out(&check));
    }
    assert_eq!(run(&["build"]).status.code(), Some(0), "drafts are published, marked");

    // The choices made as the draft says, and the values this kind needs are named; published, nothing may be missing.
    let path = shop.join("specs/forks/orrin-r38.yaml");
    let mut text = std::fs::read_to_string(&path).expect("the draft").replace("\n# choices:", "\nchoices:");
    for line in text.clone().lines().filter(|line| line.contains(" | ")) {
        let first = line.split(" | ").next().expect("an option").replacen("#   ", "  ", 1);
        // Closed cartridges and air springs alone have these.
        let chosen = if first.contains("cartridge_backing") || first.contains("air_chambers") {
            "  # not for this fork".to_owned()
        } else {
            first
        };
        text = text.replace(line, &chosen);
    }
    std::fs::write(&path, &text).expect("written");
    let check = run(&["check"]);
    assert_eq!(check.status.code(), Some(0), "{}", out(&check));
    assert!(!out(&check).contains("is not made"), "{}", out(&check));
    assert!(out(&check).contains("`oil.air_gap` is missing"), "{}", out(&check));
    std::fs::write(&path, text.replace("status: draft", "status: published")).expect("written");
    assert_eq!(run(&["check"]).status.code(), Some(1), "a published fork may lack nothing");
}
