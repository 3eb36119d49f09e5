//! The shop lead has things that no other shop has: work for one fork or one maker, two forks for one machine, part
//! numbers, fields of the shop's own, and a record that is called otherwise now.

mod common;

use common::{ShopCopy, out, root};

/// A copy of the small shop without an error.
fn small() -> ShopCopy {
    ShopCopy::of(&root().join("tests/shops/plain"))
}

fn built(shop: &ShopCopy) {
    let done = shop.run(&["build"]);
    assert_eq!(done.status.code(), Some(0), "{}", out(&done));
}

fn page(shop: &ShopCopy, path: &str) -> String {
    std::fs::read_to_string(shop.file(&format!("site/{path}"))).unwrap_or_default()
}

const LOOK: &str = "---\nid: look-at-the-cap\ntitle: Look at the cap\nphase: inspect\ntime: 5 min\nfor: [{WHO}]\n---\n\n\
                    1. Hold the cap to the light.\n\n   > A crack begins at the edge.\n";

#[test]
fn a_procedure_is_for_one_fork_one_family_or_one_maker() {
    let shop = small();
    shop.replace(
        "procedures/services/full-service.yaml",
        "procedures: [set-air-gap, close-leg]",
        "procedures: [{where_fitted: [look-at-the-cap]}, set-air-gap, close-leg]",
    );
    let has =
        |fork: &str| page(&shop, &format!("forks/{fork}/full-service.html")).contains("</a> to the light.");
    for (who, both, words) in [
        ("fork: tarn-41", false, "Tarn Suspension T41"),
        ("fork: [tarn-41], maker: Tarn Suspension", false, "forks by Tarn Suspension"),
        ("family: [tarn-road]", true, "Tarn road forks"),
        ("maker: Tarn Suspension", true, "Forks by Tarn Suspension"),
    ] {
        shop.write("procedures/look-at-the-cap.md", &LOOK.replace("WHO", who));
        built(&shop);
        assert_eq!((has("tarn-41"), has("tarn-45")), (true, both), "{who}");
        let told = page(&shop, "procedures/look-at-the-cap.html");
        assert!(told.contains(words), "{who}: {told}");
    }
    // Being named is nobody's choice: a draft made like the fork does not take it over, a review does not speak of it.
    shop.write("procedures/look-at-the-cap.md", &LOOK.replace("WHO", "fork: tarn-41"));
    assert!(shop.run(&["new", "fork", "tarn-43", "--like", "tarn-41"]).status.success());
    let draft = std::fs::read_to_string(shop.file("specs/forks/tarn-43.yaml")).expect("the draft");
    assert!(!draft.contains("fork: tarn-41"), "{draft}");
    assert!(shop.run(&["new", "service", "quick", "--like", "tarn-41"]).status.success());
    let draft = std::fs::read_to_string(shop.file("procedures/services/quick.yaml")).expect("the draft");
    assert!(!draft.contains("fork: ") && draft.contains("look-at-the-cap"), "{draft}");
}

