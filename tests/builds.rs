//! The shop lead keeps springs, builds and shim stacks; the technician works from the card of the build, and never takes
//! it for the fork's.

mod common;

use std::collections::BTreeMap;

use benchleaf::text::Folder;
use benchleaf::{Checked, Memory, check_again, check_shop, check_sources, read_shop};
use common::{ShopCopy, out, root};

const SPRING: &str = r#"id: harl-90
maker: Harl
marking: "90-312"
part_number: "H-90"
in_stock: 2
sources:
  tester: {kind: measured, title: "Spring tester", by: A. Wren, date: "2025-02-11"}
source: tester
coil:
  rate: 9.0 N/mm (51.4 lbf/in)
  free_length: 312 mm
  solid_length: 147 mm
  mass: 382 g
"#;

const BUILD: &str = r#"id: tarn-41-two-up
title: Two up
fork: tarn-41
machine: {maker: Ulm Motors, model: Kestrel 600}
use: touring
fitted_spring: harl-90
sources:
  bench: {kind: measured, title: "Set on the machine", by: A. Wren, date: "2025-03-02"}
source: bench
changes:
  spring.rate: {instead_of: 8.8 N/mm, why: "Both are heavy.", date: "2025-03-02"}
  oil.air_gap: {instead_of: 96 mm, why: "Uses all of its travel two up.", date: "2025-03-02"}
oil:
  air_gap:
    value: 92 mm ± 2 mm (3.62 in)
    state: {edge: outer-tube-top, leg: collapsed, spring: out, rod: down, rest: 10 min, temperature: 20 °C}
"#;

const BUILD_PATH: &str = "specs/builds/tarn-41-two-up.yaml";
const SPRING_PATH: &str = "specs/springs/harl-90.yaml";

fn small() -> ShopCopy {
    ShopCopy::of(&root().join("tests/shops/plain"))
}

fn with_build() -> ShopCopy {
    let shop = small();
    for (path, text) in [(SPRING_PATH, SPRING), (BUILD_PATH, BUILD)] {
        std::fs::create_dir_all(shop.file(path).parent().expect("a folder")).expect("made");
        shop.write(path, text);
    }
    shop
}

fn built(shop: &ShopCopy) {
    let done = shop.run(&["build"]);
    assert_eq!(done.status.code(), Some(0), "{}", out(&done));
}

fn page(shop: &ShopCopy, path: &str) -> String {
    std::fs::read_to_string(shop.file(&format!("site/{path}"))).unwrap_or_default().replace('\u{a0}', " ")
}

fn site(shop: &ShopCopy) -> BTreeMap<String, Vec<u8>> {
    let files = walkdir::WalkDir::new(shop.file("site")).into_iter().filter_map(Result::ok);
    let files = files.filter(|entry| entry.file_type().is_file());
    let name = |entry: &walkdir::DirEntry| {
        entry.path().strip_prefix(shop.file("site")).expect("inside").display().to_string()
    };
    let mut all: BTreeMap<_, _> =
        files.map(|entry| (name(&entry), std::fs::read(entry.path()).expect("read"))).collect();
    all.retain(|path, _| !path.starts_with('.'));
    all
}

fn code(shop: &ShopCopy, fork: &str) -> String {
    out(&shop.run(&["card", fork])).split(':').next().unwrap_or_default().to_owned()
}

#[test]
fn a_build_has_a_card_of_its_own_and_never_passes_for_its_fork() {
    let (bare, shop) = (small(), with_build());
    built(&bare);
    built(&shop);
    let card = "cards/tarn-41--full-service.html";
    assert_eq!(code(&bare, "tarn-41"), code(&shop, "tarn-41"), "the fork's card is as it was");
    assert_ne!(code(&shop, "tarn-41"), code(&shop, "tarn-41-two-up"));
    assert!(!page(&shop, card).contains("BUILD") && page(&shop, card).contains(">96<"));
    let own = page(&shop, "cards/tarn-41-two-up--full-service.html");
    for text in ["build “Two up”", "BUILD, not 96 mm", ">92<", "BUILD over Tarn Suspension T41"] {
        assert!(own.contains(text), "{text}: {own}");
    }
    let told = page(&shop, "forks/tarn-41-two-up.html");
    for text in ["A build, not the fork", "Uses all of its travel two up.", "Harl 90-312", "9.0 N/mm"] {
        assert!(told.contains(text), "{text}");
    }
    // What it takes over is the fork's, with the fork's sources.
    assert!(told.contains("430 mL"), "{told}");
    assert!(
        page(&shop, "forks/tarn-41.html").contains("forks/tarn-41-two-up.html"),
        "the fork names its build"
    );
    assert!(page(&shop, "springs.html").contains("2 on the shelf"));
    assert!(
        page(&shop, "builds.html").contains("Ulm Motors Kestrel 600, touring, spring Harl 90-312 (no. H-90)")
    );
}

