//! What a reviewer reads when a guard of a procedure, a caution, a condition or a service is taken away: its name, and
//! the words that differ.

use std::path::PathBuf;

use serde_json::{Value, json};

use super::support::{Ran, copy, edit, run};

/// Two copies of the shop with conditions, the second edited.
fn compared(edits: &[(&str, &str, &str)], format: &str) -> Ran {
    let dir = tempfile::tempdir().unwrap();
    let shop = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/shops/order");
    let (old, new) = (dir.path().join("old"), dir.path().join("new"));
    copy(&shop, &old);
    copy(&shop, &new);
    for (path, from, to) in edits {
        edit(&new, path, from, to);
    }
    run(dir.path(), &["compare", "old", "new", "--format", format])
}

fn guards(edits: &[(&str, &str, &str)]) -> Vec<(String, bool, String)> {
    let told: Value = serde_json::from_str(&compared(edits, "json").out).unwrap();
    let guard = |guard: &Value| {
        let text = |key: &str| guard[key].as_str().unwrap().to_owned();
        (text("record"), guard["lost"].as_bool().unwrap(), text("what"))
    };
    told["guards"].as_array().unwrap().iter().map(guard).collect()
}

const CRACK: &str = "procedures/crack-caps.md";
const CAUTION: &str = "procedures/cautions/stored-air.md";
const CONDITIONS: &str = "procedures/conditions.yaml";
const NEED: (&str, &str, &str) = (CRACK, "[leg-in, rebound-out, air-out]", "[leg-in, rebound-out]");

#[test]
fn a_need_that_went_is_named_with_what_it_says() {
    let lost = ("procedure crack-caps".into(), true, "no longer needs `air-out` (the air is let out)".into());
    assert_eq!(guards(&[NEED]), [lost]);
    let text = compared(&[NEED], "text");
    assert_eq!(text.code, 0);
    let words = text.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("1 guard TAKEN AWAY"), "{words}");
    assert!(words.contains("GUARD TAKEN AWAY: it no longer needs `air-out` (the air is let out)"), "{words}");
    let markdown = compared(&[NEED], "markdown").out;
    assert!(markdown.contains("- **GUARD TAKEN AWAY:** it no longer needs \\`air-out\\`"), "{markdown}");
}

#[test]
fn every_kind_of_guard_is_named() {
    let cases = [
        (
            (CAUTION, "signal: danger", "signal: caution"),
            ("caution stored-air", true, "says CAUTION and no longer DANGER"),
        ),
        (
            ("procedures/set-pressures.md", "[Air under pressure](caution:stored-air)\n\n   ", ""),
            ("procedure set-pressures", true, "no longer carries the caution `stored-air`"),
        ),
        (
            ("procedures/bounce.md", "ends: [pinch-tight]\n", ""),
            ("procedure bounce", true, "no longer ends `pinch-tight` (the pinch bolts have their torque)"),
        ),
        (
            (CRACK, "brings: [cap-cracked]", "brings: [cap-cracked, air-out]"),
            ("procedure crack-caps", true, "now brings about `air-out` (the air is let out)"),
        ),
        (
            (CONDITIONS, "pressure-set, pinch-tight, card-signed]", "pressure-set, pinch-tight]"),
            (
                "service full-service",
                true,
                "no longer asks at hand-back for `card-signed` (the card is signed)",
            ),
        ),
        (
            (CONDITIONS, "    excludes: [air-in]\n    cautions: [stored-air]", "    excludes: [air-in]"),
            ("condition air-out", true, "no longer carries the caution `stored-air`"),
        ),
        (
            ("procedures/pinch.md", "needs: [fork-bounced]", "needs: [fork-bounced, wheel-in]"),
            ("procedure pinch", false, "now needs `wheel-in` (the wheel is in)"),
        ),
    ];
    for (edit, (record, lost, what)) in cases {
        assert_eq!(guards(&[edit]), [(record.to_owned(), lost, what.to_owned())], "{edit:?}");
    }
}

