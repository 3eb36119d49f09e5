//! The shop lead writes what is true of a real fork, however unusual, and is not refused: each test changes a fork of the
//! demo shop, and no error is found.

mod common;

use std::collections::BTreeMap;
use std::path::Path;

use benchleaf::check_shop;
use benchleaf::diagnostic::Severity;
use benchleaf::text::{Folder, Memory, Source};
use common::{ShopCopy, out};

fn demo() -> BTreeMap<String, Vec<u8>> {
    let folder = Folder { root: Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf() };
    let (paths, _) = folder.list();
    paths.into_iter().map(|path| (path.clone(), folder.read(&path).expect("a source"))).collect()
}

/// Changes one file, each text once.
fn change(files: &mut BTreeMap<String, Vec<u8>>, path: &str, changes: &[(&str, &str)]) {
    let mut text = String::from_utf8(files[path].clone()).expect("text");
    for (from, to) in changes {
        assert!(text.contains(from), "{path} has no `{from}`");
        text = text.replacen(from, to, 1);
    }
    files.insert(path.to_owned(), text.into_bytes());
}

/// The errors of a shop, as code and message.
fn errors(files: BTreeMap<String, Vec<u8>>) -> Vec<String> {
    let checked = check_shop(&Memory { files });
    let errors = checked.findings.iter().filter(|finding| finding.severity == Severity::Error);
    errors.map(|finding| format!("{}: {}", finding.code(), finding.message)).collect()
}

fn none(path: &str, changes: &[(&str, &str)]) {
    let mut files = demo();
    change(&mut files, path, changes);
    assert_eq!(errors(files), Vec::<String>::new());
}

const D37: &str = "specs/forks/brackwater-d37.yaml";
const C45: &str = "specs/forks/velmora-c45.yaml";

#[test]
fn an_interval_in_months_or_whichever_is_first() {
    none(C45, &[("oil: 20000 km", "oil: 24 months")]);
    none(C45, &[("oil: 20000 km", "oil: 20000 km or 24 months, whichever is first")]);
}

#[test]
fn a_model_that_is_still_made() {
    none(C45, &[("years: 2011..2017", "years: 2011..")]);
}

#[test]
fn a_stanchion_without_a_wear_limit() {
    none(C45, &[("  stanchion_limit: ≥ 44.95 mm\n", "")]);
    none(C45, &[("stanchion_limit: ≥ 44.95 mm", "stanchion_limit: unknown")]);
}

#[test]
fn springs_that_differ_left_and_right_on_purpose() {
    let accept = "accept: {finding: leg-difference, reason: \"Sold as a soft and a hard spring.\", by: \"R. Tamberlin\"}";
    let rate = format!("rate: {{left: 9.6 N/mm (54.8 lbf/in), right: 9.2 N/mm (52.5 lbf/in), {accept}}}");
    none(C45, &[("rate: 9.6 N/mm (54.8 lbf/in)", &rate)]);
}

#[test]
fn a_sheet_that_says_nothing_of_rest_temperature_and_thread() {
    none(C45, &[("rest: 10 min, temperature: 20 °C", "rest: unknown, temperature: unknown")]);
    none(C45, &[("thread_state: anti-seize", "thread_state: unknown")]);
}

#[test]
fn damping_rod_legs_that_are_set_by_a_level() {
    let mut files = demo();
    change(
        &mut files,
        D37,
        &[("\ntubes:", "\nchoices:\n  oil_set_by: level\n\ntubes:"), ("  air_gap:", "  level:")],
    );
    let text = String::from_utf8(files[D37].clone()).expect("text");
    // The level and its allowed difference take the place of the gap's.
    let text = text.replace("  dry_fill: 410 mL", "  level_difference: ≤ 2 mm\n  dry_fill: 410 mL");
    files.insert(D37.to_owned(), text.into_bytes());
    assert_eq!(errors(files), Vec::<String>::new());
}

/// The apprentice works from card and page: the approver's sentence stands where the figure would, and no other figure.
#[test]
fn what_is_done_instead_stands_on_page_and_card() {
    let shop = ShopCopy::new();
    let sentence = "Nip it until the legs stand parallel, then mark axle and leg";
    shop.replace(
        C45,
        "axle: {value: 78 N·m (58 lbf·ft), thread: M20 × 1.5, into: aluminum, thread_state: anti-seize, sequence: 6}",
        &format!("axle: {{value: unknown, sequence: 6, instead: {{do: \"{sentence}\", by: \"R. Tamberlin\"}}}}"),
    );
    let done = shop.run(&["build"]);
    assert!(done.status.success(), "{}", out(&done));
    let read = |path: &str| std::fs::read_to_string(shop.file(path)).expect("a page");
    for page in [
        "forks/velmora-c45.html",
        "forks/velmora-c45/full-service.html",
        "cards/velmora-c45--full-service.html",
    ] {
        let html = read(&format!("site/{page}"));
        // In the middle of a sentence it is an aside, with a small first letter.
        assert!(html.contains(&sentence[1..]), "{page}");
        assert!(html.contains("UNKNOWN"), "{page}");
        assert!(!html.contains("78\u{a0}N·m"), "{page}");
    }
    let work = read("site/forks/velmora-c45/full-service.html");
    assert!(work.contains("UNKNOWN</strong> <b>[instead: nip it until"), "{work}");
    let card = read("site/cards/velmora-c45--full-service.html");
    assert!(
        card.contains("Instead: nip it until the legs stand parallel, then mark axle and leg."),
        "{card}"
    );
    assert!(read("site/review.html").contains(sentence));
}

/// A part of the state that the sheet does not say: what hangs on it is not worked out, and the page says so.
#[test]
fn nothing_is_worked_out_from_an_unknown_state() {
    let mut files = demo();
    change(&mut files, D37, &[("rest: 5 min, temperature: 20 °C", "rest: unknown, temperature: unknown")]);
    let worked_out = |files: BTreeMap<String, Vec<u8>>| {
        let checked = check_shop(&Memory { files });
        let notes = checked.findings.iter().filter(|finding| finding.code() == "gap-moves-when-warm");
        let at = notes.map(|finding| checked.files.get(finding.span.file).path.clone());
        at.filter(|path| path == D37).count()
    };
    assert_eq!(worked_out(demo()), 1);
    assert_eq!(worked_out(files), 0);
}