#[test]
fn a_build_follows_its_fork_and_says_when_what_it_was_made_instead_of_is_another() {
    let shop = with_build();
    let before = code(&shop, "tarn-41-two-up");
    shop.replace(
        "specs/forks/tarn-41.yaml",
        "  dry_fill: 430 mL (14.5 US fl oz)",
        "  dry_fill: 440 mL (14.9 US fl oz)",
    );
    let after = code(&shop, "tarn-41-two-up");
    assert_ne!(before, after, "a number it takes over is another card");
    assert!(!out(&shop.run(&["check", "--format", "short"])).contains("build-overtaken"));
    shop.replace(
        "specs/forks/tarn-41.yaml",
        "value: 96 mm ± 2 mm (3.78 in)",
        "value: 98 mm ± 2 mm (3.86 in)",
    );
    let check = out(&shop.run(&["check", "--format", "short"]));
    let line =
        check.lines().find(|line| line.contains("build-overtaken")).unwrap_or_else(|| panic!("{check}"));
    assert!(line.starts_with(BUILD_PATH) && line.contains("now, not 96 mm"), "{line}");
    assert_eq!(code(&shop, "tarn-41-two-up"), after, "its own gap is what it was");
}

#[test]
fn what_is_wrong_with_a_build_alone_stops_at_the_build() {
    let shop = with_build();
    // A spring of thick wire, whose coils touch before the leg is in.
    shop.replace(SPRING_PATH, "solid_length: 147 mm", "solid_length: 190 mm");
    let check = out(&shop.run(&["check", "--format", "short"]));
    let lines: Vec<&str> = check.lines().filter(|line| line.contains("coil-bind")).collect();
    assert!(!lines.is_empty() && lines.iter().all(|line| line.starts_with(BUILD_PATH)), "{check}");
    let of_fork = out(&shop.run(&["check", "tarn-41", "--format", "short"]));
    assert!(!of_fork.contains("coil-bind"), "nothing of the fork is in doubt: {of_fork}");
}

#[test]
fn a_job_on_a_build_is_judged_by_the_build() {
    let shop = with_build();
    std::fs::create_dir_all(shop.file("specs/jobs/2026")).expect("made");
    let job = |gap: &str| {
        format!(
            "fork: tarn-41-two-up\nservice: full-service\nmachine: {{maker: Ulm Motors, model: Kestrel 600, frame: \"7Q0412\"}}\ndate: \"2026-04-12\"\nleft:\n  oil.air_gap: {{left: {gap}, right: {gap}}}\n"
        )
    };
    shop.write("specs/jobs/2026/0001.yaml", &job("92 mm"));
    shop.write("specs/jobs/2026/0002.yaml", &job("96 mm"));
    let check = out(&shop.run(&["check", "--format", "short"]));
    assert!(!check.contains("job-refers-nowhere"), "{check}");
    let outside: Vec<&str> = check.lines().filter(|line| line.contains("job-outside")).collect();
    assert!(!outside.is_empty() && outside.iter().all(|line| line.contains("0002.yaml")), "{check}");
    built(&shop);
    let leaked: Vec<String> = site(&shop)
        .into_iter()
        .filter(|(_, bytes)| String::from_utf8_lossy(bytes).contains("7Q0412"))
        .map(|(path, _)| path)
        .collect();
    assert!(leaked.is_empty(), "{leaked:?}");
}

