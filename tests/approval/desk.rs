//! The command as a reviewer uses it: what it records, what it refuses, what is left when it is stopped.

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::{Desk, FORK, err, line_on_card, out};

const RELEASED: &str = "specs/released.yaml";
const GAP: &str = "96 mm ± 2 mm (3.78 in)";
const OTHER_GAP: &str = "97 mm ± 2 mm (3.82 in)";

/// The codes of the last released card: of the card, of its values.
fn last_codes(desk: &Desk) -> (String, String) {
    let list = desk.read(RELEASED);
    let is_job_card = |line: &&str| !line.contains("hang-card");
    let last = list.lines().rfind(is_job_card).expect("a card").to_owned();
    let code = |key: &str| {
        let at = last.find(&format!("{key}: ")).expect("the code") + key.len() + 2;
        last[at..at + 9].to_owned()
    };
    (code("card"), code("values"))
}

#[test]
fn a_review_is_recorded_and_a_second_one_covers_only_what_changed() {
    let desk = Desk::new();
    let first = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-04"]);
    assert_eq!(first.status.code(), Some(0), "{}{}", out(&first), err(&first));
    let once = desk.all();
    // The same again changes nothing.
    let again = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-04"]);
    assert_eq!(again.status.code(), Some(0));
    assert!(out(&again).contains("every value of fork tarn-41 is vouched for"), "{}", out(&again));
    assert_eq!(desk.all(), once);
    // One value changes: `check` says so at its line, and the next review covers it alone.
    desk.replace(FORK, GAP, OTHER_GAP);
    let told = out(&desk.run(&["check"]));
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("`oil.air_gap` changed since A. Wren reviewed it on 2026-05-04"), "{told}");
    let second = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-06"]);
    assert!(out(&second).contains("1 value of fork tarn-41"), "{}", out(&second));
    assert!(!out(&desk.run(&["check"])).contains("review-stale"));
    // A job card and a hang card, each released twice.
    assert_eq!(desk.read(RELEASED).lines().filter(|line| line.contains("card:")).count(), 4);
}

#[test]
fn what_cannot_be_vouched_for_is_refused_and_nothing_is_touched() {
    let desk = Desk::new();
    let before = desk.all();
    let by = ["--by", "A. Wren", "--date", "2026-05-04"];
    let cases: [(&[&str], &str); 15] = [
        (&["tarm-41", "--by", "A. Wren", "--date", "2026-05-04"], "did you mean `tarn-41`?"),
        (&["../../etc/passwd", "--by", "A. Wren", "--date", "2026-05-04"], "there is no record"),
        (&["fork:tarn-road", "--by", "A. Wren", "--date", "2026-05-04"], "there is no record"),
        (&["tarn-41\u{1b}[2J", "--by", "A. Wren", "--date", "2026-05-04"], "there is no record"),
        (&["", "--by", "A. Wren", "--date", "2026-05-04"], "there is no record"),
        (&["tarn-41", "--by", "A. Wrenn", "--date", "2026-05-04"], "did you mean `A. Wren`?"),
        (&["tarn-41", "--by", " ", "--date", "2026-05-04"], "say who reviewed"),
        (&["tarn-41", "--by", "A. Wren", "--date", "2026-02-30"], "is no date"),
        (&["tarn-41", "--by", "A. Wren", "--date", "yesterday"], "is no date"),
        (&["tarn-41", "--by", "A. Wren", "--date", "04.05.2026"], "is no date"),
        (&["tarn-41", "--by", "A. Wren", "--date", "2011-05-04"], "older than what"),
        (&["tarn-41", by[0], by[1], by[2], by[3], "--values", "oil.air_gab"], "did you mean `oil.air_gap`?"),
        (&["tarn-41", by[0], by[1], by[2], by[3], "--values", "air.main_pressure"], "has no value"),
        (&["tarn-41", by[0], by[1], by[2], by[3], "--values", "reviewed"], "has no value"),
        (&["ember-15", by[0], by[1], by[2], by[3], "--values", "choices"], "has no value"),
    ];
    for (arguments, why) in cases {
        let done = desk.approve(arguments);
        let told = err(&done);
        assert_eq!(done.status.code(), Some(1), "{arguments:?}: {}{told}", out(&done));
        assert!(told.contains(why) && told.lines().count() == 1, "{arguments:?}: {told}");
        assert!(!told.contains('\u{1b}'), "{told:?}");
    }
    // A record with an error: its findings, and nothing done.
    desk.replace(FORK, GAP, "96 mL");
    let wrong = desk.all();
    let done = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-04"]);
    assert_eq!(done.status.code(), Some(1));
    assert!(out(&done).contains("wrong-dimension"), "{}", out(&done));
    assert_eq!(desk.all(), wrong);
    // The other fork is not touched by that.
    let other = desk.approve(&["tarn-45", "--by", "A. Wren", "--date", "2026-05-04"]);
    assert_eq!(other.status.code(), Some(0), "{}", err(&other));
    assert_ne!(before, desk.all());
}

