//! Days are those of commits: real repositories, made here.

use std::path::Path;
use std::process::Command;

use crate::{Desk, FORK, err, out};

fn git(folder: &Path, date: &str, arguments: &[&str]) {
    let moment = format!("{date}T12:00:00+0200");
    let done = Command::new("git")
        .arg("-C")
        .arg(folder)
        .args(["-c", "user.name=A. Wren", "-c", "user.email=wren@shop.example", "-c", "commit.gpgsign=false"])
        .args(arguments)
        .env("GIT_COMMITTER_DATE", &moment)
        .env("GIT_AUTHOR_DATE", &moment)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .output()
        .expect("git is installed");
    assert!(done.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&done.stderr));
}

fn commit(desk: &Desk, date: &str) {
    git(desk.path(), date, &["add", "-A"]);
    git(desk.path(), date, &["commit", "--allow-empty", "-q", "-m", "As it is"]);
}

fn with_expiry() -> Desk {
    let desk = Desk::new();
    desk.replace(
        FORK,
        "    value: 96 mm ± 2 mm (3.78 in)\n",
        "    value: 74 mm ± 2 mm (2.91 in)\n    accept: {finding: outside-band, reason: \"Short legs.\", by: A. Wren, until: \"2026-04-30\"}\n",
    );
    desk
}

#[test]
fn an_acceptance_expires_by_the_last_commit_and_not_by_the_clock() {
    let desk = with_expiry();
    let without = out(&desk.run(&["check"]));
    assert!(without.contains("accept-until-not-judged") && !without.contains("accept-expired"), "{without}");
    git(desk.path(), "2026-04-30", &["init", "-q"]);
    commit(&desk, "2026-04-30");
    let on_the_day = out(&desk.run(&["check"]));
    assert!(
        !on_the_day.contains("accept-until-not-judged") && !on_the_day.contains("outside-band"),
        "{on_the_day}"
    );
    commit(&desk, "2026-05-01");
    let after = out(&desk.run(&["check", "--format", "short"]));
    assert!(after.contains("accept-expired") && after.contains(": error outside-band:"), "{after}");
    // The revision before is judged by its own day.
    let told = out(&desk.run(&["compare", "HEAD~1", "HEAD"]));
    assert!(told.contains("[accept-expired]"), "{told}");
}

#[test]
fn a_review_later_than_its_commit_is_told_and_one_that_is_not_committed_is_not() {
    let desk = Desk::new();
    git(desk.path(), "2026-05-01", &["init", "-q"]);
    commit(&desk, "2026-05-01");
    let done = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-04"]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    assert!(!out(&desk.run(&["check"])).contains("review-date"));
    commit(&desk, "2026-05-02");
    assert!(out(&desk.run(&["check", "--format", "short"])).contains(": warning review-date:"));
    commit(&desk, "2026-05-04");
    assert!(!out(&desk.run(&["check"])).contains("review-date"));
}

/// A slip in the month must not vouch for a number until that month has come.
#[test]
fn a_day_that_has_not_come_is_refused_by_the_last_commit() {
    let desk = Desk::new();
    let on = |date| desk.approve(&["tarn-41", "--by", "A. Wren", "--date", date]);
    git(desk.path(), "2026-05-01", &["init", "-q"]);
    commit(&desk, "2026-05-01");
    let before = desk.all();
    for date in ["2026-05-09", "2026-08-04", "2062-05-04"] {
        let refused = on(date);
        assert_eq!(refused.status.code(), Some(1), "{}", out(&refused));
        assert!(err(&refused).contains("days after the last commit, of 2026-05-01"), "{}", err(&refused));
    }
    assert_eq!(desk.all(), before);
    assert_eq!(on("2026-05-08").status.code(), Some(0), "work of the same week is not committed yet");
}

#[test]
fn a_repository_that_does_not_keep_the_shop_says_nothing_about_its_days() {
    let desk = with_expiry();
    std::fs::write(desk.file(".gitignore"), "specs\nprocedures\n").expect("written");
    git(desk.path(), "2026-06-01", &["init", "-q"]);
    commit(&desk, "2026-06-01");
    let told = out(&desk.run(&["check"]));
    assert!(told.contains("accept-until-not-judged") && !told.contains("accept-expired"), "{told}");
}

