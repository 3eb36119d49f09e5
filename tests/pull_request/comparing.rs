//! What a reviewer reads instead of a plain difference: which values changed, what that does, and whether a
//! unit slipped.

use std::path::Path;

use serde_json::Value;

use super::support::{Ran, copy_shop, edit, run};

const FORK: &str = "specs/forks/tarn-41.yaml";
const FAMILY: &str = "specs/families/tarn-road.yaml";

/// Two copies of a shop, the second edited.
fn compared(edits: &[(&str, &str, &str)], more: &[&str]) -> Ran {
    let dir = tempfile::tempdir().unwrap();
    let (old, new) = (dir.path().join("old"), dir.path().join("new"));
    copy_shop(&old);
    copy_shop(&new);
    for (path, from, to) in edits {
        edit(&new, path, from, to);
    }
    run(dir.path(), &[&["compare", "old", "new"], more].concat())
}

fn json(edits: &[(&str, &str, &str)]) -> Value {
    let ran = compared(edits, &["--format", "json"]);
    assert!(ran.err.is_empty(), "{}", ran.err);
    let told: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(told["schema"], "benchleaf-comparison/1");
    told
}

fn list<'v>(told: &'v Value, key: &str) -> &'v [Value] {
    told[key].as_array().unwrap()
}

#[test]
fn a_torque_pasted_in_the_wrong_unit_is_named_once_for_all_models_of_the_family() {
    let told = json(&[(FAMILY, "axle: {value: 65 N·m (48 lbf·ft)", "axle: {value: 48 N·m")]);
    let [change] = list(&told, "values") else { panic!("{told:#}") };
    assert_eq!(
        (change["record"].as_str(), change["key"].as_str()),
        (Some("family tarn-road"), Some("torque.axle"))
    );
    assert_eq!(change["old"]["shown"], "65 N·m (48 lbf·ft)");
    assert_eq!(change["new"]["shown"], "48 N·m (35 lbf·ft)");
    // 48/65 = 0.7385, worked out by hand.
    assert_eq!((change["absolute"].as_str(), change["relative"].as_str()), (Some("−17 N·m"), Some("−26 %")));
    assert_eq!(change["bench"][0], "the joint is clamped 74 % as hard as before, at the same friction");
    // 48 lbf·ft = 65.08 N·m (NIST SP 811: 1 lbf·ft = 1.355 818 N·m).
    let slip = change["slip"].as_str().unwrap();
    assert!(slip.contains("48 lbf·ft (65.1 N·m)"), "{slip}");
    assert_eq!(change["reaches"], serde_json::json!(["tarn-41", "tarn-45"]));
    assert_eq!(change["safety"], true);
    // Said only once now, which is a finding.
    let codes: Vec<&str> = list(&told, "found").iter().map(|said| said["code"].as_str().unwrap()).collect();
    assert!(codes.contains(&"stated-once"), "{codes:?}");
    assert_eq!(list(&told, "stale").len(), 4, "the job card and the hang card of each model");
}

#[test]
fn a_torque_in_the_wrong_unit_is_asked_about_though_its_second_unit_agrees() {
    let axle = |new: &str| {
        let told = json(&[(FAMILY, "axle: {value: 65 N·m (48 lbf·ft)", &format!("axle: {{value: {new}"))]);
        list(&told, "values")[0]["slip"].as_str().map(str::to_owned)
    };
    // 48 lbf·ft taken over as N·m; 65 N·m read as lbf·ft, 65 × 1.355 818 = 88.1 (NIST SP 811).
    let short = axle("48 N·m (35 lbf·ft)").unwrap();
    assert!(short.starts_with("48 lbf·ft (65.1 N·m) would be the old value"), "{short}");
    assert!(short.ends_with("and the second unit worked out from it"), "{short}");
    let long = axle("88 N·m (65 lbf·ft)").unwrap();
    assert_eq!(long, "65 lbf·ft (88.1 N·m) is the new value: maybe the old number was read in another unit");
    assert_eq!(axle("58 N·m (43 lbf·ft)"), None, "a change that no unit explains");
}

#[test]
fn a_gap_tells_the_oil_it_moves() {
    let gap = (FORK, "96 mm ± 2 mm (3.78 in)", "106 mm ± 2 mm (4.17 in)");
    let told = json(&[gap]);
    let find = || list(&told, "values").iter().find(|change| change["key"] == "oil.air_gap");
    let change = find().unwrap_or_else(|| panic!("{told:#}"));
    assert_eq!((change["absolute"].as_str(), change["relative"].as_str()), (Some("+10 mm"), Some("+10 %")));
    // π/4·(37.5² − 10²) mm² × 10 mm = 10 259 mm³, by hand.
    assert_eq!(change["bench"], serde_json::json!(["10 mL less oil in the leg"]));
    let air = list(&told, "outcomes")
        .iter()
        .find(|outcome| outcome["title"].as_str().unwrap().starts_with("air force"));
    let air = air.unwrap_or_else(|| panic!("{told:#}"));
    let newtons = |side: &str| air[side].as_str().unwrap().split(' ').next().unwrap().parse::<f64>().unwrap();
    assert!(newtons("new") < newtons("old"), "more air is a softer end of travel: {air}");
    assert_eq!(change["slip"], Value::Null);
}