#[test]
fn an_estimate_is_never_approved_where_it_can_hurt_somebody() {
    let desk = Desk::new();
    desk.replace(FORK, "source: sheet\n", "source: sheet\nnotes: One figure is a guess.\n");
    desk.replace(
        FORK,
        "  bench: {kind",
        "  guess: {kind: estimate, title: \"From the T45\"}\n  bench: {kind",
    );
    desk.replace(
        FORK,
        "  dry_fill: 430 mL (14.5 US fl oz)",
        "  dry_fill: {value: 430 mL (14.5 US fl oz), source: guess}",
    );
    let named =
        desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-04", "--values", "oil.dry_fill"]);
    assert_eq!(named.status.code(), Some(1));
    assert!(err(&named).contains("rests on an estimate, which nobody can vouch for"), "{}", err(&named));
    let all = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-04"]);
    assert_eq!(all.status.code(), Some(0));
    assert!(out(&all).contains("not covered: oil.dry_fill"), "{}", out(&all));
    assert!(!desk.read(FORK).contains("oil.dry_fill:"));
}

#[test]
fn two_people_may_review_on_one_day_and_the_last_of_them_decides() {
    let desk = Desk::new();
    desk.replace("specs/shop.yaml", "approvers: [A. Wren]", "approvers: [A. Wren, J. Teal]");
    let gap = ["--values", "oil.air_gap"];
    let by = |desk: &Desk, name: &str, date: &str| {
        desk.approve(&["tarn-41", "--by", name, "--date", date, gap[0], gap[1]])
    };
    assert_eq!(by(&desk, "A. Wren", "2026-05-04").status.code(), Some(0));
    desk.replace(FORK, GAP, OTHER_GAP);
    assert!(out(&desk.run(&["check", "--format", "short"])).contains("review-stale"));
    let earlier = by(&desk, "J. Teal", "2026-05-02");
    assert!(err(&earlier).contains("the last review decides"), "{}", err(&earlier));
    let same_day = by(&desk, "J. Teal", "2026-05-04");
    assert_eq!(same_day.status.code(), Some(0), "{}", err(&same_day));
    let told = out(&desk.run(&["check", "--format", "short"]));
    assert!(!told.contains("review-stale") && !told.contains("review-conflict"), "{told}");
    // What the last of the day saw is not there any more, and what the other saw is: that is for them to settle.
    desk.replace(FORK, OTHER_GAP, GAP);
    let told = out(&desk.run(&["check", "--format", "short"]));
    assert!(told.contains("review-conflict"), "{told}");
    assert_eq!(by(&desk, "A. Wren", "2026-05-04").status.code(), Some(0));
    assert!(!out(&desk.run(&["check", "--format", "short"])).contains("review-conflict"));
}

