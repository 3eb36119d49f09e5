//! A digest means what a value says, and nothing of how it is written.

use benchleaf::check_shop;
use benchleaf::review::Standing;
use benchleaf::text::Memory;
use proptest::prelude::*;

use crate::{FORK, Request, plain, request, review, shop_with, standing, text_of};

/// The codes that the review of a fork written like this would record, by key.
fn codes(fork: &str) -> Vec<String> {
    recorded(fork, None)
}

/// The lines that a review, or a comparison with a source, would record.
fn recorded(fork: &str, compared: Option<&str>) -> Vec<String> {
    let request = Request { compared, ..request("tarn-41", "2026-05-04", &[]) };
    let approval = benchleaf::approve::approve(&check_shop(&shop_with(FORK, fork)), &request)
        .unwrap_or_else(|refused| panic!("{refused:?}\n{fork}"));
    let text = approval.text.expect("a new text");
    let from = text.find("reviewed:").expect("the review");
    text[from..].lines().map(|line| line.trim().to_owned()).collect()
}

/// These were worked out by another program (Python, with its `json` and the `blake3` package) from the form
/// that DEVELOPERS.md describes; another machine, another language, the same codes.
#[test]
fn the_codes_are_those_that_another_program_works_out() {
    let mut codes = codes(&text_of(FORK));
    codes.extend(recorded(&text_of(FORK), Some("sheet")));
    for line in WORKED_OUT {
        assert!(codes.iter().any(|code| code == line), "{line} is not in {codes:#?}");
    }
}

const WORKED_OUT: [&str; 5] = [
    "choices: 7K7N-3Y63",
    "machines: RWMN-951T",
    "oil.air_gap: K2AD-7AYN",
    "oil.dry_fill: 2J74-5S2X",
    "torque.cap_to_tube: AZFT-21Z7",
];

/// "Hands clear" turned round stands on the card beside the number: whoever vouched for the number saw it otherwise.
#[test]
fn a_note_that_is_printed_beside_a_value_is_part_of_what_was_seen() {
    let with = |note: &str| {
        let fork = text_of(FORK).replace("stroke: 118 mm\n", &format!("stroke: {{value: 118 mm{note}}}\n"));
        let (stroke, rest): (Vec<_>, Vec<_>) =
            codes(&fork).into_iter().partition(|code| code.starts_with("tubes.stroke:"));
        let seal = |code: &String| !code.starts_with("digest:");
        (stroke, rest.into_iter().filter(seal).collect::<Vec<_>>())
    };
    let [none, clear, near, folded] =
        ["", ", note: Hands clear.", ", note: Hands near.", ", note: \"Hands  clear.\""].map(with);
    assert_eq!(clear, folded, "blanks do not count");
    assert!(none.0 != clear.0 && clear.0 != near.0, "{none:?} {clear:?} {near:?}");
    assert!(none.1 == clear.1 && clear.1 == near.1, "the other values' codes stay");
}

/// One way to write the fork: nothing in it changes what it says.
#[derive(Debug, Clone)]
struct Hand {
    order: Vec<usize>,
    crlf: bool,
    comments: Vec<bool>,
    flow: bool,
    quotes: bool,
    spaced: bool,
    state_order: Vec<usize>,
    both_legs: bool,
    units: bool,
}

fn hand() -> impl Strategy<Value = Hand> {
    let orders = (
        Just((0..6).collect::<Vec<usize>>()).prop_shuffle(),
        Just((0..6).collect::<Vec<usize>>()).prop_shuffle(),
    );
    let flags = (any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>());
    (orders, flags, proptest::collection::vec(any::<bool>(), 6)).prop_map(
        |((order, state_order), flags, comments)| {
            let (crlf, flow, quotes, spaced, both_legs, units) = flags;
            Hand { order, crlf, comments, flow, quotes, spaced, state_order, both_legs, units }
        },
    )
}

