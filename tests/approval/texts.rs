//! The reviewer vouches for procedures, cautions, conditions and services.

use crate::{Desk, err, out};

const REVIEWS: &str = "specs/reviews.yaml";
const CAUTION: &str = "procedures/cautions/trapped-air.md";
const BY: [&str; 4] = ["--by", "A. Wren", "--date", "2026-05-04"];

fn approve(desk: &Desk, ids: &[&str]) -> std::process::Output {
    desk.approve(&[ids, &BY].concat())
}

fn check(desk: &Desk) -> String {
    out(&desk.run(&["check", "--format", "short"]))
}

/// No text is told of: each is vouched for as it is.
fn settled(desk: &Desk) {
    let told = check(desk);
    for code in ["guard-taken-away", "review-stale", "review-unknown", "review-edited", "not-reviewed"] {
        assert!(!told.contains(code), "{told}");
    }
}

#[test]
fn a_service_is_reviewed_with_all_it_rests_on_and_what_is_vouched_for_is_listed() {
    let desk = Desk::new();
    let before = desk.all();
    let first = approve(&desk, &["full-service", "--whole"]);
    assert_eq!(first.status.code(), Some(0), "{}{}", out(&first), err(&first));
    let told = out(&first);
    for line in [
        "specs/reviews.yaml: 4 texts recorded as reviewed",
        "procedure set-air-gap: 2 steps; cautions trapped-air; values oil.air_gap; boxes oil.air_gap",
        "caution trapped-air: signal word caution",
        "service full-service: 2 procedures",
    ] {
        assert!(told.contains(line), "{told}");
    }
    // One file came, and no other byte of the shop changed.
    let mut after = desk.all();
    assert!(after.remove(REVIEWS).is_some());
    assert_eq!(after, before);
    settled(&desk);
    // The same again has nothing to record.
    let again = approve(&desk, &["full-service", "--whole"]);
    assert!(out(&again).contains("all of it is vouched for as it is"), "{}", out(&again));
}

#[test]
fn the_sheet_says_in_one_line_that_its_words_changed_and_nothing_before_a_first_review() {
    let desk = Desk::new();
    let card = |desk: &Desk| {
        let done = desk.run(&["build"]);
        assert_eq!(done.status.code(), Some(0), "{}{}", out(&done), err(&done));
        desk.read("site/cards/tarn-41--full-service.html")
    };
    assert!(!card(&desk).contains("steps CHANGED") && !card(&desk).contains("steps UNREVIEWED"));
    approve(&desk, &["procedure:set-air-gap"]);
    assert_eq!(card(&desk).matches("; steps UNREVIEWED").count(), 1, "the rest is not reviewed");
    approve(&desk, &["full-service", "--whole"]);
    assert!(!card(&desk).contains("; steps "));
    desk.replace(
        "procedures/set-air-gap.md",
        "Oil can be drawn off to the millimetre",
        "Oil can be drawn off by the millimetre",
    );
    assert!(!card(&desk).contains("; steps "), "a reason changes nothing at the bench");
    desk.replace("procedures/set-air-gap.md", "write down what you read", "write what you read");
    assert_eq!(card(&desk).matches("; steps CHANGED since 2026\u{2011}05\u{2011}04").count(), 1);
    let page = desk.read("site/forks/tarn-41/full-service.html");
    assert!(page.contains("1 procedure, caution or condition changed since the last review."));
    assert!(desk.read("site/review.html").contains("another step 2"));
}

/// The reviewer of one procedure learns what that does to cards that said nothing of their steps, and what settles it.
#[test]
fn whoever_reviews_one_text_is_told_which_cards_are_not_reviewed_yet() {
    let desk = Desk::new();
    let told = out(&approve(&desk, &["procedure:set-air-gap"]));
    for words in [
        "the shop's first review of a text",
        "`steps UNREVIEWED` until its service and all that it rests on is reviewed",
        "full-service, 2 cards: `steps UNREVIEWED` on tarn-41, tarn-45",
        "benchleaf approve service:full-service --whole --by \"A. Wren\" --date 2026-05-04",
    ] {
        assert!(told.contains(words), "{words}\n{told}");
    }
    let told = out(&approve(&desk, &["caution:trapped-air"]));
    assert!(told.contains("Not yet so:") && told.contains("service:full-service --whole"), "{told}");
    let told = out(&approve(&desk, &["service:full-service", "--whole"]));
    assert!(!told.contains("UNREVIEWED") && !told.contains("--whole"), "{told}");
}

/// For the shop that took over the library and changed a sentence on purpose: the message says that an approver may say
/// so, and so it is.
#[test]
fn what_the_library_forbids_goes_where_an_approver_says_so() {
    let desk = Desk::new();
    let body =
        include_str!("../../procedures/cautions/hydraulic-lock.md").split("---").nth(2).expect("its words");
    let less = body.replace("read it twice, and add nothing afterwards", "read it");
    assert_ne!(body, less);
    let head = "id: hydraulic-lock\ntitle: Too much oil, too little air\nsignal: warning";
    let text = format!("---\n{head}\n---{less}");
    std::fs::write(desk.file("procedures/cautions/hydraulic-lock.md"), text).expect("written");
    let gone = |told: &str| told.contains("library-guard-gone");
    assert!(gone(&check(&desk)), "{}", check(&desk));
    let done = approve(&desk, &["caution:hydraulic-lock"]);
    assert_eq!(done.status.code(), Some(0), "{}{}", out(&done), err(&done));
    assert!(!gone(&check(&desk)), "{}", check(&desk));
}