/// The second pair of eyes of the same day: whoever looks at what somebody vouches for already is told that nothing was
/// recorded, and how the name gets beside the other.
#[test]
fn a_second_name_for_the_same_values_is_asked_for_and_recorded() {
    let desk = Desk::new();
    desk.replace("specs/shop.yaml", "approvers: [A. Wren]", "approvers: [A. Wren, J. Teal]");
    let by = |name: &str, more: &[&str]| {
        desk.approve(&[&["tarn-41", "--by", name, "--date", "2026-05-04"], more].concat())
    };
    assert_eq!(by("A. Wren", &[]).status.code(), Some(0));
    let before = desk.read(FORK);
    let second = by("J. Teal", &[]);
    assert!(out(&second).contains("nothing is recorded for J. Teal"), "{}", out(&second));
    assert!(out(&second).contains("with `--again`"), "{}", out(&second));
    assert_eq!(desk.read(FORK), before);
    let again = by("J. Teal", &["--again"]);
    assert_eq!(again.status.code(), Some(0), "{}", err(&again));
    assert!(desk.read(FORK).contains("by: J. Teal"));
    let told = out(&desk.run(&["check", "--format", "short"]));
    assert!(!told.contains("review-conflict") && !told.contains("review-stale"), "{told}");
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_written_a_link_and_a_held_file_are_refused() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let arguments = ["tarn-41", "--by", "A. Wren", "--date", "2026-05-04"];
    let refused = |desk: &Desk, why: &str| {
        let before = desk.all();
        let done = desk.approve(&arguments);
        assert_eq!(done.status.code(), Some(1), "{}", out(&done));
        assert!(err(&done).contains(why), "{}", err(&done));
        assert_eq!(desk.all(), before);
    };
    let mode = |desk: &Desk, path: &str, mode: u32| {
        std::fs::set_permissions(desk.file(path), std::fs::Permissions::from_mode(mode))
            .expect("permissions");
    };
    let desk = Desk::new();
    mode(&desk, FORK, 0o444);
    refused(&desk, "may not be written");
    mode(&desk, FORK, 0o640);
    // The list of released cards cannot be written: then the review is not recorded either.
    std::fs::write(desk.file(RELEASED), "cards:\n").expect("written");
    mode(&desk, RELEASED, 0o444);
    refused(&desk, "may not be written");
    mode(&desk, RELEASED, 0o644);
    let held = std::fs::File::open(desk.file(FORK)).expect("the fork");
    held.lock().expect("a lock");
    refused(&desk, "somebody else is changing");
    drop(held);
    assert_eq!(desk.approve(&arguments).status.code(), Some(0));
    let kept = std::fs::metadata(desk.file(FORK)).expect("the fork").permissions().mode();
    assert_eq!(kept & 0o777, 0o640, "its permissions stay");

    // While somebody else makes the list of released cards.
    let desk = Desk::new();
    let held = std::fs::File::open(desk.file("specs")).expect("the folder");
    held.lock().expect("a lock");
    refused(&desk, "somebody else is changing");
    drop(held);

    let desk = Desk::new();
    std::fs::rename(desk.file(FORK), desk.file("elsewhere.yaml")).expect("moved");
    symlink(desk.file("elsewhere.yaml"), desk.file(FORK)).expect("a link");
    refused(&desk, "is no ordinary file");
}