/// The fork in this hand.
fn written(hand: &Hand) -> String {
    let base = text_of(FORK);
    let (head, rest) = base.split_once("\ntubes:").expect("the fork's groups");
    let groups: Vec<String> =
        format!("tubes:{rest}").split("\n\n").map(|group| format!("{}\n", group.trim_end())).collect();
    assert_eq!(groups.len(), 5, "the fork of the small shop has five groups");
    let mut out = format!("{}\n", head.trim_end());
    for at in hand.order.iter().filter(|at| **at < groups.len()) {
        if hand.comments[*at] {
            out.push_str("# As measured: 1, 2, 3.\n\n");
        }
        out.push_str(&groups[*at]);
    }
    let gap = "    value: 96 mm ± 2 mm (3.78 in)\n    state: {edge: outer-tube-top, leg: collapsed, spring: out, rod: down, rest: 10 min, temperature: 20 °C}\n";
    assert!(out.contains(gap));
    let parts = [
        "edge: outer-tube-top",
        "leg: collapsed",
        "spring: out",
        "rod: down",
        "rest: 10 min",
        "temperature: 20 °C",
    ];
    let state: Vec<&str> = hand.state_order.iter().map(|at| parts[*at]).collect();
    let number = match (hand.units, hand.spaced) {
        (false, false) => "96 mm ± 2 mm (3.78 in)",
        (false, true) => "96  mm ±2 mm  ( 3.78 in )",
        (true, false) => "96 ± 2 mm (3.78 in)",
        (true, true) => "96 +/- 2 mm (3.78 in)",
    };
    let number = if hand.quotes { format!("\"{number}\"") } else { number.to_owned() };
    let state = if hand.flow {
        format!("    state: {{{}}}\n", state.join(", "))
    } else {
        format!("    state:\n{}", state.iter().map(|part| format!("      {part}\n")).collect::<String>())
    };
    let value = format!("    value: {number} # checked\n");
    let both = if hand.both_legs { format!("{state}{value}") } else { format!("{value}{state}") };
    out = out.replace(gap, &both);
    let fill = "  dry_fill: 430 mL (14.5 US fl oz)\n";
    assert!(out.contains(fill));
    if hand.both_legs {
        out = out.replace(
            fill,
            "  dry_fill: {right: 430 mL (14.5 US fl oz), left: {value: 430 mL (14.5 US fl oz)}}\n",
        );
    }
    if hand.crlf { out.replace('\n', "\r\n") } else { out }
}

/// What a change must show in, by key.
const CHANGES: [(&str, &str, &str); 13] = [
    ("96 mm ± 2 mm (3.78 in)", "97 mm ± 2 mm (3.82 in)", "oil.air_gap"),
    ("96 mm ± 2 mm (3.78 in)", "96.0 mm ± 2 mm (3.78 in)", "oil.air_gap"),
    ("96 mm ± 2 mm (3.78 in)", "96 mm ± 3 mm (3.78 in)", "oil.air_gap"),
    ("96 mm ± 2 mm (3.78 in)", "96 mm ± 2 mm (3.780 in)", "oil.air_gap"),
    ("spring: out,", "spring: in,", "oil.air_gap"),
    ("rest: 10 min", "rest: 12 min", "oil.air_gap"),
    (
        "430 mL (14.5 US fl oz)",
        "{left: 430 mL (14.5 US fl oz), right: 431 mL (14.6 US fl oz)}",
        "oil.dry_fill",
    ),
    ("mass: 380 g", "mass: {value: 380 g, source: bench}", "spring.mass"),
    (
        "{kind: maker-sheet, title: \"Service sheet T41\"",
        "{kind: common-practice, title: \"Service sheet T41\"",
        "spring.mass",
    ),
    ("mass: 380 g", "mass: 0.38 kg", "spring.mass"),
    ("mass: 380 g", "mass: {value: 380 g, note: with the top washer}", "spring.mass"),
    ("years: 2016..2019", "years: 2016..2020", "machines"),
    ("bore: 37.5 mm", "bore: {left: 37.5 mm, right: 37.6 mm}", "tubes.bore"),
];

