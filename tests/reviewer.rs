//! The reviewer: nothing is published while there is an error, the same sources give the same bytes, and
//! the demo site that is checked in is what the sources build.

mod common;

use std::collections::BTreeMap;
use std::path::Path;

use benchleaf::text::{Folder, Memory as InMemory, Source};
use benchleaf::{Memory, check_again, check_sources, read_shop};
use common::{ShopCopy, out, root};

/// Every published file of a site, by path.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in walkdir::WalkDir::new(folder) {
        let entry = entry.expect("the site");
        let path = entry.path().strip_prefix(folder).expect("inside").to_string_lossy().replace('\\', "/");
        if entry.file_type().is_file() && !path.starts_with(".benchleaf/") {
            all.insert(path, std::fs::read(entry.path()).expect("a page"));
        }
    }
    all
}

fn first_difference(a: &BTreeMap<String, Vec<u8>>, b: &BTreeMap<String, Vec<u8>>) -> Option<String> {
    a.iter()
        .find(|(path, bytes)| b.get(*path) != Some(*bytes))
        .map(|(path, _)| path.clone())
        .or_else(|| b.keys().find(|path| !a.contains_key(*path)).cloned())
}

#[test]
fn the_demo_site_that_is_checked_in_is_what_the_sources_build() {
    let shop = ShopCopy::new();
    let done = shop.run(&["build", "--out", "made"]);
    assert_eq!(done.status.code(), Some(0), "{}", out(&done));
    let mut made = files(&shop.file("made"));
    let mut there = files(&root().join("site-demo"));
    // It tells which build this is: another program makes another.
    for site in [&mut made, &mut there] {
        site.remove("edition.json");
    }
    let difference = first_difference(&there, &made);
    assert!(
        difference.is_none(),
        "{difference:?} differs: run `cargo run -- build --out site-demo` and commit it"
    );
}

#[test]
fn with_an_error_nothing_is_published_and_the_site_that_was_there_stays() {
    let shop = ShopCopy::new();
    assert_eq!(shop.run(&["build"]).status.code(), Some(0));
    let before = files(&shop.file("site"));
    assert!(before.len() > 100);
    shop.replace("specs/forks/tarnholm-u45.yaml", "stroke: 122 mm", "stroke: 122 mL");
    let done = shop.run(&["build"]);
    assert_eq!(done.status.code(), Some(1));
    assert!(out(&done).contains("wrong-dimension"), "{}", out(&done));
    assert_eq!(first_difference(&before, &files(&shop.file("site"))), None);
    // Mended, only what it touches is written.
    shop.replace("specs/forks/tarnholm-u45.yaml", "stroke: 122 mL", "stroke: 123 mm");
    let done = shop.run(&["build"]);
    assert_eq!(done.status.code(), Some(0), "{}", out(&done));
    let after = files(&shop.file("site"));
    assert!(after.get("forks/tarnholm-u45.html") != before.get("forks/tarnholm-u45.html"));
    assert!(after.get("forks/velmora-c41.html") == before.get("forks/velmora-c41.html"));
}

#[test]
fn the_same_sources_give_the_same_bytes_whatever_the_threads_the_zone_and_the_locale() {
    let shop = ShopCopy::new();
    let build = |folder: &str, settings: [(&str, &str); 3]| {
        let done = std::process::Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(["build", "--out", folder])
            .current_dir(shop.path())
            .envs(settings)
            .output()
            .expect("the program runs");
        assert_eq!(done.status.code(), Some(0), "{}", out(&done));
        (done.stdout.clone(), files(&shop.file(folder)))
    };
    let one =
        build("one", [("RAYON_NUM_THREADS", "1"), ("TZ", "Pacific/Kiritimati"), ("LC_ALL", "tr_TR.UTF-8")]);
    let two = build("two", [("RAYON_NUM_THREADS", "4"), ("TZ", "America/Adak"), ("LC_ALL", "C")]);
    assert_eq!(first_difference(&one.1, &two.1), None);
    assert!(one.0 == two.0, "the findings are the same too");
}

