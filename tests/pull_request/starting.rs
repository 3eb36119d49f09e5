//! A new record in five minutes: the right fields, blank, and nothing overwritten.

use super::support::{commit, copy_shop, edit, git, run};

#[test]
fn a_new_fork_asks_for_what_its_choices_call_for_and_copies_no_value() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    let ran = run(dir.path(), &["new", "fork", "tarn-49", "--like", "tarn-41"]);
    assert_eq!((ran.code, ran.out.trim_end()), (0, "./specs/forks/tarn-49.yaml"), "{ran:?}");
    let path = dir.path().join("specs/forks/tarn-49.yaml");
    let text = std::fs::read_to_string(&path).unwrap();
    for wanted in ["status: draft", "family: tarn-road", "#   air_gap:", "#   oil_seal:", "SAFETY-CRITICAL"] {
        assert!(text.contains(wanted), "{wanted}: {text}");
    }
    // The family says the torques; an air spring's pressure is for another kind of fork; machines stay behind.
    for not in ["#   cap_to_tube:", "main_pressure", "Kestrel 600"] {
        assert!(!text.contains(not), "{not}: {text}");
    }
    let flat = text.lines().map(|line| line.trim_start_matches("# ")).collect::<Vec<_>>().join(" ");
    // What the family brings is there to be compared, with its figures; the maker is for whoever knows to say.
    for wanted in [
        "  torque.cap_to_tube: 24 N·m (18 lbf·ft)",
        "  oil.oil: ember-15",
        "`benchleaf approve tarn-49 --compared sheet`",
        "maker: \"Who made it\"   # `tarn-41` is by Tarn Suspension",
    ] {
        assert!(flat.contains(wanted), "{wanted}: {text}");
    }
    assert!(text.lines().count() < 220, "a draft is read to its end: {}", text.lines().count());
    let kept: Vec<&str> =
        text.lines().filter(|line| !line.starts_with('#') && line.contains(" mm")).collect();
    assert_eq!(kept, [] as [&str; 0], "figures stand in examples only");
    let checked = run(dir.path(), &["check", "--format", "short"]);
    assert_eq!(checked.code, 0, "a draft stops nobody: {}", checked.out);
    assert!(checked.out.contains(": warning missing-value: `oil.air_gap` is missing"), "{}", checked.out);
    // Written as the comment says, the value is read.
    edit(dir.path(), "specs/forks/tarn-49.yaml", "# tubes:\n", "tubes:\n");
    let text = std::fs::read_to_string(&path).unwrap();
    let line = text.lines().find(|line| line.starts_with("#   stroke:")).unwrap().to_owned();
    edit(dir.path(), "specs/forks/tarn-49.yaml", &line, "  stroke: 121 mm");
    let checked = run(dir.path(), &["check"]);
    assert!(!checked.out.contains("`tubes.stroke` is missing"), "{}", checked.out);
    assert_eq!(checked.code, 0, "{}", checked.out);
}

#[test]
fn nothing_is_overwritten_and_odd_ids_are_refused() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    let path = dir.path().join("specs/forks/tarn-41.yaml");
    let before = std::fs::read(&path).unwrap();
    let ran = run(dir.path(), &["new", "fork", "tarn-41", "--like", "tarn-45"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("is there already"), "{}", ran.err);
    assert_eq!(std::fs::read(&path).unwrap(), before);
    for id in ["../x", "Tarn", "a b", "", "-x", "ä"] {
        assert_eq!(run(dir.path(), &["new", "oil", "--", id]).code, 2, "{id:?}");
    }
    let ran = run(dir.path(), &["new", "fork", "x", "--like", "tarm-41"]);
    assert!(ran.err.contains("tarn-41"), "{}", ran.err);
    // A whole shop is not begun where part of one is.
    let there = dir.path().join("procedures/close-leg.md");
    let text = std::fs::read(&there).unwrap();
    assert_eq!(run(dir.path(), &["new", "shop", "."]).code, 2);
    assert_eq!(std::fs::read(there).unwrap(), text);
    assert!(!dir.path().join("specs/schema").exists());
}