#[test]
fn whatever_a_review_vouches_for_makes_it_stale_when_it_changes() {
    let base = text_of(FORK);
    let reviewed = review(&shop_with(FORK, &base), &[]).expect("a review").text.expect("a new text");
    for (old, new, key) in CHANGES {
        assert_eq!(reviewed.matches(old).count(), 1, "`{old}` stands once");
        let after = check_shop(&shop_with(FORK, &reviewed.replace(old, new)));
        assert!(
            matches!(standing(&after, key), Standing::Changed(_)),
            "{old} to {new}: {:?}",
            standing(&after, key)
        );
    }
    // What it does not vouch for.
    for (old, new) in [
        ("status: published", "status: published\nnotes: Looked at in spring."),
        ("spring:\n", "spring: # the long one\n"),
    ] {
        let after = check_shop(&shop_with(FORK, &reviewed.replace(old, new)));
        assert_eq!(*standing(&after, "choices"), Standing::NotCompared, "{new}");
        for key in ["spring.mass", "oil.air_gap", "machines"] {
            assert!(matches!(standing(&after, key), Standing::Reviewed(_)), "{new}: {key}");
        }
    }
}

#[test]
fn a_change_in_the_family_reaches_the_review_of_the_fork() {
    let reviewed = review(&shop_with(FORK, &text_of(FORK)), &[]).expect("a review").text.expect("a new text");
    let compared = Request { compared: Some("sheet"), ..request("tarn-41", "2026-05-04", &[]) };
    let compared = benchleaf::approve::approve(&check_shop(&shop_with(FORK, &reviewed)), &compared);
    let mut files = plain();
    files.insert(FORK.to_owned(), compared.expect("a comparison").text.expect("a new text").into_bytes());
    let before = check_shop(&Memory { files: files.clone() });
    assert!(matches!(standing(&before, "torque.cap_to_tube"), Standing::Reviewed(_)));
    let family = "specs/families/tarn-road.yaml";
    let text = text_of(family);
    for (old, new, key) in [
        ("24 N·m (18 lbf·ft)", "25 N·m (18 lbf·ft)", "torque.cap_to_tube"),
        ("thread: M44 × 1", "thread: M44 × 1.5", "torque.cap_to_tube"),
        ("compression: bottom", "compression: top", "choices"),
    ] {
        assert_eq!(text.matches(old).count(), 1, "`{old}` stands once");
        files.insert(family.to_owned(), text.replace(old, new).into_bytes());
        let after = check_shop(&Memory { files: files.clone() });
        assert!(matches!(standing(&after, key), Standing::Changed(_)), "{old} to {new}");
        let rule = if key == "choices" { "review-stale" } else { "inherited-not-compared" };
        let told = after.findings.iter().filter(|finding| {
            finding.code() == rule
                && finding.span.file != after.fork("tarn-45").expect("the other").record.file
        });
        assert_eq!(told.count(), 1, "{old} to {new}");
    }
    // A review of the family vouches for the family: the fork's own sheet has to be looked at again.
    let changed = text.replace("24 N·m (18 lbf·ft)", "25 N·m (18 lbf·ft)");
    files.insert(family.to_owned(), changed.into_bytes());
    let checked = check_shop(&Memory { files: files.clone() });
    let done =
        benchleaf::approve::approve(&checked, &request("tarn-road", "2026-05-06", &[])).expect("a review");
    files.insert(family.to_owned(), done.text.expect("a new text").into_bytes());
    let after = check_shop(&Memory { files });
    assert_eq!(*standing(&after, "torque.cap_to_tube"), Standing::NotCompared);
    assert!(matches!(standing(&after, "torque.axle"), Standing::Reviewed(_)));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_same_values_have_the_same_codes_however_they_are_written(hand in hand()) {
        prop_assert_eq!(codes(&written(&hand)), codes(&text_of(FORK)));
    }
}