#[test]
fn killed_at_any_moment_each_file_is_old_or_new_and_the_same_command_finishes() {
    const KILLS: u32 = 24;
    let arguments = ["approve", "tarn-41", "--by", "A. Wren", "--date", "2026-05-04"];
    let whole = Desk::new();
    let old = whole.all();
    assert_eq!(whole.run(&arguments).status.code(), Some(0));
    let new = whole.all();
    let (mut killed, mut between) = (0, 0);
    let mut round = 0u64;
    while killed < KILLS {
        round += 1;
        assert!(round < 400, "only {killed} of {round} runs could be killed");
        let desk = Desk::new();
        let begun = Instant::now();
        let mut child = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(arguments)
            .current_dir(desk.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program runs");
        if round.is_multiple_of(2) {
            // At the moment the first file is being put in place, or a little later.
            let beside = desk.file("specs/forks/.tarn-41.yaml.new");
            while !beside.exists() && desk.read(FORK).len() == old[FORK].len() {
                if child.try_wait().expect("a child").is_some() || begun.elapsed() > Duration::from_secs(20) {
                    break;
                }
            }
            std::thread::sleep(Duration::from_micros(round * 53 % 1500));
        } else {
            std::thread::sleep(Duration::from_micros(round * 7919 % 60_000));
        }
        let _ = child.kill();
        if !child.wait().expect("it ended").success() {
            killed += 1;
        }
        let found = desk.all();
        for path in [FORK, RELEASED] {
            let there = found.get(path);
            assert!(
                there == old.get(path) || there == new.get(path),
                "{path} is neither old nor new in round {round}"
            );
        }
        between += u32::from(found.get(FORK) == new.get(FORK) && !found.contains_key(RELEASED));
        for (path, bytes) in &old {
            assert!(path == FORK || found.get(path) == Some(bytes), "{path} was touched in round {round}");
        }
        // What was left half way beside the files is no record, and the same command finishes.
        let told = out(&desk.run(&["check"]));
        assert!(!told.contains(": ERROR"), "{told}");
        let done = desk.run(&arguments);
        assert_eq!(done.status.code(), Some(0), "{}", err(&done));
        assert!(desk.all() == new, "after round {round}: {:?}", desk.all().keys());
    }
    println!("{round} rounds: {killed} killed, {between} between the two files");
}

#[test]
fn a_typed_code_says_whether_the_card_on_the_bench_is_current() {
    let desk = Desk::new();
    assert_eq!(desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-04"]).status.code(), Some(0));
    let (card, values) = last_codes(&desk);
    for typed in [
        card.clone(),
        card.to_lowercase(),
        card.replace('-', ""),
        card.replace('0', "O").replace('1', "l"),
        values.clone(),
    ] {
        let done = desk.run(&["card", &typed]);
        assert_eq!(done.status.code(), Some(0), "{typed}: {}", out(&done));
        assert!(out(&done).contains(": current: "), "{typed}: {}", out(&done));
    }
    for (typed, told) in
        [("0000-0000", "unknown"), ("no card", "no code"), ("7H2K-9QW", "no code"), ("\u{1b}[2J", "no code")]
    {
        let done = desk.run(&["card", typed]);
        assert_eq!(done.status.code(), Some(1), "{typed}");
        assert!(out(&done).contains(told) && !out(&done).contains('\u{1b}'), "{typed}: {}", out(&done));
    }
    // What stands on it today and is no part of its code: its family's numbers were compared with no sheet.
    let told = out(&desk.run(&["card", &card]));
    assert!(told.contains("    review: in part") && told.contains("not compared"), "{told}");
    assert!(told.contains("    †") || told.contains("†"), "{told}");
    // A caution changes: the card is replaced, its numbers are not.
    let caution =
        std::fs::read_dir(desk.file("procedures/cautions")).expect("cautions").flatten().next().expect("one");
    let text = std::fs::read_to_string(caution.path()).expect("a caution");
    std::fs::write(caution.path(), format!("{}\n\nKeep your face away.\n", text.trim_end()))
        .expect("written");
    let done = desk.run(&["card", &card]);
    let told = out(&done);
    assert_eq!(done.status.code(), Some(1), "{told}");
    assert!(told.contains("superseded") && told.contains("the numbers did not"), "{told}");
    assert_eq!(desk.run(&["card", &values]).status.code(), Some(0), "the values are as they were");
    // A number changes.
    desk.replace(FORK, GAP, OTHER_GAP);
    let told = out(&desk.run(&["card", &card, &values]));
    // The code of the values stands on the job card and on the hang card.
    assert_eq!(told.matches("superseded").count(), 3, "{told}");
    assert!(told.contains("its numbers changed"), "{told}");
    assert!(
        told.contains("    review: CHANGED since 2026-05-04") && told.contains("    CHANGED: Air gap"),
        "{told}"
    );
    // The card that is named as its successor is current.
    let at = told.find("the card is now ").expect("its successor") + "the card is now ".len();
    assert_eq!(desk.run(&["card", &told[at..at + 9]]).status.code(), Some(0));
    // A comment, a note and a new reviewer change nothing that is printed.
    let (before, _) = (told[at..at + 9].to_owned(), ());
    desk.replace(FORK, "rod_nut:\n", "rod_nut: # with the thin spanner\n");
    assert_eq!(desk.approve(&["tarn-41", "--by", "A. Wren", "--date", "2026-05-07"]).status.code(), Some(0));
    assert_eq!(desk.run(&["card", &before]).status.code(), Some(0));
    // With an error nobody can say.
    desk.replace(FORK, OTHER_GAP, "97 mL");
    let told = desk.run(&["card", &before]);
    assert_eq!(told.status.code(), Some(1), "{}", out(&told));
    assert!(
        !out(&told).contains("current") && out(&told).contains("`benchleaf check tarn-41`"),
        "{}",
        out(&told)
    );
    let fork = desk.run(&["card", "tarn-41"]);
    assert!(fork.status.code() == Some(1) && out(&fork).contains("not told"), "{}", out(&fork));
    // An error elsewhere in the shop is none of this card's business.
    desk.replace(FORK, "97 mL", OTHER_GAP);
    desk.replace("specs/forks/tarn-45.yaml", "stroke: ", "strok: ");
    assert_eq!(desk.run(&["check"]).status.code(), Some(1));
    assert_eq!(desk.run(&["card", &before]).status.code(), Some(0));
    let fork = desk.run(&["card", "tarn-41"]);
    assert!(
        fork.status.code() == Some(0) && out(&fork).contains(&format!("{before}: current: card of tarn-41"))
    );
}

#[test]
fn several_reviews_at_once_lose_nothing() {
    let desk = Desk::new();
    let arguments = |id: &'static str| ["approve", id, "--by", "A. Wren", "--date", "2026-05-04"];
    let ids = ["tarn-41", "tarn-45", "tarn-road", "ember-15", "tarn-41"];
    let start = |id: &'static str| {
        Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(arguments(id))
            .current_dir(desk.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program runs")
    };
    let running: Vec<_> = ids.into_iter().map(start).collect();
    for mut child in running {
        let code = child.wait().expect("it ended").code();
        assert!(matches!(code, Some(0 | 1)), "{code:?}");
    }
    assert_eq!(desk.run(&["check"]).status.code(), Some(0), "{}", out(&desk.run(&["check"])));
    // Whoever was turned away runs it again.
    for id in ids {
        let done = desk.run(&arguments(id));
        assert_eq!(done.status.code(), Some(0), "{id}: {}", err(&done));
    }
    let list = desk.read(RELEASED);
    for fork in ["tarn-41", "tarn-45"] {
        for card in ["full-service", "hang-card"] {
            assert_eq!(list.matches(&format!("fork: {fork}, service: {card},")).count(), 1, "{list}");
        }
    }
    assert!(!out(&desk.run(&["check"])).contains("review-"));
    assert!(desk.all().keys().all(|path| !path.ends_with(".new")), "{:?}", desk.all().keys());
}

#[test]
fn pages_and_cards_say_who_vouches_what_changed_and_what_nobody_has_looked_at() {
    let desk = Desk::new();
    let build = || {
        let done = desk.run(&["build"]);
        assert_eq!(done.status.code(), Some(0), "{}", out(&done));
        ["cards/tarn-41--full-service", "forks/tarn-41", "forks/tarn-41/full-service", "review", "codes"]
            .map(|page| desk.read(&format!("site/{page}.html")).replace('\u{2011}', "-"))
    };
    // A shop that does not review is not told so at every number.
    let [card, fork, work, ..] = build();
    assert!(card.contains("none recorded"), "{card}");
    for page in [&card, &fork, &work] {
        assert!(!page.contains("UNREVIEWED"));
    }
    let gap = |date| {
        let done = desk.approve(&["tarn-41", "--by", "A. Wren", "--date", date, "--values", "oil.air_gap"]);
        assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    };
    gap("2026-05-04");
    let [card, fork, work, review, _] = build();
    assert!(card.contains("UNREVIEWED), A. Wren 2026-05-04") && card.contains("in part ("), "{card}");
    // The gap is vouched for, the cap's torque is not.
    let marked = |key: &str| line_on_card(&card, key).contains("UNREVIEWED");
    assert!(!marked("oil.air_gap") && marked("torque.cap_to_tube"));
    assert!(fork.contains("A. Wren, 2026-05-04: 1 value.") && work.contains("nobody has reviewed"));
    assert!(review.contains("safety-critical values"));
    // All of it is vouched for: nothing is marked. Then a number changes.
    let by = ["tarn-41", "--by", "A. Wren", "--date", "2026-05-05"];
    assert_eq!(desk.approve(&by).status.code(), Some(0));
    assert_eq!(desk.approve(&[&by[..], &["--compared", "sheet"]].concat()).status.code(), Some(0));
    let [card, fork, work, ..] = build();
    for page in [&card, &fork, &work] {
        assert!(!page.contains("UNREVIEWED") && !page.contains("CHANGED"));
    }
    let (code, _) = last_codes(&desk);
    desk.replace(FORK, GAP, OTHER_GAP);
    let [card, fork, work, review, codes] = build();
    // The card says it as the review list does, at its head and beside the number.
    let label = line_on_card(&card, "oil.air_gap");
    assert!(card.contains("CHANGED since 2026-05-04") && label.contains(">CHANGED<"), "{card}");
    assert!(!card.contains("UNREVIEWED"), "{card}");
    assert!(fork.contains("CHANGED") && work.contains("changed since the last review"));
    assert!(review.contains("Changed since A. Wren reviewed it on 2026-05-04."), "{review}");
    let old = &codes[codes.find("id=\"old\"").expect("the replaced cards")..];
    assert!(old.contains(&code) && old.contains("its numbers changed"), "{old}");
}

/// A dry fill of a tenth, pasted into a fork that was sound.
#[test]
fn a_number_that_a_finding_is_open_on_is_not_sealed_and_never_printed_until_somebody_answers_for_it() {
    let desk = Desk::new();
    desk.replace(FORK, "430 mL (14.5 US fl oz)", "43 mL (1.45 US fl oz)");
    let pour = "until the leg holds about 10 mL more than it needs";
    desk.replace("procedures/set-air-gap.md", pour, "to the [dry fill](spec:oil.dry_fill)");
    let before = desk.all();
    let by = ["tarn-41", "--by", "A. Wren", "--date", "2026-05-04"];
    // An error: nothing is recorded, and nothing is printed.
    let done = desk.approve(&by);
    assert_eq!(done.status.code(), Some(1), "{}", out(&done));
    assert_eq!(desk.approve(&[&by[..], &["--values", "oil.dry_fill"]].concat()).status.code(), Some(1));
    assert_eq!(desk.run(&["build"]).status.code(), Some(1));
    let after = desk.all().into_iter().filter(|(path, _)| !path.starts_with("site/"));
    assert_eq!(after.collect::<std::collections::BTreeMap<_, _>>(), before, "nothing is written");
    // The line that is shown, as it is shown, is the way out; without a reason it lets nothing through.
    let told = out(&desk.run(&["check", "tarn-41"])).split_whitespace().collect::<Vec<_>>().join(" ");
    let accept = "accept: {finding: outside-band, reason: \"…\", by: \"…\"}";
    assert!(told.contains(accept), "{told}");
    let line = format!("  dry_fill: {{value: 43 mL (1.45 US fl oz), {accept}}}\n");
    desk.replace(FORK, "  dry_fill: 43 mL (1.45 US fl oz)\n", &line);
    assert_eq!(desk.approve(&by).status.code(), Some(1));
    desk.replace(FORK, "reason: \"…\", by: \"…\"", "reason: \"A short leg, poured twice.\", by: \"A. Wren\"");
    let sealed = desk.approve(&by);
    assert_eq!(sealed.status.code(), Some(0), "{}{}", out(&sealed), err(&sealed));
    let built = desk.run(&["build"]);
    assert_eq!(built.status.code(), Some(0), "{}", out(&built));
    // Reviewed, and what let it stand is taken out again: the error comes back, and the site stays as it was.
    let page = desk.read("site/forks/tarn-41.html");
    desk.replace(
        FORK,
        line.replace("reason: \"…\", by: \"…\"", "reason: \"A short leg, poured twice.\", by: \"A. Wren\"")
            .as_str(),
        "  dry_fill: 43 mL (1.45 US fl oz)\n",
    );
    assert_eq!(desk.run(&["build"]).status.code(), Some(1));
    assert_eq!(desk.read("site/forks/tarn-41.html"), page);
}