#[test]
fn branches_that_both_approve_are_told_of_the_marks_and_of_what_they_saw() {
    let desk = Desk::new();
    desk.replace("specs/shop.yaml", "approvers: [A. Wren]", "approvers: [A. Wren, J. Teal]");
    git(desk.path(), "2026-05-01", &["init", "-q", "-b", "trunk"]);
    commit(&desk, "2026-05-01");
    let gap = ["--values", "oil.air_gap"];
    git(desk.path(), "2026-05-01", &["checkout", "-q", "-b", "other"]);
    desk.replace(FORK, "96 mm ± 2 mm (3.78 in)", "97 mm ± 2 mm (3.82 in)");
    desk.approve(&["tarn-41", "--by", "J. Teal", "--date", "2026-05-02", gap[0], gap[1]]);
    commit(&desk, "2026-05-02");
    let theirs = desk.read(FORK);
    git(desk.path(), "2026-05-01", &["checkout", "-q", "trunk"]);
    desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-02", gap[0], gap[1]]);
    commit(&desk, "2026-05-02");
    let merged =
        Command::new("git").arg("-C").arg(desk.path()).args(["merge", "-q", "other"]).output().expect("git");
    assert!(!merged.status.success(), "both add a review at the same place");
    let told = desk.run(&["check"]);
    assert_eq!(told.status.code(), Some(1));
    let said = out(&told).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("a merge was not finished here"), "{said}");
    let refused = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-03"]);
    assert_eq!(refused.status.code(), Some(1), "{}", err(&refused));
    // Resolved by keeping both entries: the two contradict each other, and neither counts.
    let ours = desk.read(FORK);
    let entry = |text: &str, by: &str| {
        let at = text.find(&format!("  - by: {by}")).expect("the entry");
        text[at..].lines().take(5).map(|line| format!("{line}\n")).collect::<String>()
    };
    let both = format!("{}{}", theirs, entry(&ours, "A. Wren"));
    std::fs::write(desk.file(FORK), both).expect("written");
    let list = desk.read("specs/released.yaml");
    let list: String = list
        .lines()
        .filter(|line| !line.starts_with(['<', '=', '>']))
        .map(|line| format!("{line}\n"))
        .collect();
    std::fs::write(desk.file("specs/released.yaml"), list).expect("written");
    let said = out(&desk.run(&["check", "--format", "short"]));
    assert!(said.contains(": warning review-conflict:"), "{said}");
    let settled = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-03"]);
    assert_eq!(settled.status.code(), Some(0), "{}", err(&settled));
    assert!(!out(&desk.run(&["check"])).contains("review-conflict"));
}

#[test]
fn a_comparison_tells_who_vouched_before_and_after_and_which_cards_and_pages_are_out_of_date() {
    let desk = Desk::new();
    git(desk.path(), "2026-05-01", &["init", "-q"]);
    assert_eq!(
        desk.approve(&["tarn-road", "--by", "A. Wren", "--date", "2026-05-01"]).status.code(),
        Some(0)
    );
    assert_eq!(desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-02"]).status.code(), Some(0));
    commit(&desk, "2026-05-02");
    desk.replace(FORK, "96 mm ± 2 mm (3.78 in)", "97 mm ± 2 mm (3.82 in)");
    desk.replace("specs/families/tarn-road.yaml", "24 N·m (18 lbf·ft)", "25 N·m (18 lbf·ft)");
    commit(&desk, "2026-05-03");
    let done =
        desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-04", "--values", "oil.air_gap"]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let json = |arguments: &[&str]| -> serde_json::Value {
        let all: Vec<&str> = ["compare", "--format", "json"].iter().chain(arguments).copied().collect();
        serde_json::from_str(&out(&desk.run(&all))).expect("JSON")
    };
    // From the first commit to the folder: the gap is vouched for again, the family's torque is not.
    let told = json(&["HEAD~1"]);
    let value = |key: &str| {
        let all = told["values"].as_array().expect("values");
        all.iter().find(|change| change["key"] == key).unwrap_or_else(|| panic!("{key} in {told:#}")).clone()
    };
    let review =
        |key: &str, side: &str| value(key)["review"][0][side].as_str().expect("a sentence").to_owned();
    assert_eq!(review("oil.air_gap", "old"), "A. Wren reviewed it on 2026-05-02.");
    assert_eq!(review("oil.air_gap", "new"), "A. Wren reviewed it on 2026-05-04.");
    assert_eq!(
        review("torque.cap_to_tube", "old"),
        "Reviewed in its family; nobody compared it with a sheet of this fork."
    );
    assert!(review("torque.cap_to_tube", "new").starts_with("Changed since A. Wren"));
    assert_eq!(
        value("torque.cap_to_tube")["review"][0]["reaches"],
        serde_json::json!(["tarn-41", "tarn-45"])
    );
    let stale = told["stale"].as_array().expect("cards");
    // The job card and the hang card of both forks.
    assert_eq!(stale.len(), 4, "{told:#}");
    for card in stale {
        let old = card["card"].as_str().expect("a code");
        let looked = out(&desk.run(&["card", old]));
        assert!(
            looked.contains("superseded") && looked.contains(card["now"].as_str().expect("a code")),
            "{looked}"
        );
    }
    let pages: Vec<&str> =
        told["pages"].as_array().expect("pages").iter().filter_map(|page| page.as_str()).collect();
    for page in [
        "forks/tarn-41.html",
        "forks/tarn-45.html",
        "forks/tarn-41/full-service.html",
        "cards/tarn-41--full-service.html",
    ] {
        assert!(pages.contains(&page), "{page} in {pages:?}");
    }
    assert!(!pages.contains(&"oils/ember-15.html"), "{pages:?}");
    let records = told["records"].as_array().expect("records");
    let new = "the review of 1 value by A. Wren on 2026-05-04 is new";
    assert!(records.iter().any(|change| change["what"] == new), "{records:?}");
    // The same for a person and for a comment.
    for format in ["text", "markdown"] {
        let text = out(&desk.run(&["compare", "--format", format, "HEAD~1"]));
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let old = stale[0]["card"].as_str().expect("a code");
        for part in ["Changed since A. Wren reviewed it on 2026-05-01", old, "forks/tarn-45.html"] {
            assert!(text.contains(part), "{format}: {part} in {text}");
        }
    }
    // A review alone makes no card out of date.
    let only = json(&["HEAD"]);
    assert_eq!(only["stale"].as_array().map(Vec::len), Some(0), "{only:#}");
    assert_eq!(only["values"].as_array().map(Vec::len), Some(0));
}