#[test]
fn a_text_for_one_fork_is_for_its_builds_and_an_approval_of_the_fork_releases_their_cards() {
    let shop = with_build();
    shop.write(
        "procedures/look-at-the-cap.md",
        "---\nid: look-at-the-cap\ntitle: Look at the cap\nphase: inspect\ntime: 5 min\nfor: [{fork: tarn-41}]\n---\n\n1. Hold the cap to the light.\n\n   > A crack begins at the edge.\n",
    );
    shop.replace(
        "procedures/services/full-service.yaml",
        "procedures: [set-air-gap, close-leg]",
        "procedures: [{where_fitted: [look-at-the-cap]}, set-air-gap, close-leg]",
    );
    built(&shop);
    let has =
        |fork: &str| page(&shop, &format!("forks/{fork}/full-service.html")).contains("</a> to the light.");
    assert!(has("tarn-41") && has("tarn-41-two-up") && !has("tarn-45"));
    let done = shop.run(&["approve", "tarn-41", "--by", "A. Wren", "--date", "2026-04-12"]);
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    let released = std::fs::read_to_string(shop.file("specs/released.yaml")).expect("released");
    assert!(released.contains("fork: tarn-41,") && released.contains("fork: tarn-41-two-up,"), "{released}");
    // The build's own values wait for a review of their own.
    let card = out(&shop.run(&["card", "tarn-41-two-up"]));
    assert!(card.contains("UNREVIEWED: Air gap"), "{card}");
    let done = shop.run(&["approve", "tarn-41-two-up", "--by", "A. Wren", "--date", "2026-04-12"]);
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    assert!(!out(&shop.run(&["card", "tarn-41-two-up"])).contains("UNREVIEWED: Air gap"));
    // Another spring, that somebody vouches for in its own record, is still another build.
    shop.write(
        "specs/springs/harl-95.yaml",
        &SPRING.replace("harl-90", "harl-95").replace("90-312", "95-312"),
    );
    shop.replace(BUILD_PATH, "fitted_spring: harl-90", "fitted_spring: harl-95");
    let check = out(&shop.run(&["check", "--format", "short"]));
    assert!(
        check.lines().any(|line| line.contains("review-stale") && line.contains("what is fitted")),
        "{check}"
    );
    shop.replace(BUILD_PATH, "value: 92 mm ± 2 mm (3.62 in)", "value: 91 mm ± 2 mm (3.58 in)");
    assert!(out(&shop.run(&["card", "tarn-41-two-up"])).contains("CHANGED: Air gap"));
}

/// A build of the site after each change is that of a build from nothing, and a check that remembers finds the same.
#[test]
fn pages_of_builds_are_made_anew_when_fork_spring_or_build_change() {
    let shop = with_build();
    built(&shop);
    let mut memory = Memory::default();
    let source = Folder { root: shop.path().to_path_buf() };
    check_again(read_shop(&source, None), &mut memory);
    let told = |checked: &Checked| -> Vec<String> {
        checked
            .findings
            .iter()
            .map(|one| format!("{:?} {} {:?}", one.span, one.message, one.reaches))
            .collect()
    };
    let changes = [
        (
            "specs/forks/tarn-41.yaml",
            "  dry_fill: 430 mL (14.5 US fl oz)",
            "  dry_fill: 440 mL (14.9 US fl oz)",
        ),
        (SPRING_PATH, "solid_length: 147 mm", "solid_length: 149 mm"),
        (BUILD_PATH, "title: Two up", "title: Two up, far"),
        (BUILD_PATH, "instead_of: 96 mm", "instead_of: 95 mm"),
        (SPRING_PATH, "in_stock: 2", "in_stock: 0"),
    ];
    for (path, old, new) in changes {
        shop.replace(path, old, new);
        built(&shop);
        let fresh = small();
        for entry in ["specs/forks/tarn-41.yaml", SPRING_PATH, BUILD_PATH] {
            std::fs::create_dir_all(fresh.file(entry).parent().expect("a folder")).expect("made");
            fresh.write(entry, &std::fs::read_to_string(shop.file(entry)).expect("read"));
        }
        built(&fresh);
        let (here, there) = (site(&shop), site(&fresh));
        let differ: Vec<&String> = there.keys().filter(|path| here.get(*path) != there.get(*path)).collect();
        assert!(differ.is_empty() && here.len() == there.len(), "{new}: {differ:?}");
        let again = check_again(read_shop(&source, None), &mut memory);
        assert_eq!(told(&again), told(&check_sources(read_shop(&source, None))), "{new}");
    }
}

