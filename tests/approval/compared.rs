//! What a fork takes over from its family: seen where it is compared, recorded, printed, and when it changes.

use benchleaf::check_shop;
use benchleaf::review::Standing;
use benchleaf::text::Folder;

use crate::{Desk, FORK, err, out};

const FAMILY: &str = "specs/families/tarn-road.yaml";

/// Compares what the fork takes over with its own sheet.
fn compare(desk: &Desk, more: &[&str]) -> std::process::Output {
    desk.approve(&[&["tarn-41", "--compared", "sheet"][..], more].concat())
}

const BY: [&str; 4] = ["--by", "A. Wren", "--date", "2026-05-04"];

/// What `check` says of the fork's inheritance; empty where nothing.
fn said(desk: &Desk) -> String {
    let all = out(&desk.run(&["check", "--format", "short"]));
    let own = |line: &&str| line.contains("inherited-not-compared") && line.starts_with(FORK);
    all.lines().filter(own).collect()
}

/// The reviewer sees each figure first; only with a name and a day it is recorded.
#[test]
fn each_figure_is_listed_before_it_is_recorded() {
    let desk = Desk::new();
    let before = desk.all();
    let listed = compare(&desk, &[]);
    assert_eq!(listed.status.code(), Some(0), "{}", err(&listed));
    let list = out(&listed);
    for part in [
        "torque.cap_to_tube  24 N·m (18 lbf·ft)",
        "can hurt somebody",
        "adjusters.rebound  10 clicks",
        "oil.oil  ember-15",
        "Tarn road forks, common figures",
        "Nothing is recorded yet",
    ] {
        assert!(list.contains(part), "{part}: {list}");
    }
    assert_eq!(desk.all(), before, "nothing is touched");
    assert!(said(&desk).contains("can hurt somebody"), "{}", said(&desk));
    let done = compare(&desk, &BY);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    assert!(out(&done).contains("recorded as compared"), "{}", out(&done));
    assert!(desk.read(FORK).contains("    compared: sheet\n"), "{}", desk.read(FORK));
    assert!(!desk.file("specs/released.yaml").exists(), "a comparison releases no card");
    assert_eq!(said(&desk), "");
    // A second time there is nothing left.
    let again = compare(&desk, &BY);
    assert!(out(&again).contains("nothing that it takes over is still to be compared"), "{}", out(&again));
}

/// The apprentice sees at the number itself that it was never said of this fork, and reads once what the sign means.
#[test]
fn a_number_nobody_compared_carries_a_sign_on_card_and_page_until_somebody_does() {
    let desk = Desk::new();
    let pages = || {
        let done = desk.run(&["build"]);
        assert_eq!(done.status.code(), Some(0), "{}", out(&done));
        ["cards/tarn-41--full-service", "forks/tarn-41", "forks/tarn-41/full-service"]
            .map(|page| desk.read(&format!("site/{page}.html")))
    };
    let [card, fork, work] = pages();
    let torque = |card: &str| {
        let at = card.find(">Cap to tube").expect("the torque");
        card[at..].split("</li>").next().unwrap_or_default().contains('†')
    };
    let gap = card.find(">Air gap").expect("the gap");
    assert!(torque(&card), "{card}");
    assert!(!card[gap..].split("</p>").nth(1).unwrap_or_default().contains('†'), "the gap is its own");
    assert_eq!(card.matches("† From the family’s record").count(), 1, "explained once");
    for page in [&fork, &work] {
        assert!(page.contains("compared with no sheet of this very fork"), "{page}");
    }
    assert_eq!(compare(&desk, &BY).status.code(), Some(0));
    for page in pages() {
        assert!(!page.contains('†'), "{page}");
    }
    // The family changes one figure: the sign is back at that one, and at no other.
    desk.replace(FAMILY, "24 N·m (18 lbf·ft)", "26 N·m (19 lbf·ft)");
    assert!(said(&desk).contains("nobody compared 1 value") && said(&desk).contains("1 changed since"));
    let [card, fork, _] = pages();
    assert!(torque(&card));
    let axle = fork.find("id=\"torque.axle\"").expect("the axle");
    assert!(!fork[axle..].split("</tr>").next().unwrap_or_default().contains('†'), "{fork}");
    assert!(fork.contains("1 value of the family"), "{fork}");
}