/// The reviewer holds the change against the card, and against the sheet that the record was written from.
#[test]
fn a_change_is_told_in_the_cards_unit_before_the_records() {
    let axle = |value: &str| format!("axle: {{value: {value}");
    let told = |old: &str, new: &str| {
        let dir = tempfile::tempdir().unwrap();
        for (name, value) in [("old", old), ("new", new)] {
            copy_shop(&dir.path().join(name));
            edit(&dir.path().join(name), FAMILY, &axle("65 N·m (48 lbf·ft)"), &axle(value));
        }
        let ran = run(dir.path(), &["compare", "old", "new"]);
        let line = ran.out.lines().find(|line| line.trim_start().starts_with("change")).map(str::to_owned);
        line.unwrap_or_else(|| panic!("{}", ran.out)).trim().to_owned()
    };
    // The card prints N·m: as written beside it, and worked out where it is not. 1 kgf·m is 9.80665 N·m exactly
    // (NIST SP 811), so 6.0 kgf·m is 59 N·m and 6.6 kgf·m 65 N·m.
    let change = told("6.6 kgf·m (65 N·m)", "6.0 kgf·m (59 N·m)");
    assert!(change.ends_with("−6 N·m (−0.6 kgf·m), −9.1 %"), "{change}");
    let change = told("6.6 kgf·m", "6.0 kgf·m");
    assert!(change.ends_with("−6 N·m (−0.6 kgf·m), −9.1 %"), "{change}");
    // Written in the card's own unit it is told once.
    let change = told("65 N·m (48 lbf·ft)", "59 N·m (44 lbf·ft)");
    assert!(change.ends_with("−6 N·m, −9.2 %"), "{change}");
}

#[test]
fn what_means_the_same_is_no_change() {
    let told = json(&[
        (FORK, "96 mm ± 2 mm (3.78 in)", "\"96 ± 2 mm (3.78 in)\""),
        (FORK, "maker: Tarn Suspension\nmodel: T41", "model: T41   # the first\nmaker: Tarn Suspension"),
    ]);
    assert_eq!(list(&told, "values"), [] as [Value; 0], "{told:#}");
    let ran = compared(&[], &[]);
    assert_eq!((ran.code, ran.out.as_str()), (0, "old -> new\nNothing changed.\n"));
}

#[test]
fn a_changed_source_or_state_is_told_though_the_number_stays() {
    let told = json(&[
        (FORK, "rod: down, rest: 10 min", "rod: up, rest: 10 min"),
        (FORK, "rate: 8.8 N/mm", "rate: {value: 8.8 N/mm, source: bench}"),
    ]);
    let changes = list(&told, "values");
    let keys: Vec<&str> = changes.iter().map(|change| change["key"].as_str().unwrap()).collect();
    assert_eq!(keys, ["oil.air_gap", "spring.rate"]);
    assert!(changes[0]["new"]["state"].as_str().unwrap().contains("rod up"), "{}", changes[0]);
    assert_eq!(
        changes[1]["new"]["sources"],
        serde_json::json!(["measured in the shop, Measured on two legs, A. Wren, 2024-05-11"])
    );
    assert_eq!(changes[1]["absolute"], Value::Null);
}

#[test]
fn steps_are_compared_by_what_they_say_not_by_their_numbers() {
    let told = json(&[
        (
            "procedures/set-air-gap.md",
            "1. Pour [fork oil]",
            "1. Stand the leg upright in soft jaws.\n\n   > A leaning leg reads wrong.\n\n2. Pour [fork oil]",
        ),
        ("procedures/set-air-gap.md", "2. [Air under the oil]", "3. [Air under the oil]"),
        ("procedures/services/full-service.yaml", "[set-air-gap, close-leg]", "[close-leg, set-air-gap]"),
    ]);
    let texts = list(&told, "texts");
    let steps: Vec<&Value> = texts.iter().filter(|text| text["record"] == "procedure set-air-gap").collect();
    let [step] = steps[..] else { panic!("{texts:#?}") };
    assert_eq!((step["part"].as_str(), step["old"].as_str()), (Some("step 1"), None));
    assert_eq!(step["new"], "Stand the leg upright in soft jaws. A leaning leg reads wrong.");
    assert_eq!(texts.iter().filter(|text| text["record"] == "service full-service").count(), 2, "{texts:#?}");
    // A hang card has its torques in the order of the service.
    assert_eq!(list(&told, "stale").len(), 4);
}

#[test]
fn what_comes_into_a_head_and_what_goes_is_said_in_plain_words() {
    let told = |from: &str, to: &str| compared(&[(FORK, from, to)], &[]).out;
    let came = told("source: sheet\n", "source: sheet\nnotes: Looked at twice.\n");
    assert!(came.contains("notes: Looked at twice. was added"), "{came}");
    let other = told("maker: Tarn", "maker: Fell");
    assert!(other.contains("Tarn before, Fell now") || other.contains(" before, "), "{other}");
    assert!(!came.contains("nothing is now"), "{came}");
}

