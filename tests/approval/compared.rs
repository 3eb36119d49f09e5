//! What a fork takes over from its family: seen where it is compared, recorded, printed, and when it changes.

use benchleaf::check_shop;
use benchleaf::review::Standing;
use benchleaf::text::Folder;

use crate::{Desk, FORK, err, figure_on_card, out};

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
    let listed = compare(&desk, &["--all"]);
    assert_eq!(listed.status.code(), Some(0), "{}", err(&listed));
    // Keys and figures stand in columns.
    assert!(out(&listed).lines().all(|line| line.chars().count() <= 80), "{}", out(&listed));
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let list = plain(&out(&listed));
    for part in [
        "torque.cap_to_tube 24 N·m (18 lbf·ft)",
        "can hurt somebody",
        "adjusters.rebound 10 clicks",
        "oil.oil ember-15",
        "choices.axle one-lug: one lug pinches",
        "Tarn road forks, common figures",
        "Nothing is recorded yet",
    ] {
        assert!(list.contains(part), "{part}: {list}");
    }
    // By itself it is a screen: what can hurt somebody line by line, the rest by groups, with the counts at the end.
    let brief = out(&compare(&desk, &[]));
    assert!(brief.lines().count() <= 25, "{brief}");
    for part in [
        "choices (11): orientation inverted",
        "torque.cap_to_tube 24 N·m (18 lbf·ft)",
        "adjusters (3): rebound",
        "11 choices and 13 values: 18 can hurt somebody.",
        "`benchleaf approve tarn-41 --compared sheet --all`",
    ] {
        assert!(plain(&brief).contains(part), "{part}: {brief}");
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
    let torque = |card: &str| figure_on_card(card, "torque.cap_to_tube").contains('†');
    assert!(torque(&card), "{card}");
    assert!(!figure_on_card(&card, "oil.air_gap").contains('†'), "the gap is its own");
    assert_eq!(card.matches("† From the family’s record").count(), 1, "explained once");
    for page in [&fork, &work] {
        assert!(page.contains("compared with no sheet of this fork"), "{page}");
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

/// A family's choices decide which steps there are: nobody has to take them over unseen.
#[test]
fn choices_are_compared_like_values_and_each_for_itself() {
    let desk = Desk::new();
    let own = desk.approve(&[&["tarn-41"][..], &BY].concat());
    assert_eq!(own.status.code(), Some(0), "{}", err(&own));
    let standing = || {
        let checked = check_shop(&Folder { root: desk.path().to_path_buf() });
        checked.fork("tarn-41").expect("the fork").review.of("choices").clone()
    };
    assert_eq!(standing(), Standing::NotCompared, "whoever reviewed the record saw no choice in it");
    assert!(said(&desk).contains("values and 11 choices of the family"), "{}", said(&desk));
    let page = |path: &str| {
        let done = desk.run(&["build"]);
        assert_eq!(done.status.code(), Some(0), "{}", out(&done));
        desk.read(&format!("site/{path}.html"))
    };
    let is_signed = || {
        let fork = page("forks/tarn-41");
        let at = fork.find("Axle</dt>").or_else(|| fork.find("<dt>Axle")).expect("the choice");
        fork[at..].split("</div>").next().unwrap_or_default().contains('†')
    };
    assert!(is_signed());
    let card = page("cards/tarn-41--full-service");
    assert!(card.contains("The steps hang on 11 choices of the family’s record"), "{card}");
    // One is settled by itself, the rest together.
    let one = compare(&desk, &[&BY[..], &["--values", "choices.axle"]].concat());
    assert!(out(&one).contains("1 choice of fork tarn-41 recorded as compared"), "{}", out(&one));
    assert!(!is_signed() && !out(&compare(&desk, &["--all"])).contains("choices.axle"));
    assert!(out(&compare(&desk, &BY)).contains("10 choices"), "one is done");
    assert_eq!(said(&desk), "");
    assert!(matches!(standing(), Standing::Reviewed(_)));
    assert!(!page("cards/tarn-41--full-service").contains("The steps hang on"));
    // The family chooses otherwise: that one is open again.
    desk.replace(FAMILY, "axle: one-lug", "axle: both-lugs");
    let told = said(&desk);
    assert!(told.contains("nobody compared 1 choice") && told.contains("1 changed since"), "{told}");
    let listed = out(&compare(&desk, &[]));
    assert!(
        listed.contains("choices.axle  both-lugs") && listed.contains("changed since it was compared"),
        "{listed}"
    );
    // What the fork says itself is nobody's to compare.
    desk.replace(FORK, "\nsources:\n", "\nchoices:\n  axle: both-lugs\nsources:\n");
    assert_eq!(said(&desk), "");
    let draft = desk.run(&["new", "fork", "tarn-43", "--like", "tarn-41"]);
    assert_eq!(draft.status.code(), Some(0), "{}", err(&draft));
    let draft = desk.read("specs/forks/tarn-43.yaml");
    assert!(draft.contains("#   damping: open-cartridge\n"), "{draft}");
}

/// A maker's family under another maker's name: whoever let it stand is named where its numbers are printed.
#[test]
fn a_family_of_another_maker_that_was_let_stand_is_told_on_page_and_card() {
    let desk = Desk::new();
    desk.replace(FAMILY, "title: Tarn road forks", "title: Tarn road forks\nmaker: Tarn Suspension");
    desk.replace(
        FORK,
        "maker: Tarn Suspension",
        "maker: Orrin Forks\naccept: {finding: family-of-another-maker, reason: \"The same casting numbers.\", by: A. Wren}",
    );
    let done = desk.run(&["build"]);
    assert_eq!(done.status.code(), Some(0), "{}{}", out(&done), err(&done));
    for page in ["cards/tarn-41--full-service", "forks/tarn-41", "forks/tarn-41/full-service"] {
        let page = desk.read(&format!("site/{page}.html"));
        let told = "Family of another maker, let stand by A. Wren: The same casting numbers.";
        assert!(page.contains(told), "{page}");
    }
}

/// What is worked out from another model's number is no better than that number: it carries the sign as well, at the
/// shelf, at the bench and on the command line.
#[test]
fn what_rests_on_a_number_that_nobody_compared_carries_the_sign() {
    let desk = Desk::new();
    // The preload's count is the family's, the rate and the rest the fork's own.
    let calc = |arguments: &[&str]| out(&desk.run(&[&["calc"][..], arguments].concat()));
    let spring = ["spring", "--fork", "tarn-41"];
    let told = calc(&spring);
    assert!(told.lines().any(|line| line.starts_with("Held by the tool") && line.ends_with('†')), "{told}");
    assert!(
        told.contains("† Rests on the family's adjusters.preload: compared with no sheet of this fork."),
        "{told}"
    );
    assert!(told.lines().all(|line| line.chars().count() <= 80), "{told}");
    let given = calc(&["spring", "--fork", "tarn-41", "--preload", "15 mm"]);
    assert!(!given.contains('†'), "what is given is nobody's: {given}");
    let json = calc(&["spring", "--fork", "tarn-41", "--json"]);
    assert!(json.contains("\"not_compared\": [\n    \"adjusters.preload\""), "{json}");
    // The oil is the family's: so is what is poured of it, and what a fill of it weighs.
    desk.replace(
        "procedures/close-leg.md",
        "1. Tighten the cap to [cap to tube](spec:torque.cap_to_tube).",
        "1. Tighten the cap to [cap to tube](spec:torque.cap_to_tube).\n2. Pour in the [dry fill](spec:oil.dry_fill).",
    );
    let pull = || out(&desk.run(&["pull", "tarn-41:full-service"]));
    let list = pull();
    assert!(list.lines().any(|line| line.contains("860 mL") && line.ends_with('†')), "{list}");
    assert_eq!(list.matches("† From the family’s record").count(), 1, "{list}");
    let csv = out(&desk.run(&["pull", "tarn-41:full-service", "--format", "csv"]));
    assert!(csv.lines().any(|line| line.starts_with("oil,") && line.contains("not compared")), "{csv}");
    let build = || {
        let done = desk.run(&["build"]);
        assert_eq!(done.status.code(), Some(0), "{}{}", out(&done), err(&done));
        let fork = desk.read("site/forks/tarn-41.html");
        let at = fork.find("of its oil weigh").expect("a fill's weight");
        let work = desk.read("site/forks/tarn-41/full-service.html");
        let takes = work.find("takes 860").expect("the shelf");
        let code = desk.read("site/cards/tarn-41--full-service.html");
        let code = code.split("<dt>Card</dt><dd>").nth(1).map(|rest| rest[..9].to_owned());
        let weighs = fork[at..].split("</p>").next().unwrap_or_default().contains('†');
        (weighs, work[takes..].split('<').next().unwrap_or_default().contains('†'), code)
    };
    let before = build();
    assert_eq!((before.0, before.1), (true, true));
    assert_eq!(compare(&desk, &BY).status.code(), Some(0));
    let after = build();
    assert_eq!((after.0, after.1), (false, false));
    assert_eq!(before.2, after.2, "the card's code does not ask who compared what");
    assert!(!pull().contains('†') && !calc(&spring).contains('†'));
}