/// The family's reviewer cannot know of a fork that joins later.
#[test]
fn a_review_of_the_family_does_not_vouch_for_a_fork_and_a_review_of_the_fork_not_for_the_family() {
    let desk = Desk::new();
    assert_eq!(desk.approve(&[&["tarn-road"][..], &BY].concat()).status.code(), Some(0));
    let own = desk.approve(&[&["tarn-41"][..], &BY].concat());
    assert_eq!(own.status.code(), Some(0), "{}", err(&own));
    assert!(out(&own).contains("not covered: what it takes over"), "{}", out(&own));
    let standing = |key: &str| {
        let checked = check_shop(&Folder { root: desk.path().to_path_buf() });
        checked.fork("tarn-41").expect("the fork").review.of(key).clone()
    };
    assert_eq!(standing("torque.axle"), Standing::NotCompared);
    assert!(matches!(standing("oil.air_gap"), Standing::Reviewed(_)));
    let named = desk.approve(&[&["tarn-41", "--values", "torque.axle"][..], &BY].concat());
    assert_eq!(named.status.code(), Some(1));
    assert!(err(&named).contains("`--compared SOURCE` is for those"), "{}", err(&named));
    assert_eq!(compare(&desk, &BY).status.code(), Some(0));
    assert!(matches!(standing("torque.axle"), Standing::Reviewed(_)));
}

/// The sheet says otherwise: the fork's own value goes first, and is no longer the family's to compare.
#[test]
fn some_can_be_compared_and_what_differs_is_written_in_the_fork() {
    let desk = Desk::new();
    let some = compare(&desk, &[&BY[..], &["--values", "torque.axle,torque.axle_pinch"]].concat());
    assert_eq!(some.status.code(), Some(0), "{}", err(&some));
    assert!(out(&some).contains("2 values of fork tarn-41 recorded as compared"), "{}", out(&some));
    assert!(!out(&some).contains("torque.cap_to_tube"), "{}", out(&some));
    desk.replace(
        FORK,
        "\nseals:\n",
        "\ntorque:\n  cap_to_tube: {value: 28 N·m (21 lbf·ft), thread_state: oiled}\n\nseals:\n",
    );
    let rest = compare(&desk, &[]);
    assert!(!out(&rest).contains("cap_to_tube") && out(&rest).contains("cap_to_rod"), "{}", out(&rest));
    let own = compare(&desk, &[&BY[..], &["--values", "torque.cap_to_tube"]].concat());
    assert_eq!(own.status.code(), Some(1));
    assert!(err(&own).contains("this record's own"), "{}", err(&own));
}

/// What cannot be a comparison is refused in a sentence, and nothing is written.
#[test]
fn a_comparison_with_nothing_is_refused() {
    let desk = Desk::new();
    desk.replace(
        FORK,
        "  bench: {kind",
        "  guess: {kind: estimate, title: \"From the T45\"}\n  bench: {kind",
    );
    let before = desk.all();
    for (arguments, why) in [
        (&["tarn-41", "--compared", "shet"][..], "did you mean `sheet`?"),
        (&["tarn-41", "--compared", "book"], "name one of sheet, bench"),
        (&["tarn-41", "--compared", "guess"], "compare with the maker's sheet of this fork"),
        (&["tarn-road", "--compared", "book"], "takes nothing over"),
        (
            &["tarn-41", "--compared", "sheet", "--by", "A. Wren", "--date", "2017-05-04"],
            "is older than the source",
        ),
        (&["tarn-41", "--compared", "sheet", "--by", "B. Wren", "--date", "2026-05-04"], "approvers"),
    ] {
        let done = desk.approve(arguments);
        assert_eq!(done.status.code(), Some(1), "{arguments:?}: {}", out(&done));
        assert!(err(&done).contains(why), "{arguments:?}: {}", err(&done));
    }
    assert_eq!(desk.all(), before);
    assert_eq!(desk.approve(&["tarn-41", "--compared", "sheet", "--by", "A. Wren"]).status.code(), Some(2));
}

/// A family that was given another name says what it said: what was compared is still compared.
#[test]
fn a_family_that_was_renamed_keeps_what_was_compared() {
    let desk = Desk::new();
    assert_eq!(compare(&desk, &BY).status.code(), Some(0));
    std::fs::rename(desk.file(FAMILY), desk.file("specs/families/tarn-street.yaml")).expect("renamed");
    desk.replace("specs/families/tarn-street.yaml", "id: tarn-road", "id: tarn-street");
    let lost = out(&desk.run(&["check", "--format", "short"]));
    assert!(lost.contains("dangling-reference"), "{lost}");
    assert_eq!(said(&desk), "", "what is not there is not to be compared");
    for fork in [FORK, "specs/forks/tarn-45.yaml"] {
        desk.replace(fork, "family: tarn-road", "family: tarn-street");
    }
    assert_eq!(desk.run(&["check"]).status.code(), Some(0));
    assert_eq!(said(&desk), "");
}