#[test]
fn a_fault_in_a_template_of_the_shop_is_told_at_its_place() {
    let shop = ShopCopy::new();
    std::fs::create_dir(shop.file("templates")).expect("a folder");
    shop.write("templates/tools.html", "<p>fine</p>\n{{ page.nothing_of_the_kind }}\n");
    let done = shop.run(&["build", "--format", "json"]);
    assert_eq!(done.status.code(), Some(1));
    let data: serde_json::Value = serde_json::from_str(&out(&done)).expect("JSON");
    let finding = data["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .find(|f| f["severity"] == "error")
        .expect("an error");
    assert_eq!(finding["code"], "template");
    assert_eq!(finding["path"], "templates/tools.html");
    assert_eq!(finding["start"]["line"], 2, "{finding}");
    assert!(!shop.file("site/index.html").exists(), "nothing is published");
}

/// Forks that are as one of the demo shop but for one thing, so that what forks share must be told apart by it.
const ALMOST_ALIKE: [(&str, &str); 7] = [
    ("value: 62 N·m (46 lbf·ft)", "value: 63 N·m (46 lbf·ft)"),
    ("rebound: {value: 9 clicks, counted: from-closed}", "rebound: {value: 9 clicks, counted: from-open}"),
    (
        "air_gap:\n    value: 110 mm ± 2 mm (4.33 in)\n    source: [sheet, bench]",
        "air_gap:\n    value: unknown\n    source: [sheet, bench]",
    ),
    ("compression: {value: 11 clicks,", "compression: {left: 11 clicks, right: 12 clicks,"),
    ("stanchion_limit: ≥ 40.95 mm", "stanchion_limit: ≥ 40.95 mm (1.612 in)"),
    ("family: tarnholm-inverted\n", "family: tarnholm-inverted\nchoices: {bars: above-clamp}\n"),
    (
        "protector: not fitted",
        "protector: {value: 4 N·m (3 lbf·ft), thread: M5 × 0.8, thread_state: dry, note: \"A brush by hand.\"}",
    ),
];

#[test]
fn a_shop_with_templates_of_its_own_gets_the_same_pages_without_the_short_cuts() {
    let shop = ShopCopy::new();
    let record = std::fs::read_to_string(shop.file("specs/forks/tarnholm-u41.yaml")).expect("the record");
    let (record, _) = record.split_once("\nreviewed:\n").expect("its reviews");
    for (n, (old, new)) in ALMOST_ALIKE.into_iter().enumerate() {
        assert!(record.contains(old), "{old}");
        let alike = record.replacen(old, new, 1).replace("status: published", "status: draft");
        let alike = alike.replace("id: tarnholm-u41\n", &format!("id: alike-{n}\n"));
        shop.write(
            &format!("specs/forks/alike-{n}.yaml"),
            &alike.replace("model: Sable", &format!("model: Sable {n}")),
        );
    }
    let build = |what: &str| {
        let done = shop.run(&["build", "--out", "made"]);
        assert_eq!(done.status.code(), Some(0), "{what}: {}", out(&done));
        let mut made = files(&shop.file("made"));
        made.remove("edition.json");
        made
    };
    let without = build("no templates");
    assert!(without.len() > 500, "{} files", without.len());
    // Which template it is does not matter: with any, every page gets its texts whole. This one says what ours says.
    std::fs::create_dir(shop.file("templates")).expect("a folder");
    shop.write("templates/404.html", include_str!("../templates/404.html"));
    assert_eq!(first_difference(&without, &build("a template of its own")), None);
    // One that looks at the texts themselves, and is changed between two builds.
    let base = "{% extends \"builtin/service.html\" %}{% block main %}{{ super() }}";
    for (filter, holds) in [("length", "<i>"), ("upper", "<SECTION")] {
        let own = format!(
            "{base}<i>{{{{ page.phases[0].sections[0].section_html | {filter} | safe }}}}</i>{{% endblock %}}"
        );
        shop.write("templates/service.html", &own);
        let made = build(filter);
        let page = String::from_utf8_lossy(&made["forks/alike-0/full-service.html"]).into_owned();
        assert!(page.contains(holds) && !page.contains('\0'), "{filter}");
        assert!(!page.contains("<i>3</i>"), "the text is counted, and no mark in its place");
    }
    std::fs::remove_dir_all(shop.file("templates")).expect("removed");
    assert_eq!(first_difference(&without, &build("no templates again")), None);
}

/// The pages a build with `--out made` had to write, from what it says.
fn written(done: &std::process::Output) -> usize {
    let said = String::from_utf8_lossy(&done.stderr);
    let before = said.split(" written").next().and_then(|text| text.rsplit([' ', ':']).next());
    before.and_then(|number| number.parse().ok()).unwrap_or_else(|| panic!("no count in {said}"))
}

#[test]
fn a_build_after_a_change_makes_what_a_build_from_nothing_makes() {
    let shop = ShopCopy::new();
    let first = shop.run(&["build", "--out", "made"]);
    assert_eq!(first.status.code(), Some(0), "{}", out(&first));
    let pages = written(&first);

    type Change = fn(&ShopCopy);
    let changes: [(&str, Change); 6] = [
        ("a source of one fork", |shop| {
            shop.replace("specs/forks/tarnholm-u41.yaml", "date: \"2023-04-14\"", "date: \"2023-04-15\"");
        }),
        ("the name of a fork that shares its seal with others", |shop| {
            shop.replace("specs/forks/tarnholm-u41.yaml", "\nmodel: U41\n", "\nmodel: U41 first series\n");
        }),
        ("a fork that is no more", |shop| {
            std::fs::remove_file(shop.file("specs/forks/velmora-c41.yaml")).expect("removed");
        }),
        ("a family's title", |shop| {
            let path = "specs/families/tarnholm-inverted.yaml";
            let text = std::fs::read_to_string(shop.file(path)).expect("the family");
            shop.write(path, &text.replacen("\ntitle: ", "\ntitle: Early ", 1));
        }),
        ("a caution", |shop| {
            let path = "procedures/cautions/trapped-air.md";
            let text = std::fs::read_to_string(shop.file(path)).expect("the caution");
            shop.write(path, &format!("{}\n\nKeep your face away.\n", text.trim_end()));
        }),
        ("the shop's name", |shop| shop.replace("specs/shop.yaml", "name: Low Shed", "name: High Shed")),
    ];
    for (n, (what, change)) in changes.into_iter().enumerate() {
        change(&shop);
        let again = shop.run(&["build", "--out", "made"]);
        assert_eq!(again.status.code(), Some(0), "{what}: {}", out(&again));
        // The whole shop's pages change with what is said on all of them, and only then.
        assert!(n > 2 || written(&again) < pages / 2, "{what}: {} of {pages} written", written(&again));
        let fresh = format!("fresh-{n}");
        shop.run(&["build", "--out", &fresh]);
        let difference = first_difference(&files(&shop.file(&fresh)), &files(&shop.file("made")));
        assert_eq!(difference, None, "after {what}, a page that was left alone is not as it would be made");
    }
}

/// A check beside a site that was built makes the cards of the forks alone that changed since; a site that was brought
/// along with its notes is not believed.
#[test]
fn a_check_after_a_build_finds_the_card_that_no_longer_fits() {
    let shop = ShopCopy::new();
    let fresh = out(&shop.run(&["check", "--format", "json"]));
    assert_eq!(shop.run(&["build"]).status.code(), Some(0));
    assert_eq!(out(&shop.run(&["check", "--format", "json"])), fresh, "nothing changed");
    let long = "Trail ".repeat(400);
    let record = "specs/forks/tarnholm-u45.yaml";
    let text = std::fs::read_to_string(shop.file(record)).expect("the record");
    let model = text.lines().find(|line| line.starts_with("model: ")).expect("a model").to_owned();
    shop.replace(record, &format!("\n{model}\n"), &format!("\nmodel: {long}\n"));
    let after = out(&shop.run(&["check", "--format", "json"]));
    assert!(after.contains("card-overflow") && after.contains("tarnholm-u45"), "{after}");
    std::fs::rename(shop.file("site"), shop.file("elsewhere")).expect("the site goes");
    assert_eq!(out(&shop.run(&["check", "--format", "json"])), after, "without a site");
    // The site of the good shop, carried along with all that lies beside its pages.
    let copy = |path: &str| {
        std::fs::copy(shop.file(&format!("elsewhere/{path}")), shop.file(&format!("site/{path}")))
    };
    std::fs::create_dir_all(shop.file("site/.benchleaf")).expect("a folder");
    for name in [".benchleaf/manifest.json", ".benchleaf/inputs.json"] {
        copy(name).expect("it is copied");
    }
    assert_eq!(out(&shop.run(&["check", "--format", "json"])), after, "beside a strange site");
}

/// What the last build kept of the sources only saves time: cut, exchanged or of another program, nothing of it is
/// believed, and nothing is said of it.
#[test]
fn a_check_beside_a_spoiled_memory_finds_what_a_check_from_nothing_finds() {
    let shop = ShopCopy::new();
    assert_eq!(shop.run(&["build"]).status.code(), Some(0));
    let place = shop.file("site/.benchleaf/memory");
    let good = std::fs::read(&place).expect("a build keeps what it read");
    shop.replace("specs/forks/tarnholm-u45.yaml", "stroke: 122 mm", "stroke: 212 mm");
    std::fs::remove_file(&place).expect("removed");
    let expected = out(&shop.run(&["check", "--format", "json"]));
    assert!(expected.contains("tarnholm-u45"), "{expected}");
    let half = good[..good.len() / 2].to_vec();
    let mut turned = good.clone();
    turned.reverse();
    let mut of_another = good.clone();
    // Behind the beginning and the digest of the whole stands which program wrote it.
    of_another[19 + 32] ^= 1;
    for (what, bytes) in [("as it was", good), ("half", half), ("turned", turned), ("another's", of_another)]
    {
        std::fs::write(&place, bytes).expect("written");
        let found = shop.run(&["check", "--format", "json"]);
        assert_eq!(out(&found), expected, "{what}");
        assert!(found.stderr.is_empty(), "{what}: {}", String::from_utf8_lossy(&found.stderr));
    }
}

#[test]
fn with_nothing_changed_a_build_says_so_and_how_the_findings_stood() {
    let shop = ShopCopy::new();
    shop.run(&["build", "--out", "made"]);
    let again = shop.run(&["build", "--out", "made"]);
    assert_eq!(again.status.code(), Some(0), "{}", out(&again));
    let said = String::from_utf8_lossy(&again.stderr).into_owned();
    assert!(said.contains("nothing has changed") && said.contains("benchleaf check"), "{said}");
    let whole = shop.run(&["build", "--out", "made", "--format", "json"]);
    assert!(String::from_utf8_lossy(&whole.stdout).contains("\"findings\""), "a program gets every finding");
    std::fs::write(shop.file("made/index.html"), "by hand").expect("written");
    let mended = shop.run(&["build", "--out", "made"]);
    assert_eq!(written(&mended), 1, "{}", out(&mended));
}

/// The demo shop's sources in memory: its texts, and its pictures.
fn demo() -> (BTreeMap<String, String>, BTreeMap<String, Vec<u8>>) {
    let folder = Folder { root: root().to_path_buf() };
    let (mut texts, mut pictures) = (BTreeMap::new(), BTreeMap::new());
    for path in folder.list().0 {
        match String::from_utf8(folder.read(&path).expect("read")) {
            Ok(text) => drop(texts.insert(path, text)),
            Err(bytes) => drop(pictures.insert(path, bytes.into_bytes())),
        }
    }
    (texts, pictures)
}

#[test]
fn a_check_that_remembers_the_last_one_finds_what_a_check_from_nothing_finds() {
    type Change = fn(&mut BTreeMap<String, String>);
    fn replace(files: &mut BTreeMap<String, String>, path: &str, old: &str, new: &str) {
        let text = files.get_mut(path).unwrap_or_else(|| panic!("{path}"));
        assert!(text.contains(old), "{path} holds no {old}");
        *text = text.replacen(old, new, 1);
    }
    const FORK: &str = "specs/forks/tarnholm-u41.yaml";
    let changes: [(&str, Change); 18] = [
        ("nothing", |_| {}),
        ("a picture that is another", |_| {}),
        ("a fork that was called otherwise", |files| {
            let text = files["specs/forks/velmora-c45.yaml"]
                .replace("id: velmora-c45\n", "id: velmora-c46\nwas: [velmora-c45]\n");
            files.remove("specs/forks/velmora-c45.yaml");
            files.insert("specs/forks/velmora-c46.yaml".into(), text);
        }),
        ("a procedure for one fork", |files| {
            replace(
                files,
                "procedures/back-off-preload.md",
                "for: [{preload: [top, bottom]}]",
                "for: [{fork: [tarnholm-u48]}]",
            );
        }),
        ("a number of a fork", |files| {
            replace(files, "specs/forks/tarnholm-u45.yaml", "stroke: 122 mm", "stroke: 212 mm")
        }),
        ("a unit that is wrong", |files| {
            replace(files, "specs/forks/tarnholm-u45.yaml", "stroke: 212 mm", "stroke: 212 mL")
        }),
        ("it is mended", |files| {
            replace(files, "specs/forks/tarnholm-u45.yaml", "stroke: 212 mL", "stroke: 122 mm")
        }),
        ("another fork's id", |files| {
            let text = files[FORK].replace("id: tarnholm-u41\n", "id: tarnholm-u45\n");
            files.insert(FORK.into(), text);
        }),
        ("its own again", |files| {
            let text = files[FORK].replace("id: tarnholm-u45\n", "id: tarnholm-u41\n");
            files.insert(FORK.into(), text);
        }),
        ("a record that cannot be read", |files| replace(files, FORK, "\nmodel: U41\n", "\nmodel: [U41\n")),
        ("a fork that is no more", |files| drop(files.remove(FORK))),
        ("a family's value", |files| {
            let path = "specs/families/tarnholm-inverted.yaml";
            let text = files[path].replace("N·m", "kN·m");
            files.insert(path.into(), text);
        }),
        ("an oil that is no more", |files| drop(files.remove("specs/oils/quillon-damp-15.yaml"))),
        ("a procedure that needs less", |files| {
            let path = "procedures/set-air-gap.md";
            let text = files[path].replacen("bled, ", "", 1);
            files.insert(path.into(), text);
        }),
        ("a job that is new", |files| {
            let last = files.iter().rfind(|(path, _)| path.starts_with("specs/jobs/")).expect("a job");
            let text = last.1.clone();
            files.insert("specs/jobs/2025/9999.yaml".into(), text);
        }),
        ("a job's reading", |files| {
            let path = "specs/jobs/2024/0001.yaml";
            replace(
                files,
                path,
                "{left: 138 mm, right: 138 mm, target",
                "{left: 183 mm, right: 138 mm, target",
            );
        }),
        ("the cards that were released", |files| drop(files.remove("specs/released.yaml"))),
        ("the shop's approvers", |files| {
            let path = "specs/shop.yaml";
            let text = files[path].replace("R. Tamberlin", "Somebody Else");
            files.insert(path.into(), text);
        }),
    ];
    let (mut files, mut pictures) = demo();
    let mut memory = Memory::default();
    for (what, change) in changes {
        change(&mut files);
        if what == "a picture that is another" {
            let (first, last) = (pictures.keys().next().cloned(), pictures.values().next_back().cloned());
            pictures.extend(first.zip(last));
        }
        let texts = files.iter().map(|(path, text)| (path.clone(), text.clone().into_bytes()));
        let source = InMemory::new(texts.chain(pictures.clone()));
        let again = check_again(read_shop(&source, None), &mut memory);
        let anew = check_sources(read_shop(&source, None));
        assert_eq!(again.findings, anew.findings, "{what}");
        assert!(
            format!("{:?}{:?}", again.forks, again.texts) == format!("{:?}{:?}", anew.forks, anew.texts),
            "{what}"
        );
        assert!(format!("{:?}", again.shop) == format!("{:?}", anew.shop), "{what}");
    }
}