const VALVING: &str = r#"id: firm
title: Firmer
fork: tarn-41
date: "2025-02-27"
why: Dives under the brakes.
stacks:
  - piston: "Compression piston"
    damps: compression
    baseline: {shims: [{size: 21 × 0.15 mm, count: 3}], bleed: 1.4 mm, clamp: 10 mm}
    changed:
      shims: [{size: 21 × 0.15 mm, count: 4}, 15 × 0.2 mm]
      bleed: 1.5 mm
"#;

/// The title of a stack says nothing of its shims: another shim, another order, another bleed is another card, and the
/// build is to be looked at again. How it is written, and what was in the leg before, does not count.
#[test]
fn a_changed_stack_is_another_card() {
    let shop = with_build();
    let path = "specs/valvings/firm.yaml";
    std::fs::create_dir_all(shop.file("specs/valvings")).expect("made");
    shop.write(path, VALVING);
    shop.replace(BUILD_PATH, "fitted_spring: harl-90", "fitted_spring: harl-90\nvalving: firm");
    let kinds = [
        ("count: 3", "count: 2", false),
        ("15 × 0.2 mm]", "15×0.20 mm]  # the clamp's neighbor", true),
        ("15 × 0.2 mm]", "15×0.2 mm]  # the clamp's neighbor", false),
        ("count: 4", "count: 5", true),
        (
            "[{size: 21 × 0.15 mm, count: 4}, 15 × 0.2 mm]",
            "[15 × 0.2 mm, {size: 21 × 0.15 mm, count: 4}]",
            true,
        ),
        ("bleed: 1.5 mm", "bleed: 1.4 mm", true),
        ("damps: compression", "damps: rebound", true),
    ];
    let [build, fork] = ["tarn-41-two-up", "tarn-41"].map(|id| code(&shop, id));
    for (old, new, other) in kinds {
        shop.write(path, &VALVING.replacen(old, new, 1));
        assert_eq!(code(&shop, "tarn-41-two-up") != build, other, "{new}");
        assert_eq!(code(&shop, "tarn-41"), fork, "{new}");
    }
}

/// A build vouches for the shims that are in it, as for its spring.
#[test]
fn a_changed_stack_makes_the_review_of_its_build_stale() {
    let shop = ShopCopy::new();
    let stale = || {
        let checked = check_shop(&Folder { root: shop.path().to_path_buf() });
        let at = |finding: &&benchleaf::diagnostic::Finding| {
            checked.files.get(finding.span.file).path == "specs/builds/c45-two-up.yaml"
        };
        checked.findings.iter().filter(at).any(|finding| finding.code() == "review-stale")
    };
    assert!(!stale());
    shop.replace("specs/valvings/c45-firm-compression.yaml", "count: 4}", "count: 5}");
    assert!(stale());
}

/// The stack as found beside as changed, with what differs marked; the demo's own, checked by hand: 3 × 0.15 + 0.1 +
/// 2 × 0.15 + 0.2 = 1.05 mm.
#[test]
fn stacks_stand_side_by_side_with_their_thickness() {
    let shop = ShopCopy::new();
    built(&shop);
    let valvings = page(&shop, "valvings.html");
    for text in ["1.05 mm", "1.10 mm", "3 × ⌀ 21 × 0.15 mm", "went back as found"] {
        assert!(valvings.contains(text), "{text}");
    }
    assert!(page(&shop, "instruments.html").contains("2026-11-04"), "until when a wrench is calibrated");
    let checked = check_shop(&Folder { root: root().to_path_buf() });
    let shop = &checked.shop;
    let instruments = shop.tools.iter().filter(|tool| tool.is_instrument()).count();
    let counts = [shop.springs.len(), shop.valvings.len(), instruments.min(4)];
    assert_eq!(counts, [6, 2, 4]);
}
