//! A new record in five minutes: the right fields, blank, and nothing overwritten.

use super::support::{copy_shop, edit, run};

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
    }
    let service = std::fs::read_to_string(dir.path().join("procedures/services/short-service.yaml")).unwrap();
    assert!(service.contains("  - close-leg\n  - set-air-gap\n"), "in the order of the phases: {service}");
    let checked = run(dir.path(), &["check", "--format", "short"]);
    let errors: Vec<&str> =
        checked.out.lines().filter_map(|line| line.split_once(": error ")).map(|(_, rest)| rest).collect();
    // The service takes up the procedure, whose step is still to be written; nothing else is wrong.
    let template = "placeholder: `look-it-over` still says what its template says";
    assert_eq!(errors, [template], "{}", checked.out);
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