#[test]
fn a_guard_that_went_stops_the_build_until_an_approver_says_it_is_right() {
    let desk = Desk::new();
    approve(&desk, &["full-service", "--whole"]);
    desk.replace(CAUTION, "signal: caution", "signal: notice");
    let told = check(&desk);
    assert!(told.contains("error guard-taken-away"), "{told}");
    assert_eq!(desk.run(&["build"]).status.code(), Some(1));
    let second = desk.approve(&["caution:trapped-air", "--by", "A. Wren", "--date", "2026-05-06"]);
    assert_eq!(second.status.code(), Some(0), "{}{}", out(&second), err(&second));
    settled(&desk);
}

/// What somebody signs, and what a caution says for the whole job, stand in the head of a text: they guard as much as
/// its steps do.
#[test]
fn a_signature_and_a_word_for_the_whole_job_are_guards() {
    let desk = Desk::new();
    desk.replace("procedures/set-air-gap.md", "phase: ", "sign_off: Gap read back.\nphase: ");
    desk.replace(CAUTION, "signal: ", "whole_job: No gap is believed until it was read twice.\nsignal: ");
    approve(&desk, &["full-service", "--whole"]);
    settled(&desk);
    desk.replace("procedures/set-air-gap.md", "sign_off: Gap read back.\n", "");
    let told = check(&desk);
    assert!(told.contains("error guard-taken-away") && told.contains("has to be signed for"), "{told}");
    desk.replace("procedures/set-air-gap.md", "phase: ", "sign_off: Gap read back.\nphase: ");
    settled(&desk);
    desk.replace(CAUTION, "whole_job: No gap is believed until it was read twice.\n", "");
    let told = check(&desk);
    assert!(told.contains("error guard-taken-away") && told.contains("for the whole job"), "{told}");
}

#[test]
fn a_procedure_that_goes_by_another_name_takes_no_review_along() {
    let desk = Desk::new();
    approve(&desk, &["full-service", "--whole"]);
    std::fs::rename(desk.file("procedures/close-leg.md"), desk.file("procedures/shut-leg.md"))
        .expect("moved");
    desk.replace("procedures/shut-leg.md", "id: close-leg", "id: shut-leg");
    desk.replace("procedures/services/full-service.yaml", "close-leg", "shut-leg");
    let told = check(&desk);
    assert!(told.contains("review-unknown: the procedure `close-leg` is not there any more"), "{told}");
    // An approver sees that the old one is gone, and reviews the new one with the service that names it.
    let done = desk.approve(&[
        "procedure:close-leg",
        "procedure:shut-leg",
        "full-service",
        "--by",
        "A. Wren",
        "--date",
        "2026-05-06",
    ]);
    assert!(out(&done).contains("procedure close-leg: it is gone"), "{}{}", out(&done), err(&done));
    settled(&desk);
}

#[test]
fn what_cannot_be_vouched_for_is_refused_and_nothing_is_touched() {
    let desk = Desk::new();
    let before = desk.all();
    let cases: [(&[&str], &str); 6] = [
        (&["procedure:set-air-gab"], "did you mean `set-air-gap`?"),
        (&["set-air-gap", "tarn-41"], "there is no text `tarn-41`"),
        (&["tarn-41", "tarn-45"], "one at a time"),
        (&["tarn-41", "--whole"], "one at a time"),
        (&["procedure:\u{1b}[2J"], "there is no text"),
        (&["condition:bled"], "there is no text `condition:bled`"),
    ];
    for (ids, why) in cases {
        let done = approve(&desk, ids);
        assert_eq!(done.status.code(), Some(1), "{ids:?}: {}", out(&done));
        assert!(err(&done).contains(why) && !err(&done).contains('\u{1b}'), "{ids:?}: {}", err(&done));
    }
    let other = desk.approve(&["set-air-gap", "--by", "B. Wren", "--date", "2026-05-04"]);
    assert!(err(&other).contains("is not among the shop's approvers"), "{}", err(&other));
    assert_eq!(desk.all(), before);
    // A text with an error of its own.
    desk.replace("procedures/set-air-gap.md", "spec:oil.air_gap", "spec:oil.air_gab");
    let wrong = desk.all();
    assert_eq!(approve(&desk, &["set-air-gap"]).status.code(), Some(1));
    assert_eq!(desk.all(), wrong);
}

#[test]
fn a_new_shop_begins_without_reviews_and_copied_ones_are_worth_nothing() {
    let desk = Desk::new();
    approve(&desk, &["full-service", "--whole"]);
    assert_eq!(desk.run(&["new", "shop", "mine"]).status.code(), Some(0));
    assert!(!desk.file("mine/specs/reviews.yaml").exists());
    std::fs::copy(desk.file(REVIEWS), desk.file("mine/specs/reviews.yaml")).expect("copied");
    let told = out(&desk.run(&["check", "mine", "--format", "short"]));
    assert!(told.contains("warning review-unknown: this review was recorded in the shop"), "{told}");
}

/// A number that is the same on every fork is on every card: the reviewer of the procedure vouches for it and for its
/// reason.
#[test]
fn a_number_that_is_the_same_on_every_fork_is_part_of_what_was_reviewed() {
    let desk = Desk::new();
    const PROCEDURE: &str = "procedures/set-air-gap.md";
    approve(&desk, &["procedure:set-air-gap"]);
    let stale = |desk: &Desk| check(desk).contains("another number that is the same on every fork");
    assert!(!check(&desk).contains("review-stale"), "{}", check(&desk));
    desk.replace(PROCEDURE, "It only has to stand over the target.", "Nobody knows.");
    assert!(stale(&desk), "{}", check(&desk));
    desk.replace(PROCEDURE, "\"Nobody knows.\"", "'It only has to  stand over the target.'");
    assert!(!stale(&desk), "how it is written does not count: {}", check(&desk));
}
