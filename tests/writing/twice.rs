//! Two runs of a command at once: each does its work or says why not, and nothing is lost or half written.

use std::fs;
use std::process::{Child, Command, Output, Stdio};

use crate::support::{FORK, Shop};

fn start(shop: &Shop, arguments: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_benchleaf"))
        .args(arguments)
        .current_dir(shop.root())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Both at once; each as its status and what it says.
fn both(shop: &Shop, commands: [&[&str]; 2]) -> Vec<(i32, String)> {
    let children = commands.map(|arguments| start(shop, arguments));
    let answer = |child: Child| {
        let Output { status, stderr, .. } = child.wait_with_output().unwrap();
        (status.code().expect("an exit status"), String::from_utf8(stderr).unwrap())
    };
    children.into_iter().map(answer).collect()
}

fn approve<'a>(id: &'a str, by: &'a str, date: &'a str) -> [&'a str; 6] {
    ["approve", id, "--by", by, "--date", date]
}

const KNOWN: [&str; 2] = ["somebody else is changing", "was changed meanwhile"];

#[test]
fn of_two_approvals_at_once_none_is_lost_without_a_word() {
    let others = [
        approve("tarn-41", "A. Wren", "2026-05-05"),
        approve("tarn-45", "A. Wren", "2026-05-04"),
        approve("ember-15", "A. Wren", "2026-05-04"),
    ];
    let first = approve("tarn-41", "A. Wren", "2026-05-04");
    for round in 0..12 {
        let other = &others[round % others.len()];
        let shop = Shop::new();
        let before = fs::read_to_string(shop.at(FORK)).unwrap();
        let answers = both(&shop, [&first, other]);
        for (status, said) in &answers {
            let known = KNOWN.iter().any(|known| said.contains(known));
            assert!(*status == 0 || (*status == 1 && known), "{other:?}: {status}: {said}");
        }
        assert!(answers.iter().any(|(status, _)| *status == 0), "{other:?}: neither was done: {answers:?}");
        // Whoever was told to run it again does, and then both stand there, each once.
        for command in [&first, other] {
            let again = shop.run(command);
            assert_eq!(again.status, 0, "{other:?}: {}", again.error);
        }
        let text = fs::read_to_string(shop.at(FORK)).unwrap();
        assert!(text.starts_with(before.trim_end()), "{other:?}: what was there stays: {text}");
        let check = shop.run(&["check", "--format", "json"]);
        let found: serde_json::Value = serde_json::from_str(&check.out).unwrap();
        assert_eq!(found["errors"], 0, "{other:?}: {}", check.out);
        for id in ["tarn-41", other[1]] {
            let path =
                if id == "ember-15" { "specs/oils/ember-15.yaml" } else { &format!("specs/forks/{id}.yaml") };
            let text = fs::read_to_string(shop.at(path)).unwrap();
            assert_eq!(text.matches("reviewed:").count(), 1, "{other:?}: {id} is reviewed: {text}");
        }
        let released = fs::read_to_string(shop.at("specs/released.yaml")).unwrap();
        let mut cards: Vec<&str> = released.lines().filter(|line| line.contains("fork: tarn-41")).collect();
        let count = cards.len();
        cards.dedup();
        assert_eq!(
            (cards.len(), count),
            (2, 2),
            "{other:?}: each of its two cards is released once: {released}"
        );
        assert!(shop.waiting().is_empty(), "{:?}", shop.waiting());
    }
}

#[test]
fn of_two_builds_at_once_one_publishes_and_the_site_is_whole() {
    let alone = Shop::new();
    assert_eq!(alone.run(&["build"]).status, 0);
    let whole = fs::read(alone.at("site/.benchleaf/manifest.json")).unwrap();
    for _ in 0..6 {
        let shop = Shop::new();
        let answers = both(&shop, [&["build"], &["build"]]);
        for (status, said) in &answers {
            assert!(*status == 0 || (*status == 2 && said.contains("Another run")), "{status}: {said}");
        }
        assert!(answers.iter().any(|(status, _)| *status == 0), "{answers:?}");
        assert_eq!(fs::read(shop.at("site/.benchleaf/manifest.json")).unwrap(), whole);
        assert_eq!(shop.run(&["build", "--fresh"]).status, 0);
        assert!(shop.waiting().is_empty(), "{:?}", shop.waiting());
    }
}

#[test]
fn of_two_new_records_at_once_one_is_made_whole() {
    let alone = Shop::new();
    assert_eq!(alone.run(&["new", "fork", "another", "--like", "tarn-41"]).status, 0);
    let whole = fs::read(alone.at("specs/forks/another.yaml")).unwrap();
    for _ in 0..12 {
        let shop = Shop::new();
        let command: &[&str] = &["new", "fork", "another", "--like", "tarn-41"];
        let answers = both(&shop, [command, command]);
        assert!(answers.iter().any(|(status, _)| *status == 0), "{answers:?}");
        assert!(answers.iter().all(|(status, _)| matches!(status, 0 | 2)), "{answers:?}");
        assert_eq!(fs::read(shop.at("specs/forks/another.yaml")).unwrap(), whole);
    }
}