#[test]
fn a_service_is_for_one_fork_alone() {
    let shop = small();
    shop.write(
        "procedures/services/recall.yaml",
        "id: recall\ntitle: Cap recall\nfor: [{fork: tarn-45}]\ntime: 1 h\nprocedures: [close-leg]\n",
    );
    built(&shop);
    assert!(page(&shop, "forks/tarn-45.html").contains("forks/tarn-45/recall.html"));
    assert!(!page(&shop, "forks/tarn-41.html").contains("recall"));
    let done = shop.run(&["pull", "tarn-41:recall"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(shop.run(&["pull", "tarn-45:recall"]).status.success());
}

/// A review of what a fork has chosen stands, whoever is named in a procedure afterwards.
#[test]
fn naming_a_fork_changes_no_review_and_no_card_but_its_own() {
    let shop = ShopCopy::new();
    // What is said of reviews stands below each card.
    let codes = |shop: &ShopCopy, fork: &str| -> Vec<String> {
        let said = out(&shop.run(&["card", fork]));
        said.lines().filter(|line| !line.starts_with(' ')).map(str::to_owned).collect()
    };
    let (own, other) = (codes(&shop, "tarnholm-u41"), codes(&shop, "tarnholm-u45"));
    let stale = |shop: &ShopCopy| {
        let said = out(&shop.run(&["check", "--format", "short"]));
        said.lines().filter(|line| line.contains("review-stale") && line.starts_with("specs/")).count()
    };
    let before = stale(&shop);
    shop.write("procedures/look-at-the-cap.md", &LOOK.replace("WHO", "fork: tarnholm-u41"));
    let service = "procedures/services/full-service.yaml";
    let text = std::fs::read_to_string(shop.file(service)).expect("the service");
    shop.write(
        service,
        &text.replacen("procedures:\n", "procedures:\n  - where_fitted: [look-at-the-cap]\n", 1),
    );
    assert_ne!(codes(&shop, "tarnholm-u41"), own);
    assert_eq!(codes(&shop, "tarnholm-u45"), other);
    assert_eq!(stale(&shop), before);
}

#[test]
fn two_forks_of_one_machine_are_told_apart_by_what_can_be_seen() {
    let shop = small();
    shop.replace(
        "specs/forks/tarn-41.yaml",
        "years: 2016..2019}",
        "years: 2016..2019, seen: lower clamp 47 mm}",
    );
    shop.replace(
        "specs/forks/tarn-45.yaml",
        "- {maker: Ulm Motors, model: Kestrel 900, years: 2017..2021}",
        "- {maker: Ulm Motors, model: Kestrel 600, years: 2018..2021, seen: lower clamp 50 mm}",
    );
    built(&shop);
    for path in ["index.html", "makers/ulm-motors.html", "assets/search-index.js"] {
        let text = page(&shop, path);
        assert!(text.contains("lower clamp 47 mm") && text.contains("lower clamp 50 mm"), "{path}: {text}");
    }
    // Each fork's page leads to the other, and its card says what must be seen.
    let first = page(&shop, "forks/tarn-41.html");
    assert!(
        first.contains(
            "if you see: <b>lower clamp 47 mm</b>; lower clamp 50 mm: <a href=\"../forks/tarn-45.html\">"
        ),
        "{first}"
    );
    assert!(page(&shop, "cards/tarn-41--full-service.html").contains("2016–2019 (lower clamp 47 mm)"));
    // The other fork's page is made again when this one's word changes.
    shop.replace("specs/forks/tarn-45.yaml", "seen: lower clamp 50 mm", "seen: lower clamp 54 mm");
    built(&shop);
    assert!(page(&shop, "forks/tarn-41.html").contains("lower clamp 54 mm"));
}

#[test]
fn part_numbers_stand_on_page_card_and_pull_list() {
    let shop = small();
    shop.replace(
        "specs/forks/tarn-41.yaml",
        "  oil_seal: 41 × 54 × 11 mm\n",
        "  oil_seal: {value: 41 × 54 × 11 mm, part_number: \"OS-4154\"}\n",
    );
    shop.replace(
        "specs/families/tarn-road.yaml",
        "title: Tarn road forks\n",
        "title: Tarn road forks\nparts:\n  - {title: Seal kit, number: \"K-100\", count: 2, services: [full-service]}\n  - {title: Cap, number: \"C-7\"}\n",
    );
    // The fork's own number takes the family's place.
    shop.replace(
        "specs/forks/tarn-41.yaml",
        "family: tarn-road\n",
        "family: tarn-road\nparts:\n  - {title: Cap, number: \"C-41\"}\n",
    );
    shop.write(
        "specs/tools/oil-seal.yaml",
        "id: oil-seal\ntitle: Oil seal\nkind: consumable\nuse: seals the leg\nunit: pieces\neach_leg: 1\nsized_by: seals.oil_seal\ncalled: [seal]\n",
    );
    shop.replace(
        "procedures/close-leg.md",
        "tools: [torque-wrench]\n",
        "tools: [torque-wrench]\nconsumables: [oil-seal]\n",
    );
    shop.replace(
        "procedures/close-leg.md",
        "1. Tighten the cap to",
        "1. Press the seal in and tighten the cap to",
    );
    built(&shop);
    let fork = page(&shop, "forks/tarn-41.html");
    for text in ["OS-4154", "K-100", "C-41", "Full service"] {
        assert!(fork.contains(text), "{text}");
    }
    assert!(!fork.contains("C-7") && page(&shop, "forks/tarn-45.html").contains("C-7"));
    let card = page(&shop, "cards/tarn-41--full-service.html").replace('\u{a0}', " ");
    for text in ["Parts by number", "OS-4154", "K-100", "2 ×", "C-41"] {
        assert!(card.contains(text), "{text}: {card}");
    }
    let pulled = out(&shop.run(&["pull", "tarn-41:full-service"]));
    for text in ["41 × 54 × 11 mm, no. OS-4154", "no. K-100", "no. C-41"] {
        assert!(pulled.contains(text), "{text}: {pulled}");
    }
    let work = page(&shop, "forks/tarn-41/full-service.html");
    assert!(work.contains("no. K-100") && work.contains("no. OS-4154"), "{work}");
    // A number that changes is another card.
    let code = out(&shop.run(&["card", "tarn-41"]));
    shop.replace("specs/families/tarn-road.yaml", "K-100", "K-101");
    assert_ne!(out(&shop.run(&["card", "tarn-41"])), code);
}

#[test]
fn a_renamed_fork_keeps_its_reviews_its_printed_cards_and_its_addresses() {
    let shop = ShopCopy::new();
    let told = |shop: &ShopCopy| {
        let said = out(&shop.run(&["check", "--format", "short"]));
        let about = said
            .lines()
            .filter(|line| !line.contains("job-"))
            .map(|line| line.replace("tarnholm-u45x", "tarnholm-u45"));
        let mut about: Vec<String> =
            about.filter(|line| line.contains("review") || line.contains("error")).collect();
        about.sort();
        // Where it stands has moved by the line of `was:`.
        about.iter().map(|line| line.split(": ").skip(1).collect::<Vec<_>>().join(": ")).collect::<Vec<_>>()
    };
    let card = |shop: &ShopCopy, fork: &str| {
        let said = out(&shop.run(&["card", fork]));
        let code = said
            .split(|c: char| c.is_whitespace() || c == ':')
            .find(|word| word.len() == 9 && word.contains('-'));
        code.unwrap_or_else(|| panic!("{said}")).to_owned()
    };
    let before = told(&shop);
    let code = card(&shop, "tarnholm-u45");
    let text = std::fs::read_to_string(shop.file("specs/forks/tarnholm-u45.yaml")).expect("the record");
    std::fs::remove_file(shop.file("specs/forks/tarnholm-u45.yaml")).expect("renamed");
    shop.write(
        "specs/forks/tarnholm-u45x.yaml",
        &text.replacen("id: tarnholm-u45\n", "id: tarnholm-u45x\nwas: [tarnholm-u45]\n", 1),
    );
    assert_eq!(told(&shop), before);
    assert_eq!(card(&shop, "tarnholm-u45x"), code, "a card says what it said");
    assert!(shop.run(&["card", &code]).status.success(), "{}", out(&shop.run(&["card", &code])));
    built(&shop);
    for path in [
        "forks/tarnholm-u45.html",
        "forks/tarnholm-u45/full-service.html",
        "cards/tarnholm-u45--full-service.html",
    ] {
        let old = page(&shop, path);
        let now = path.replacen("tarnholm-u45", "tarnholm-u45x", 1);
        assert!(old.contains(&format!("{now}\"")), "{path}: {old}");
    }
    let said = out(&shop.run(&["compare", &root().display().to_string(), "."]));
    assert!(said.contains("was called tarnholm-u45"), "{said}");
    // Without the word of what it was, the reviews are another record's.
    shop.replace("specs/forks/tarnholm-u45x.yaml", "was: [tarnholm-u45]\n", "");
    assert!(out(&shop.run(&["check", "--format", "short"])).contains("review-edited"));
}

#[test]
fn a_shop_declares_fields_where_they_belong() {
    let shop = small();
    shop.replace(
        "specs/shop.yaml",
        "waste: 5 %\n",
        "waste: 5 %\nfields:\n  - group: seals\n    title: Seals\n    fields:\n      wiper:\n        title: Foam wiper\n        kind: length\n        units: [mm]\n        per: fork\n        measured: \"Across, dry.\"\n        wrong: \"Dust gets to the seal.\"\n        examples: [\"6 mm\"]\n  - group: stock\n    of: oil\n    title: On our shelf\n    fields:\n      drum:\n        title: Drum\n        kind: text\n        measured: \"Where the drum stands.\"\n        wrong: \"Another oil is taken.\"\n        examples: [\"left\"]\n",
    );
    shop.replace(
        "specs/forks/tarn-41.yaml",
        "  housing_bore: 54 mm\n",
        "  housing_bore: 54 mm\n  wiper: 6 mm\n",
    );
    shop.replace("specs/oils/ember-15.yaml", "source: data\n", "source: data\nstock:\n  drum: back wall\n");
    built(&shop);
    assert!(page(&shop, "forks/tarn-41.html").contains("Foam wiper"));
    assert!(page(&shop, "oils/ember-15.html").contains("back wall"), "{}", page(&shop, "oils/ember-15.html"));
    let fields = page(&shop, "reference/fields.html");
    assert!(fields.contains("Foam wiper") && fields.contains("Where the drum stands."));
}

/// The shop lead gives a procedure a better name: who reviewed it and the service has reviewed them still, the old page
/// leads to the new one, and a job that skipped it means it.
#[test]
fn a_renamed_procedure_keeps_its_review_its_address_and_its_jobs() {
    let shop = small();
    let texts = ["procedure:set-air-gap", "procedure:close-leg", "service:full-service"];
    for text in texts {
        let done = shop.run(&["approve", text, "--by", "A. Wren", "--date", "2026-05-04"]);
        assert!(done.status.success(), "{text}: {}", out(&done));
    }
    std::fs::create_dir_all(shop.file("specs/jobs/2026")).expect("a folder");
    shop.write(
        "specs/jobs/2026/0001.yaml",
        "fork: tarn-41\nservice: full-service\nmachine: {maker: Ulm Motors, model: Kestrel 600, frame: \"7Q0412\"}\ndate: \"2026-05-04\"\nskipped:\n  - {what: set-air-gap, why: the gauge is away}\n",
    );
    let told = || out(&shop.run(&["check", "--format", "short"]));
    let before = told();
    assert!(!before.contains("review-stale") && !before.contains("job-left-out"), "{before}");
    let text = std::fs::read_to_string(shop.file("procedures/set-air-gap.md")).expect("a procedure");
    std::fs::remove_file(shop.file("procedures/set-air-gap.md")).expect("removed");
    let renamed = text.replace("id: set-air-gap", "id: measure-the-gap");
    shop.write("procedures/measure-the-gap.md", &renamed);
    // Whoever still names it as it was is told how it is called.
    let was = renamed.replace("id: measure-the-gap\n", "id: measure-the-gap\nwas: [set-air-gap]\n");
    shop.write("procedures/measure-the-gap.md", &was);
    let named = out(&shop.run(&["check"]));
    assert!(named.contains("write `measure-the-gap`, as it is called now"), "{named}");
    shop.replace(
        "procedures/services/full-service.yaml",
        "procedures: [set-air-gap, close-leg]",
        "procedures: [measure-the-gap, close-leg]",
    );
    let after = told();
    assert_eq!(after, before);
    built(&shop);
    let old = page(&shop, "procedures/set-air-gap.html");
    assert!(old.contains("measure-the-gap.html") && old.contains("This procedure was on record as"), "{old}");
    assert!(
        page(&shop, "forks/tarn-41/full-service.html").contains("data-was=\"procedures/set-air-gap.html\"")
    );
    // Without `was:` the review is lost, and the job's step with it.
    shop.write("procedures/measure-the-gap.md", &renamed);
    let lost = told();
    assert!(lost.contains("the procedure `measure-the-gap`") && lost.contains("job-left-out"), "{lost}");
}

/// The numbers under `parts:` are ordered from: a review covers them, and a change of one is told.
#[test]
fn a_review_covers_the_parts_that_a_record_orders_by_number() {
    let shop = small();
    let with = |number: &str| format!("id: tarn-41\nparts:\n  - {{title: Seal kit, number: \"{number}\"}}\n");
    shop.replace("specs/forks/tarn-41.yaml", "id: tarn-41\n", &with("PX 41"));
    let done = shop.run(&["approve", "tarn-41", "--by", "A. Wren", "--date", "2026-05-04"]);
    assert!(done.status.success(), "{}", out(&done));
    let told = || out(&shop.run(&["check", "--format", "short"]));
    assert!(!told().contains("the list of parts"), "{}", told());
    shop.replace("specs/forks/tarn-41.yaml", "PX 41", "PX 14");
    assert!(told().contains("the list of parts changed since A. Wren reviewed it"), "{}", told());
    shop.replace("specs/forks/tarn-41.yaml", &with("PX 14"), "id: tarn-41\n");
    assert!(told().contains("the list of parts went away since A. Wren reviewed it"), "{}", told());
}

/// An older program in a shop that went on with a later one: it says so, and leaves every byte as it is.
#[test]
fn a_shop_of_a_later_notation_is_told_and_nothing_in_it_is_changed() {
    let shop = small();
    shop.replace("specs/shop.yaml", "waste: 5 %", "waste: 5 %\nnotation: 2\nonly_later: known");
    shop.write("from-tablet.yaml", "fork: tarn-41\n");
    let files = || {
        let list = walkdir::WalkDir::new(shop.file("")).sort_by_file_name().into_iter().flatten();
        let list = list.filter(|entry| entry.file_type().is_file());
        list.map(|entry| (entry.path().to_owned(), std::fs::read(entry.path()).expect("a file")))
            .collect::<Vec<_>>()
    };
    let before = files();
    let told = out(&shop.run(&["check", "--format", "short"]));
    assert!(told.contains("later-notation") && told.contains("1 error"), "{told}");
    assert!(!told.contains("only_later"), "what it cannot know is no mistake: {told}");
    for arguments in [
        &["build"][..],
        &["approve", "tarn-41", "--by", "A. Wren", "--date", "2026-05-04"],
        &["new", "fork", "another", "--like", "tarn-41"],
        &["new", "oil", "another"],
        &["new", "job", "tarn-41:full-service", "--date", "2026-05-04"],
        &["job", "take", "from-tablet.yaml"],
        &["library", "update"],
        &["schema"],
    ] {
        let done = shop.run(arguments);
        let said = out(&done) + &String::from_utf8_lossy(&done.stderr);
        assert!(!done.status.success() && said.contains("notation 2"), "{arguments:?}: {said}");
        assert!(files() == before, "{arguments:?} changed something");
    }
}

/// The blocks of YAML of a document, in their order.
fn blocks(document: &str) -> Vec<String> {
    let text = std::fs::read_to_string(root().join(document)).expect("the document");
    let blocks = text.split("```yaml\n").skip(1).filter_map(|rest| rest.split("```").next());
    blocks.map(str::to_owned).collect()
}

/// The page on fields of one's own is pasted as it stands: both declarations, and both records.
#[test]
fn fields_of_ones_own_are_declared_as_their_page_shows() {
    let shop = small();
    let [of_seals, seal, of_shelf, shelf] = &blocks("docs/fields.md")[..] else { panic!("four blocks") };
    let settings = std::fs::read_to_string(shop.file("specs/shop.yaml")).expect("the settings");
    let more = of_shelf.strip_prefix("fields:\n").expect("a list");
    shop.write("specs/shop.yaml", &format!("{settings}{of_seals}{more}"));
    let seal = seal.strip_prefix("seals:\n").expect("its group");
    shop.replace("specs/forks/tarn-41.yaml", "\nseals:\n", &format!("\nseals:\n{seal}"));
    let record = std::fs::read_to_string(shop.file("specs/forks/tarn-41.yaml")).expect("the record");
    shop.write("specs/forks/tarn-41.yaml", &format!("{record}\n{shelf}"));
    let told = out(&shop.run(&["check", "--format", "short"]));
    for key in ["fields", "shelf", "clip_color", "field-declaration", "error"] {
        assert!(!told.contains(key), "{key}: {told}");
    }
    built(&shop);
    let page = page(&shop, "forks/tarn-41.html").replace('\u{a0}', " ");
    for value in ["green", "Upper row", "1900 mm", "Behind the long box.", "47 H7", "On our shelf"] {
        assert!(page.contains(value), "{value}: {page}");
    }
    // Every kind of value there is stands on the page.
    for kind in
        ["text", "count", "choice", "size-2", "size-3", "thread", "property-class", "fit", "reference"]
    {
        assert!(of_shelf.contains(&format!("kind: {kind}\n")), "{kind}");
    }
    for kind in ["interval", "setting", "sections", "length"] {
        assert!(of_shelf.contains(&format!("kind: {kind}\n")), "{kind}");
    }
    // The next draft has one group of seals, and its lines can be taken as they stand.
    assert!(shop.run(&["new", "fork", "tarn-43", "--like", "tarn-41"]).status.success());
    let draft = std::fs::read_to_string(shop.file("specs/forks/tarn-43.yaml")).expect("the draft");
    assert_eq!(draft.matches("\n# seals:\n").count(), 1, "{draft}");
    assert!(draft.contains("#   clip_color:"), "{draft}");
}

/// Whoever slips in a declaration is shown the whole form.
#[test]
fn a_declaration_that_is_refused_is_shown_its_form() {
    let shop = small();
    let settings = std::fs::read_to_string(shop.file("specs/shop.yaml")).expect("the settings");
    for wrong in [
        "fields:\n  seals: {clip_color: {title: Clip color, kind: text}}\n",
        "fields:\n  - group: seals\n    fields: {clip_color: {title: Clip color, kind: text}}\n",
        "fields:\n  - group: seals\n    title: Seals\n    fields: {clip_color: {kind: text}}\n",
    ] {
        shop.write("specs/shop.yaml", &format!("{settings}{wrong}"));
        let told = out(&shop.run(&["check"]));
        assert!(told.contains("        - group: seals   # a group that is there"), "{wrong}: {told}");
    }
    let wrong = "fields:\n  - {group: shelf, title: Shelf, fields: {box: {title: Box, kind: zzzz}}}\n";
    shop.write("specs/shop.yaml", &format!("{settings}{wrong}"));
    let told = out(&shop.run(&["check", "--format", "short"]));
    assert!(told.contains("`benchleaf explain field-declaration` lists them"), "{told}");
    let listed = out(&shop.run(&["explain", "field-declaration"]));
    assert!(listed.contains("choice") && listed.contains("property-class"), "{listed}");
}

/// A name that only changed is nobody's change of work: reviews stay, no card says so, and the old name is answered.
#[test]
fn a_text_for_a_fork_that_is_called_otherwise_keeps_its_review() {
    let shop = ShopCopy::new();
    let git = |arguments: &[&str]| {
        let who = ["-c", "user.name=A. Wren", "-c", "user.email=wren@shop.example"];
        let done = std::process::Command::new("git")
            .args(who)
            .args(arguments)
            .current_dir(shop.path())
            .output()
            .expect("git");
        assert!(done.status.success(), "{done:?}");
    };
    let service = "procedures/services/full-service.yaml";
    let text = std::fs::read_to_string(shop.file(service)).expect("the service");
    shop.write(
        service,
        &text.replacen("procedures:\n", "procedures:\n  - where_fitted: [look-at-the-cap]\n", 1),
    );
    let look = LOOK.replace("WHO", "fork: tarnholm-u41");
    shop.write("procedures/look-at-the-cap.md", &look);
    let who = ["--by", "R. Tamberlin", "--date", "2026-11-26"];
    for what in ["procedure:look-at-the-cap", "service:full-service"] {
        let done = shop.run(&[&["approve", what][..], &who].concat());
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    }
    git(&["init", "-q"]);
    git(&["add", "."]);
    git(&["commit", "-q", "-m", "before"]);
    let told = |shop: &ShopCopy| {
        let said = out(&shop.run(&["check", "--format", "short"]));
        let about = |line: &&str| line.contains("look-at-the-cap") && !line.contains("changes-nothing");
        said.lines().filter(about).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(told(&shop), [] as [&str; 0]);
    let record = std::fs::read_to_string(shop.file("specs/forks/tarnholm-u41.yaml")).expect("the record");
    std::fs::remove_file(shop.file("specs/forks/tarnholm-u41.yaml")).expect("gone");
    shop.write(
        "specs/forks/tarnholm-u40.yaml",
        &record.replace("id: tarnholm-u41\n", "id: tarnholm-u40\nwas: [tarnholm-u41]\n"),
    );
    assert!(
        told(&shop).iter().any(|line| line.contains("there is no fork `tarnholm-u41`")),
        "{:?}",
        told(&shop)
    );
    shop.write("procedures/look-at-the-cap.md", &look.replace("tarnholm-u41", "tarnholm-u40"));
    assert_eq!(told(&shop), [] as [&str; 0]);
    let compared = out(&shop.run(&["compare", "HEAD"]));
    assert!(!compared.contains("look-at-the-cap"), "{compared}");
    for arguments in [
        &["card", "tarnholm-u41"][..],
        &["check", "tarnholm-u41"],
        &["pull", "tarnholm-u41"],
        &["pull", "tarnholm-u41:full-service"],
    ] {
        let done = shop.run(arguments);
        let said = format!("{}{}", out(&done), String::from_utf8_lossy(&done.stderr));
        assert!(said.contains("`tarnholm-u41` is now called `tarnholm-u40`"), "{arguments:?}: {said}");
        assert!(!done.status.success(), "{arguments:?}");
    }
    // Another fork than the one that was seen is a change.
    shop.write("procedures/look-at-the-cap.md", &look.replace("tarnholm-u41", "tarnholm-u45"));
    assert!(told(&shop).iter().any(|line| line.contains("review")), "{:?}", told(&shop));
}