#[test]
fn oil_procedure_and_service_begin_without_an_error_of_form() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    for arguments in [
        &["new", "procedure", "look-it-over"][..],
        &["new", "service", "short-service", "--like", "tarn-41"],
        &["new", "oil", "ember-20"],
    ] {
        let ran = run(dir.path(), arguments);
        assert_eq!(ran.code, 0, "{ran:?}");
        // A procedure is of no use until a service names it, and the command says so.
        let next = ["placeholder", "an entry `- look-it-over`", "benchleaf approve procedure:look-it-over"];
        let is_procedure = arguments[1] == "procedure";
        assert!(next.iter().all(|words| ran.out.contains(words) == is_procedure), "{}", ran.out);
    }
    let service = std::fs::read_to_string(dir.path().join("procedures/services/short-service.yaml")).unwrap();
    assert!(service.contains("  - close-leg\n  - set-air-gap\n"), "in the order of the phases: {service}");
    let checked = run(dir.path(), &["check", "--format", "short"]);
    let errors: Vec<&str> =
        checked.out.lines().filter_map(|line| line.split_once(": error ")).map(|(_, rest)| rest).collect();
    assert!(errors.is_empty(), "{}", checked.out);
    // The service does not take up the procedure whose step is still to be written: its card would be an error.
    let left = "# Left out, since it is not written yet; name it here once it is: look-it-over.";
    assert!(service.contains(left) && !service.contains("  - look-it-over"), "{service}");
    edit(
        dir.path(),
        "procedures/services/short-service.yaml",
        "procedures:\n",
        "procedures:\n  - look-it-over\n",
    );
    let checked = run(dir.path(), &["check", "--format", "short"]);
    let template = "error placeholder: `look-it-over` still says what its template says";
    assert!(checked.out.contains(template), "{}", checked.out);
}