#[test]
fn a_change_that_brings_an_error_fails() {
    let ran = compared(&[(FORK, "free_length: 312 mm", "free_length: 312")], &[]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("New findings\n  error"), "{}", ran.out);
    assert!(ran.out.contains("312 (unreadable)"), "{}", ran.out);
    let back = json(&[]);
    assert_eq!(list(&back, "found").len(), 0);
}

#[test]
fn the_shops_own_words_stay_words_in_markdown() {
    let ran = compared(
        &[(
            "procedures/close-leg.md",
            "1. Tighten the cap",
            "1. @everyone <img src=x> `a|b` | *Tighten* the cap",
        )],
        &["--format", "markdown"],
    );
    let line = ran.out.lines().find(|line| line.contains("after: ")).unwrap();
    assert!(line.contains("@\u{200d}everyone &lt;img src=x&gt; \\`a\\|b\\` \\| \\*Tighten\\*"), "{line}");
}

#[test]
fn a_shop_on_one_side_only_is_all_new() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(&dir.path().join("new"));
    std::fs::create_dir_all(dir.path().join("old/specs")).unwrap();
    let ran = run(dir.path(), &["compare", "old", "new", "--format", "json"]);
    let told: Value = serde_json::from_str(&ran.out).unwrap();
    let new: Vec<&str> = list(&told, "records")
        .iter()
        .filter(|change| change["what"].as_str().unwrap().starts_with("is new"))
        .map(|change| change["record"].as_str().unwrap())
        .collect();
    assert!(new.contains(&"fork tarn-41") && new.contains(&"procedure close-leg"), "{new:?}");
    assert_eq!(list(&told, "withdrawn")[0]["code"], "no-forks");
    let missing = run(dir.path(), &["compare", "nowhere", "new"]);
    assert_eq!((missing.code, missing.out.as_str()), (2, ""));
}

/// A reviewer of a new fork reads no record: what can hurt, where it is from, what nobody compared, what nobody knows
/// and what somebody let stand is told.
#[test]
fn a_new_fork_is_told_with_all_that_its_reviewer_has_to_see() {
    let dir = tempfile::tempdir().unwrap();
    let (old, new) = (dir.path().join("old"), dir.path().join("new"));
    copy_shop(&old);
    copy_shop(&new);
    std::fs::remove_file(old.join(FORK)).unwrap();
    edit(
        &new,
        FORK,
        "  dry_fill: 430 mL (14.5 US fl oz)\n",
        "  dry_fill: {value: unknown, instead: {do: \"Fill by the gap alone\", by: A. Wren}}\n",
    );
    edit(
        &new,
        FORK,
        "    value: 96 mm ± 2 mm (3.78 in)\n",
        "    value: 74 mm ± 2 mm (2.91 in)\n    accept: {finding: outside-band, reason: \"Short legs.\", by: A. Wren}\n",
    );
    let ran = run(dir.path(), &["compare", "old", "new"]);
    let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "Made of by its family tarn-road: inverted†",
        "Can hurt somebody, said of this fork Run-out limit",
        "Air gap: 74 ± 2 mm (2.91 in); from the outer tube's top edge",
        "maker's sheet, Service sheet T41, 2018-03",
        "Can hurt somebody, taken over from the family",
        "Cap to tube: 24 N·m (18 lbf·ft); sequence: 2, thread: M44 × 1, thread state: oiled",
        "Tarn road forks, common figures, 2017-11 †",
        "Taken over besides, compared with no sheet of this fork 6 values: oil",
        "Unknown Dry fill: the sheet does not say; instead, by A. Wren: Fill by the gap alone",
        "Let stand Air gap: outside-band, by A. Wren: Short legs.",
    ] {
        assert!(told.contains(part), "{part}\n{}", ran.out);
    }
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    let json: Value =
        serde_json::from_str(&run(dir.path(), &["compare", "old", "new", "--format", "json"]).out).unwrap();
    assert_eq!(json["added"][0]["record"], "fork tarn-41");
    assert_eq!(json["added"][0]["parts"][0]["title"], "Made of");
}

#[test]
fn a_renamed_record_is_the_same_model() {
    let dir = tempfile::tempdir().unwrap();
    let (old, new) = (dir.path().join("old"), dir.path().join("new"));
    copy_shop(&old);
    copy_shop(&new);
    rename(&new);
    let ran = run(dir.path(), &["compare", "old", "new", "--format", "json"]);
    let told: Value = serde_json::from_str(&ran.out).unwrap();
    let records = list(&told, "records");
    assert_eq!(
        records,
        [serde_json::json!({"record": "fork tarn-40", "what": "was called tarn-41"})],
        "{told:#}"
    );
    assert_eq!(list(&told, "values"), [] as [Value; 0]);
}

pub fn rename(shop: &Path) {
    edit(shop, FORK, "id: tarn-41", "id: tarn-40");
    std::fs::rename(shop.join(FORK), shop.join("specs/forks/tarn-40.yaml")).unwrap();
}
