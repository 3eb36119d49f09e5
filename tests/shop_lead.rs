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
    let errors: Vec<&str> = said.lines().filter(|line| line.ends_with(": ERROR")).collect();
    assert_eq!(errors.len(), 3, "{said}");
    assert!(said.contains("imp fl oz"), "names the reading that agrees:\n{said}");
    assert!(said.contains("did you mean `solid_length`?"), "{said}");
    assert!(said.lines().all(|line| line.chars().count() <= 80), "80 columns:\n{said}");
    for place in ["37:21", "44:3", "68:32"] {
        assert!(said.contains(&format!("{FORK}:{place}: ERROR\n")), "{place}\n{said}");
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
    let made = run(&["new", "shop", "shop", "--with-demo"]);
    assert_eq!(made.status.code(), Some(0), "{}", out(&made));
    for words in [
        &["new", "fork", "orrin-r38"][..],
        &["new", "fork", "orrin-r38b", "--like", "tarnholm-u41"],
        &["new", "oil", "orrin-light"],
        &["new", "spring", "orrin-90"],
        &["new", "build", "u41-two-up", "--over", "tarnholm-u41"],
        &["new", "valving", "u41-stiff", "--of", "tarnholm-u41"],
        &["new", "procedure", "look-at-the-clips"],
        &["new", "tool", "clip-gauge"],
        &["new", "caution", "loose-clips"],
        &["new", "condition", "clips-seen"],
        &["new", "service", "quick-look", "--like", "tarnholm-u41"],
    ] {
        let done = run(words);
        assert_eq!(done.status.code(), Some(0), "{words:?}: {}", out(&done));
        let again = run(words);
        assert_ne!(again.status.code(), Some(0), "{words:?} a second time overwrites nothing");
    }
    let check = run(&["check", "--format", "short"]);
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
    let check = run(&["check", "--format", "short"]);
    assert_eq!(check.status.code(), Some(0), "{}", out(&check));
    assert!(!out(&check).contains("is not made"), "{}", out(&check));
    assert!(out(&check).contains("`oil.air_gap` is missing"), "{}", out(&check));
    std::fs::write(&path, text.replace("status: draft", "status: published")).expect("written");
    assert_eq!(run(&["check"]).status.code(), Some(1), "a published fork may lack nothing");
}

/// What `check` offers for a value that is missing must never be taken for what a sheet says: pasted as it stands, all
/// of it, it is refused, and a fork published with a template's words is told so.
#[test]
fn no_sample_that_is_offered_can_be_pasted_as_a_figure() {
    let shop = ShopCopy::new();
    assert_eq!(shop.run(&["new", "fork", "orrin-r41", "--like", "tarnholm-u41"]).status.code(), Some(0));
    let path = "specs/forks/orrin-r41.yaml";
    let data = || -> Vec<serde_json::Value> {
        let done = shop.run(&["check", "--format", "json"]);
        let data: serde_json::Value = serde_json::from_str(&out(&done)).expect("JSON");
        let all = data["findings"].as_array().expect("findings").clone();
        all.into_iter().filter(|finding| finding["path"] == path).collect()
    };
    let found = data();
    let missing: Vec<String> = found
        .iter()
        .filter(|finding| finding["code"] == "missing-value")
        .map(|finding| finding["instead"].as_str().expect("a sentence").to_owned())
        .collect();
    assert!(missing.len() > 10, "{missing:?}");
    assert!(
        missing.iter().all(|instead| !instead.contains(|c: char| c.is_ascii_digit())),
        "a figure is offered: {missing:?}"
    );
    // Every line that is offered, pasted under its group.
    let mut groups: std::collections::BTreeMap<&str, String> = std::collections::BTreeMap::new();
    for instead in &missing {
        let mut quoted = instead.split('`').skip(1).step_by(2);
        let group = quoted.next().expect("the group").trim_end_matches(':');
        let line = quoted.next().expect("the line");
        groups.entry(group).or_default().push_str(&format!("  {line}\n"));
    }
    let pasted: String = groups.iter().map(|(group, lines)| format!("{group}:\n{lines}")).collect();
    let count = missing.len();
    let text = std::fs::read_to_string(shop.file(path)).expect("the draft");
    let text = text.replace("status: draft", "status: published") + &pasted;
    std::fs::write(shop.file(path), text).expect("written");
    let errors: Vec<serde_json::Value> =
        data().into_iter().filter(|finding| finding["severity"] == "error").collect();
    let lines: std::collections::BTreeSet<u64> =
        errors.iter().filter_map(|finding| finding["start"]["line"].as_u64()).collect();
    assert!(lines.len() >= count, "each of {count} lines is refused: {errors:?}");
    // The template's own words are told as well.
    let words = |words: &str| {
        errors.iter().any(|finding| {
            finding["code"] == "placeholder" && finding["message"].as_str().is_some_and(|m| m.contains(words))
        })
    };
    assert!(words("The sheet's name and issue") && words("What it is called"), "{errors:?}");
}