#[test]
fn a_new_shop_checks_clean_and_builds() {
    let dir = tempfile::tempdir().unwrap();
    let ran = run(dir.path(), &["new", "shop", "unsere Werkstatt ü"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let shop = dir.path().join("unsere Werkstatt ü");
    let checked = run(&shop, &["check", "--strict"]);
    assert_eq!(checked.code, 0, "{}", checked.out);
    assert!(checked.out.lines().count() <= 5, "{}", checked.out);
    let built = run(&shop, &["build"]);
    assert_eq!(built.code, 0, "{built:?}");
    assert!(shop.join("site/index.html").is_file());
    for file in [".gitignore", ".gitattributes", ".github/workflows/shop.yml", "specs/library.txt"] {
        assert!(shop.join(file).is_file(), "{file}");
    }
    assert!(!shop.join("specs/reviews.yaml").exists() && !shop.join("specs/forks").exists());
    for part in ["no fork yet", "  1. ", "  2. ", "  3. "] {
        assert!(ran.out.contains(part), "{}", ran.out);
    }
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
}

/// Whoever wants to look at whole forks first gets the demo's, as drafts that nobody has reviewed here.
#[test]
fn a_new_shop_with_the_demos_forks_has_no_error_and_no_review() {
    let dir = tempfile::tempdir().unwrap();
    let ran = run(dir.path(), &["new", "shop", "shop", "--with-demo"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let shop = dir.path().join("shop");
    // What there is to say of them is no screen of it.
    let told = run(&shop, &["check"]).out;
    assert!(told.lines().count() <= 5, "{told}");
    let checked = run(&shop, &["check", "--format", "short"]);
    assert_eq!(checked.code, 0, "{}", checked.out);
    assert!(!checked.out.contains("review") && !checked.out.contains("approver"), "{}", checked.out);
    let forks: Vec<_> = std::fs::read_dir(shop.join("specs/forks")).unwrap().collect();
    assert!(forks.len() > 10);
    for fork in forks {
        let text = std::fs::read_to_string(fork.unwrap().path()).unwrap();
        assert!(text.contains("# An invented example") && text.contains("\nstatus: draft"), "{text}");
        assert!(!text.contains("\nreviewed:"), "{text}");
    }
}

#[test]
fn a_rule_explains_itself_and_a_slip_of_its_name_is_met() {
    let dir = tempfile::tempdir().unwrap();
    let ran = run(dir.path(), &["explain", "outside-band"]);
    assert_eq!(ran.code, 0);
    for part in ["outside-band\n", "\nAt the bench\n", "\nWrite instead\n"] {
        assert!(ran.out.contains(part), "{}", ran.out);
    }
    assert!(!ran.out.contains("Base:"));
    let list = run(dir.path(), &["explain"]);
    assert!(list.out.lines().any(|code| code == "unit-slip"), "{}", list.out);
    let ran = run(dir.path(), &["explain", "outside-bend"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("outside-band"), "{}", ran.err);
}

#[test]
fn shells_and_readers_of_manuals_are_served() {
    let dir = tempfile::tempdir().unwrap();
    for shell in ["bash", "zsh", "fish"] {
        let ran = run(dir.path(), &["completions", shell]);
        assert!(ran.code == 0 && ran.out.contains("compare"), "{shell}");
    }
    assert_eq!(run(dir.path(), &["man", "pages"]).code, 0);
    let page = std::fs::read_to_string(dir.path().join("pages/benchleaf-compare.1")).unwrap();
    assert!(page.contains("git revision"), "{page}");
    assert!(dir.path().join("pages/benchleaf.1").is_file());
}

/// The same words in an order that hurts, and a caution that one of two steps carries no longer: in a new shop, without
/// any review, the library knows both.
#[test]
fn what_the_library_says_first_is_said_first_and_at_each_step() {
    let dir = tempfile::tempdir().unwrap();
    assert_eq!(run(dir.path(), &["new", "shop", "shop"]).code, 0);
    let shop = dir.path().join("shop");
    let errors = || {
        let told = run(&shop, &["check", "--format", "short"]).out;
        let errors = told.lines().filter(|line| line.contains(": error "));
        errors.map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(errors(), [] as [&str; 0]);
    let air = "procedures/release-air-spring.md";
    edit(
        &shop,
        air,
        "nothing. Only then turn the valve cores out with the [key](tool:valve-key).",
        "nothing.",
    );
    edit(
        &shop,
        air,
        "the leg will move. Let",
        "the leg will move. Only then turn the valve cores out with the [key](tool:valve-key). Let",
    );
    let [moved] = &errors()[..] else { panic!("{:?}", errors()) };
    assert!(
        moved.contains("library-guard-gone")
            && moved
                .contains("says “Only then turn the valve cores out with the key (tool:valve-key)” before “"),
        "{moved}"
    );
    let strip = "procedures/strip-closed-cartridge.md";
    let text = std::fs::read_to_string(shop.join(strip)).unwrap();
    let last = text.rfind("(caution:stored-spring-force)").expect("a caution");
    let from = text[..last].rfind('[').expect("its link");
    let without =
        format!("{}{}", &text[..from], text[last + "(caution:stored-spring-force)".len()..].trim_start());
    std::fs::write(shop.join(strip), without).unwrap();
    let told = errors();
    let fewer = "carries the caution `stored-spring-force` at 1 of its steps, and no longer at 2";
    assert!(told.len() == 2 && told.iter().any(|line| line.contains(fewer)), "{told:?}");
}

/// A day on which nobody calibrated anything here would be published as this shop's own.
#[test]
fn a_new_shop_has_no_calibration_day_and_no_number_that_is_not_its_own() {
    let dir = tempfile::tempdir().unwrap();
    let ran = run(dir.path(), &["new", "shop", "shop"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("specs/tools") && ran.out.contains("git init"), "{}", ran.out);
    let shop = dir.path().join("shop");
    let mut to_fill_in = 0;
    for tool in std::fs::read_dir(shop.join("specs/tools")).unwrap() {
        let text = std::fs::read_to_string(tool.unwrap().path()).unwrap();
        for key in ["\ncalibrated:", "\nnumber:", "\ncalibrate_months:"] {
            assert!(!text.contains(key), "{text}");
        }
        to_fill_in += usize::from(text.contains("\n# calibrated: "));
    }
    assert!(to_fill_in >= 8, "{to_fill_in}");
    git(&shop, &["init", "-q"]);
    commit(&shop, "as it began");
    let told = run(&shop, &["check", "--format", "short"]).out;
    assert!(!told.contains("calibrat"), "{told}");
    assert_eq!(run(&shop, &["build"]).code, 0);
    let page = std::fs::read_to_string(shop.join("site/instruments.html")).unwrap();
    assert!(!page.contains("2024") && !page.contains("2025") && !page.contains("2027"), "{page}");
    // Filled in, the days are the shop's own, and a later library leaves them alone.
    let wrench = "specs/tools/torque-wrench-medium.yaml";
    edit(&shop, wrench, "# calibrated: [\"…\"]", "calibrated: [\"2024-01-09\"]");
    edit(&shop, wrench, "# calibrate_months: …", "calibrate_months: 12");
    assert!(run(&shop, &["check", "--format", "short"]).out.contains("calibration-over"));
    let ran = run(&shop, &["library", "update"]);
    assert!(ran.code == 0 && ran.out.contains(&format!("left as it is: {wrench}")), "{ran:?}");
}

/// A folder that holds no shop is told so, and gets no record by mistake.
#[test]
fn where_there_is_no_shop_the_way_to_one_is_told() {
    let dir = tempfile::tempdir().unwrap();
    let checked = run(dir.path(), &["check"]);
    assert_eq!(checked.code, 1);
    let told = checked.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("no shop in this folder") && told.contains("`benchleaf new shop DIR`"), "{told}");
    for what in
        [&["new", "fork", "x"][..], &["new", "tool", "x"], &["new", "condition", "x"], &["new", "oil", "x"]]
    {
        let ran = run(dir.path(), what);
        assert!(ran.code == 2 && ran.err.contains("benchleaf new shop DIR"), "{ran:?}");
    }
    assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 0);
}

/// The one fork of a shop takes few of the library's procedures. Which the others are for is no news, wherever a service
/// was changed.
#[test]
fn a_service_of_the_library_that_got_a_line_more_tells_nothing_of_the_others() {
    let dir = tempfile::tempdir().unwrap();
    assert_eq!(run(dir.path(), &["new", "shop", "shop"]).code, 0);
    let shop = dir.path().join("shop");
    first_fork(&shop);
    let service = "procedures/services/full-service.yaml";
    edit(&shop, service, "procedures:\n", "procedures:\n  - where_fitted: [look-at-the-clips]\n");
    let look = "---\nid: look-at-the-clips\ntitle: Look at the clips\nphase: inspect\n---\n\n1. Turn each clip.\n\n   > A loose one lets the seal out.\n";
    std::fs::write(shop.join("procedures/look-at-the-clips.md"), look).unwrap();
    git(&shop, &["init", "-q"]);
    commit(&shop, "as it is");
    edit(&shop, service, "look-at-the-clips]", "look-at-the-clips]   # first of all");
    for what in [
        &["check", "--format", "short"][..],
        &["check", "--format", "github"],
        &["compare", "HEAD"],
        &["build"],
    ] {
        let ran = run(&shop, what);
        assert!(!ran.out.contains("never"), "{what:?}: {}", ran.out);
    }
    // A service begun anew is no other case; the shop's own procedure that no fork takes is told.
    assert_eq!(run(&shop, &["new", "service", "quick", "--like", "my-fork"]).code, 0);
    edit(
        &shop,
        "procedures/look-at-the-clips.md",
        "phase: inspect\n",
        "phase: inspect\nfor: [{damping: [open-cartridge]}]\n",
    );
    let told = run(&shop, &["check", "--format", "short"]).out;
    let never: Vec<&str> = told.lines().filter(|line| line.contains("never-chosen")).collect();
    assert!(never.len() == 1 && never[0].contains("look-at-the-clips"), "{told}");
}

/// The record of the first fork, with its oil.
fn first_fork(shop: &std::path::Path) {
    for (name, folder) in [("my-fork.yaml", "specs/forks"), ("my-oil.yaml", "specs/oils")] {
        let from = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/first_fork").join(name);
        std::fs::create_dir_all(shop.join(folder)).unwrap();
        std::fs::copy(from, shop.join(folder).join(name)).unwrap();
    }
}

/// Whoever asks about a draft reads what is left to write on a screen or two, and copies it.
#[test]
fn what_a_draft_lacks_is_told_once_and_briefly() {
    let dir = tempfile::tempdir().unwrap();
    assert_eq!(run(dir.path(), &["new", "shop", "shop"]).code, 0);
    let shop = dir.path().join("shop");
    first_fork(&shop);
    let path = shop.join("specs/forks/my-fork.yaml");
    let record = std::fs::read_to_string(&path).unwrap();
    let (head, _) = record.split_once("\ntubes:\n").expect("its values");
    std::fs::write(&path, head.replace("status: published", "status: draft") + "\n").unwrap();
    let told = run(&shop, &["check", "my-fork"]);
    assert_eq!(told.code, 0);
    assert!(told.out.lines().count() < 100, "{}", told.out);
    assert!(told.out.lines().all(|line| line.chars().count() <= 80), "{}", told.out);
    let (before, lines) = told.out.split_once("\n  Add\n").expect("the lines");
    assert!(before.lines().count() < 20 && before.contains("gets no card yet"), "{before}");
    assert!(!told.out.contains("`tubes.stroke` is missing"), "{}", told.out);
    for part in [
        "surface: …   # hard-chrome or coated or anodized",
        "clip_single_use: …   # replace or reuse",
        "# thread_state: dry or oiled or anti-seize or locking-compound",
        "edge: …   # ",
        "oil: …   # a record of specs/oils",
    ] {
        assert!(lines.contains(part), "{part}: {lines}");
    }
    // In full, each is told by itself.
    let full = run(&shop, &["check", "my-fork", "--format", "full"]).out;
    assert!(full.contains("`tubes.stroke` is missing"), "{full}");
}

/// A procedure that is begun and used nowhere stops nobody; one that a card comes from does.
#[test]
fn an_unfinished_procedure_stops_the_shop_only_where_a_service_uses_it() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    assert_eq!(run(dir.path(), &["new", "procedure", "look-at-clips"]).code, 0);
    assert_eq!(run(dir.path(), &["new", "condition", "clips-seen"]).code, 0);
    edit(dir.path(), "procedures/look-at-clips.md", "# brings: []", "brings: [clips-seen]");
    let told = run(dir.path(), &["check", "--format", "short"]);
    assert_eq!(told.code, 0, "{}", told.out);
    assert_eq!(told.out.matches("warning placeholder").count(), 2, "{}", told.out);
    let service = "procedures/services/full-service.yaml";
    edit(dir.path(), service, "[set-air-gap, close-leg]", "[look-at-clips, set-air-gap, close-leg]");
    let told = run(dir.path(), &["check", "--format", "short"]);
    assert_eq!(told.code, 1);
    assert_eq!(told.out.matches("error placeholder").count(), 2, "{}", told.out);
}

#[test]
fn a_complaint_and_a_family_begin_as_drafts() {
    let dir = tempfile::tempdir().unwrap();
    copy_shop(dir.path());
    for what in
        [&["new", "complaint", "clip-rattles"][..], &["new", "family", "tarn-race", "--from", "tarn-41"]]
    {
        let ran = run(dir.path(), what);
        assert_eq!(ran.code, 0, "{ran:?}");
    }
    let family = std::fs::read_to_string(dir.path().join("specs/families/tarn-race.yaml")).unwrap();
    for part in ["maker: \"Tarn Suspension\"", "damping: ", "#   oil_seal:", "family: tarn-race"] {
        assert!(family.contains(part), "{part}: {family}");
    }
    assert!(!family.lines().any(|line| !line.starts_with('#') && line.contains(" mm")), "{family}");
    let told = run(dir.path(), &["check", "--format", "short"]);
    assert_eq!(told.code, 0, "{}", told.out);
    let line =
        |line: &str| line.starts_with("procedures/complaints/") && line.contains("warning placeholder");
    assert!(told.out.lines().any(line), "{}", told.out);
}