#[test]
fn a_step_that_was_deleted_is_a_guard_and_one_that_was_added_is_told() {
    let more = (CRACK, "1. Turn each cap a quarter turn.", "1. Turn each cap a quarter turn.\n2. Wait.");
    assert_eq!(guards(&[more]), []);
    let told: Value = serde_json::from_str(&compared(&[more], "json").out).unwrap();
    assert_eq!(
        (told["texts"][0]["part"].as_str(), told["texts"][0]["safety"].as_bool()),
        (Some("step 2"), Some(true))
    );
    let gone = ("procedures/pinch.md", "1. Tighten the pinch bolts in turns.", "Tighten the pinch bolts.");
    let what = "has lost its step 1, of 1".to_owned();
    let said = "no longer says “Tighten the pinch bolts in turns”".to_owned();
    let pinch = || "procedure pinch".to_owned();
    assert_eq!(guards(&[gone]), [(pinch(), true, said), (pinch(), true, what)]);
}

#[test]
fn the_words_that_differ_are_marked_in_every_format() {
    let half = (CRACK, "1. Turn each cap a quarter turn.", "1. Turn each cap half a turn.");
    let text = compared(&[half], "text").out;
    assert!(text.contains("step 1  SAFETY"), "{text}");
    assert!(text.contains("before  Turn each cap a {quarter} turn."), "{text}");
    assert!(text.contains("after   Turn each cap {half} a turn."), "{text}");
    let markdown = compared(&[half], "markdown").out;
    assert!(markdown.contains("after: Turn each cap **half** a turn."), "{markdown}");
    let told: Value = serde_json::from_str(&compared(&[half], "json").out).unwrap();
    assert_eq!(
        told["texts"][0]["new_runs"],
        json!([
            {"text": "Turn each cap", "differs": false},
            {"text": "half", "differs": true},
            {"text": "a turn.", "differs": false},
        ])
    );
    assert_eq!(told["texts"][0]["new"], "Turn each cap half a turn.");
}

#[test]
fn what_only_looks_different_is_no_change() {
    let wrapped =
        (CAUTION, "before it is let out. Read the gauge,", "before it is let\nout. Read the gauge,");
    let order = (CRACK, "[leg-in, rebound-out, air-out]", "[air-out, leg-in, rebound-out]");
    assert_eq!(compared(&[wrapped, order], "text").out, "old -> new\nNothing changed.\n");
}

#[test]
fn a_state_and_a_pressure_say_what_they_do_and_an_unchanged_number_has_no_slip() {
    let fork = "specs/forks/tarn-41.yaml";
    let told: Value = serde_json::from_str(&compared(&[(fork, "rod: down", "rod: up")], "json").out).unwrap();
    let change = &told["values"][0];
    assert_eq!(
        change["bench"],
        json!([
            "the number belongs to another state than before (rod up): reached in the old one it is another amount"
        ])
    );
    assert_eq!(change["slip"], Value::Null);
    // A gauge pressure works on the same piston: the force goes with it (force = pressure × area).
    let half = ("specs/forks/fell-48.yaml", "960 kPa (139 psi)", "480 kPa (70 psi)");
    let told: Value = serde_json::from_str(&compared(&[half], "json").out).unwrap();
    let bench = told["values"][0]["bench"].to_string();
    assert!(bench.contains("the gas pushes with 50 % of the force of before"), "{told:#}");
}

#[test]
fn pages_come_last_and_folded() {
    let markdown = compared(&[NEED], "markdown").out;
    let at = markdown.find("<details><summary>").expect("folded pages");
    assert!(markdown.trim_end().ends_with("</details>") && !markdown[at..].contains("###"), "{markdown}");
    let text = compared(&[NEED], "text").out;
    let last = text.lines().rev().find(|line| line.contains("differently")).expect("the pages");
    assert!(
        last.contains(" page reads differently: ") || last.contains(" pages read differently: "),
        "{text}"
    );
}