/// What procedures ask of one fork is one list at its record, as lines to fill in; the shop's own records are offered
/// where one is to be named.
#[test]
fn what_procedures_need_of_a_fork_is_told_once_at_its_record() {
    let shop = ShopCopy::new();
    let draft = "specs/forks/brackwater-d33.yaml";
    let text = std::fs::read_to_string(shop.file(draft)).expect("the draft");
    let oil = text.lines().find(|line| line.starts_with("  oil: ")).expect("its oil");
    shop.replace(draft, &format!("{oil}\n"), "");
    let done = shop.run(&["check", "--format", "json"]);
    let data: serde_json::Value = serde_json::from_str(&out(&done)).expect("JSON");
    let all = data["findings"].as_array().expect("findings");
    let needs: Vec<&serde_json::Value> =
        all.iter().filter(|finding| finding["code"] == "procedure-needs-value").collect();
    let own: Vec<&&serde_json::Value> = needs.iter().filter(|finding| finding["path"] == draft).collect();
    assert_eq!(own.len(), 1, "{needs:?}");
    assert!(
        needs.iter().all(|finding| finding["path"].as_str().is_some_and(|p| p.starts_with("specs/forks/")))
    );
    let lines: Vec<&str> =
        own[0]["lines"].as_array().expect("lines").iter().filter_map(|line| line.as_str()).collect();
    for wanted in ["torque:", "  caliper: {value: … N·m (… lbf·ft), thread_state: …}", "setup:"] {
        assert!(lines.contains(&wanted), "{wanted}: {lines:?}");
    }
    assert!(lines.iter().any(|line| line.contains("(check-sag)")), "{lines:?}");
    let oil = all.iter().find(|finding| {
        finding["path"] == draft
            && finding["message"].as_str().is_some_and(|m| m.contains("`oil.oil` is missing"))
    });
    let instead = oil.expect("the oil")["instead"].as_str().expect("a sentence");
    assert!(instead.contains("`oil: …`") && instead.contains("`quillon-damp-10`"), "{instead}");
}

/// Among everything that is open in a shop, the shop lead asks about the one fork in hand.
#[test]
fn one_fork_can_be_asked_about_by_its_id_or_its_record() {
    let shop = ShopCopy::new();
    shop.replace(FORK, "stroke: 122 mm", "stroke: 122");
    shop.replace("specs/forks/tarnholm-u48.yaml", "stroke: ", "strok: ");
    for what in [&["tarnholm-u45"][..], &[FORK], &[".", "tarnholm-u45"], &[".", FORK]] {
        let done = shop.run(&[&["check", "--format", "short"], what].concat());
        let said = out(&done);
        assert_eq!(done.status.code(), Some(1), "{what:?}: {said}");
        assert!(said.contains("error bare-number:") && !said.contains("tarnholm-u48"), "{what:?}: {said}");
        let last = said.lines().last().expect("a line");
        assert!(last.starts_with("Only what reaches `tarnholm-u45` is told; left out"), "{last}");
        assert!(last.contains("1 error"), "{last}");
    }
    // Somebody else's mistake does not count here.
    assert_eq!(shop.run(&["check", "tarnholm-u41"]).status.code(), Some(0));
    let done = shop.run(&["check", "tarnholm-u4l"]);
    assert_eq!(done.status.code(), Some(2));
    let told = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(told.contains("there is no folder and no fork `tarnholm-u4l`"), "{told}");
    // What a family says wrongly reaches its forks.
    shop.replace(FORK, "stroke: 122", "stroke: 122 mm");
    let family = "specs/families/tarnholm-inverted.yaml";
    let text = std::fs::read_to_string(shop.file(family)).expect("the family");
    let difference =
        text.lines().find(|line| line.trim_start().starts_with("air_gap_difference:")).expect("a line");
    shop.replace(family, difference, "  air_gap_difference: ≤ 90 mm");
    assert!(out(&shop.run(&["check", "tarnholm-u45"])).contains("outside-band"));
    assert!(!out(&shop.run(&["check", "velmora-c45"])).contains("air_gap_difference"));
}

/// What a command refuses or takes away is said in a word, and what it refuses it leaves as it was.
#[test]
fn a_build_says_what_it_takes_away_and_leaves_a_strangers_folder_alone() {
    let shop = ShopCopy::of(&common::root().join("tests/shops/plain"));
    let err = |done: &std::process::Output| String::from_utf8_lossy(&done.stderr).into_owned();
    std::fs::create_dir(shop.file("foreign")).expect("a folder");
    std::fs::write(shop.file("foreign/index.html"), "a stranger's").expect("a page");
    let refused = shop.run(&["build", "--out", "foreign"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(
        err(&refused).contains("A file that benchleaf did not write stands where a page"),
        "{}",
        err(&refused)
    );
    let left: Vec<_> = std::fs::read_dir(shop.file("foreign")).expect("the folder").collect();
    assert_eq!(left.len(), 1, "nothing was made in it: {left:?}");
    assert_eq!(shop.run(&["build"]).status.code(), Some(0));
    std::fs::remove_dir_all(shop.file("procedures/services")).expect("the services");
    let done = shop.run(&["build"]);
    assert!(err(&done).contains("every bench card"), "{}", err(&done));
    // With an error, what stands there is named only where it stands.
    shop.replace("specs/forks/tarn-41.yaml", "stroke: 118 mm", "stroke: 118");
    assert!(err(&shop.run(&["build"])).contains("the site that was there stays"));
    let elsewhere = shop.run(&["build", "--out", "elsewhere"]);
    assert_eq!(err(&elsewhere).trim(), "nothing was published");
}

/// At the bench a question is typed as it comes, and the answer names everything that is still needed.
#[test]
fn questions_from_the_bench_are_read_as_they_are_typed() {
    let shop = ShopCopy::new();
    let said = |arguments: &[&str], code: i32| {
        let done = shop.run(arguments);
        let told = format!("{}{}", out(&done), String::from_utf8_lossy(&done.stderr));
        assert_eq!(done.status.code(), Some(code), "{arguments:?}: {told}");
        told
    };
    assert!(said(&["convert", "22", "Nm", "--to", "ft-lb"], 0).contains("16.2 lbf·ft"));
    assert!(said(&["convert", "12 clicks"], 2).contains("has no other unit"));
    assert!(said(&["calc", "oil", "--oil", "quillon-damp-15"], 0).contains("ISO VG"));
    let shelf = said(&["calc", "substitutes", "--oil", "quillon-damp-15"], 0);
    let offered = shelf.split("No substitute").next().expect("what is offered");
    assert!(offered.contains("marrowhill-race-16") && !offered.contains("marrowhill-fork-46"), "{shelf}");
    let clicks = said(&["calc", "clicks", "--fork", "tarnholm-u41", "--clicks", "30"], 2);
    assert!(clicks.contains("no adjuster of tarnholm-u41 has 30 clicks"), "{clicks}");
    let gap = said(&["calc", "gap"], 2);
    assert!(["--bore", "--reading", "--gap"].iter().all(|option| gap.contains(option)), "{gap}");
    assert!(said(&["pull", "tarnhom-u41:full-service"], 2).contains("did you mean `tarnholm-u41`?"));
    assert!(said(&["explain", "error bare-number:"], 0).starts_with("bare-number"));
    assert!(said(&["schema"], 0).contains("fork.schema.json"));
}

/// A new service is put in order by what its procedures need and bring about, not by their names.
#[test]
fn a_new_service_is_in_an_order_in_which_the_work_can_be_done() {
    let shop = ShopCopy::new();
    assert_eq!(
        shop.run(&["new", "service", "small-service", "--like", "tarnholm-u41"]).status.code(),
        Some(0)
    );
    let text =
        std::fs::read_to_string(shop.file("procedures/services/small-service.yaml")).expect("the draft");
    let place =
        |id: &str| text.lines().position(|line| line.trim_start().starts_with(&format!("- {id}"))).expect(id);
    for (first, then) in [
        ("remove-wheel", "remove-legs"),
        ("remove-legs", "drain-oil"),
        ("drain-oil", "part-tubes"),
        ("fit-seals-inverted", "fill-dry"),
        ("fill-dry", "bleed-open-cartridge"),
        ("bleed-open-cartridge", "set-air-gap"),
        ("set-air-gap", "fit-spring-over-rod"),
        ("fit-spring-over-rod", "fit-cap-on-rod"),
        ("fit-cap-on-rod", "refit-legs"),
        ("refit-legs", "test-ride"),
    ] {
        assert!(place(first) < place(then), "{first} before {then}: {text}");
    }
    // What is left to do is to take out what an oil change does instead of a strip.
    let said = out(&shop.run(&["check", "--format", "short"]));
    let wrong = said.lines().filter(|line| line.contains(": error condition-not-met: ")).count();
    let refill = said.lines().filter(|line| line.contains(": error condition-not-met: `refill`")).count();
    assert!(wrong <= refill + 1, "{said}");
}

/// Too little oil on the shelf looks like enough: an amount that is not on record is told.
#[test]
fn the_shelf_list_of_a_draft_says_which_amounts_it_lacks() {
    let shop = ShopCopy::new();
    let done = shop.run(&["new", "fork", "my-fork", "--like", "tarnholm-u41"]);
    assert_eq!(done.status.code(), Some(0), "{}", out(&done));
    let done = shop.run(&["pull", "my-fork:oil-change"]);
    let list = out(&done);
    assert_eq!(done.status.code(), Some(0), "{list}");
    let not_counted = list.split("Not counted").nth(1).unwrap_or_default();
    assert!(not_counted.contains("`oil.refill` is missing"), "{list}");
}

/// From an empty folder to the first fork's card: the lines that `check` offers, once the choices are made, are all that
/// is missing. The figures are invented.
#[test]
fn the_first_fork_of_an_empty_folder_gets_its_card_from_the_lines_that_check_offers() {
    let folder = tempfile::tempdir().expect("a folder");
    let shop = folder.path().join("shop");
    let run = |words: &[&str]| {
        std::process::Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(words)
            .current_dir(if shop.is_dir() { &shop } else { folder.path() })
            .output()
            .expect("it runs")
    };
    assert!(run(&["new", "shop", "shop"]).status.success());
    for words in [["new", "fork", "my-fork"], ["new", "oil", "my-oil"]] {
        assert!(run(&words).status.success(), "{words:?}");
    }
    let written = |name: &str| {
        std::fs::read_to_string(common::root().join("tests/first_fork").join(name)).expect("a record")
    };
    let (fork, oil) = (written("my-fork.yaml"), written("my-oil.yaml"));
    // The choices are made, the values are not.
    let (head, values) = fork.split_once("\ntubes:\n").expect("the first group");
    let values = format!("tubes:\n{values}");
    let path = shop.join("specs/forks/my-fork.yaml");
    std::fs::write(&path, head.replace("status: published", "status: draft")).expect("written");
    let told = run(&["check", "--format", "json", ".", "my-fork"]);
    let data: serde_json::Value = serde_json::from_str(&out(&told)).expect("JSON");
    let all = data["findings"].as_array().expect("findings");
    let needs = all.iter().find(|finding| finding["code"] == "procedure-needs-value").expect("the lines");
    let offered: Vec<&str> =
        needs["lines"].as_array().expect("lines").iter().filter_map(|line| line.as_str()).collect();
    let keys = |lines: &mut dyn Iterator<Item = &str>| -> std::collections::BTreeSet<String> {
        let mut group = String::new();
        lines
            .filter_map(|line| {
                let key = line.trim_start().split(':').next().filter(|key| !key.starts_with('#'))?;
                match line.len() - line.trim_start().len() {
                    0 => key.clone_into(&mut group),
                    2 => return Some(format!("{group}.{key}")),
                    _ => {}
                }
                None
            })
            .collect()
    };
    assert_eq!(keys(&mut offered.into_iter()), keys(&mut values.lines()));
    std::fs::write(&path, &fork).expect("written");
    std::fs::write(shop.join("specs/oils/my-oil.yaml"), oil).expect("written");
    let check = run(&["check"]);
    assert!(check.status.success() && !out(&check).contains("WARNING"), "{}", out(&check));
    assert!(run(&["build"]).status.success());
    let card = std::fs::read_to_string(shop.join("site/cards/my-fork--full-service.html")).expect("the card");
    let card = card.replace('\u{a0}', " ");
    assert!(card.contains("<b>130</b>") && card.contains("<b>60</b>"), "{card}");
}

/// A copy on the wall goes stale unseen: the command names the code of each that has to come down, and lists the numbers'
/// marks of the one that is right now; the list of cards says it as well.
#[test]
fn a_hang_card_by_command_names_the_copies_to_take_down() {
    let shop = ShopCopy::new();
    let lines = |shop: &ShopCopy| -> Vec<String> {
        let told = shop.run(&["card", "velmora-c41", "--hang"]);
        assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
        out(&told).lines().map(str::to_owned).collect()
    };
    let before = lines(&shop);
    let (code, rest) = before[0].split_once(": current: card of velmora-c41, hang-card, ").expect(&before[0]);
    assert!(rest.starts_with("released on ") || rest.starts_with("not released"), "{rest}");
    assert!(before[1].trim_start().starts_with("review: "), "{before:?}");
    assert!(!before.iter().any(|line| line.contains("full-service")), "the hang card alone: {before:?}");
    let down_before = before.iter().filter(|line| line.contains(": take down: ")).count();
    if rest.starts_with("not released") {
        shop.run(&["approve", "velmora-c41", "--by", "R. Tamberlin", "--date", "2026-11-26"]);
    }
    shop.replace(
        "specs/forks/velmora-c41.yaml",
        "  sag_static: ",
        "  # as the sheet has it\n  sag_static: 1",
    );
    let after = lines(&shop);
    assert!(after[0].contains("not released") && !after[0].starts_with(code), "{after:?}");
    let down =
        after.iter().filter(|line| line.contains(": take down: hang card of velmora-c41, released on "));
    assert_eq!(down.clone().count(), down_before + 1, "{after:?}");
    assert!(down.clone().any(|line| line.starts_with(code)), "{code}: {after:?}");
    let built = shop.run(&["build", "--out", "site"]);
    assert!(built.status.success(), "{}", String::from_utf8_lossy(&built.stderr));
    let list = std::fs::read_to_string(shop.file("site/cards/index.html")).expect("the list of cards");
    let (_, list) = list.split_once("id=\"take-down\"").expect("what is to be taken down");
    assert!(list.split("</section>").next().expect("its end").contains(code), "{code}: {list}");
}

/// For whoever looks up at the wall: beside a limit that is not on record nobody thinks that its figure was cut off, and
/// the figure in inches stands before the limits, behind which it would be read as theirs.
#[test]
fn a_hang_card_says_that_a_limit_is_not_on_record_and_keeps_both_units_of_a_figure_together() {
    let shop = ShopCopy::new();
    shop.replace("specs/forks/tarnholm-u45.yaml", "  stanchion_limit: ≥ 44.95 mm\n", "");
    let done = shop.run(&["build"]);
    assert_eq!(done.status.code(), Some(0), "{}", out(&done));
    let card = std::fs::read_to_string(shop.file("site/cards/tarnholm-u45--hang-card.html")).expect("a card");
    let line = |key: &str| {
        let at = card.find(&format!("data-key=\"{key}")).expect(key);
        &card[at..at + card[at..].find("</li>").expect("its end")]
    };
    assert!(line("tubes.stanchion_limit").contains("not on record"), "{}", line("tubes.stanchion_limit"));
    let cards = std::fs::read_dir(shop.file("site/cards")).expect("cards").filter_map(Result::ok);
    let cards = cards.filter(|entry| entry.path().extension().is_some_and(|ending| ending == "html"));
    let texts: Vec<String> = cards
        .map(|entry| std::fs::read_to_string(entry.path()).expect("a card").replace('\u{a0}', " "))
        .collect();
    let mut together = 0;
    for (before, behind) in texts.iter().flat_map(|text| {
        text.match_indices("L and R differ").map(|(at, words)| text.split_at(at + words.len()))
    }) {
        let behind = behind.split('<').next().unwrap_or_default();
        assert!(!behind.split(", ").skip(1).any(|part| part.ends_with(" in")), "{behind}");
        together += usize::from(before.trim_end_matches("L and R differ").ends_with(" in, "));
    }
    assert!(together > 0, "no card has both");
}
