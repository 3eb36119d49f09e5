//! The shop lead's slips that only arithmetic can see: each value looks right by itself.

mod common;

use benchleaf::check_shop;
use benchleaf::diagnostic::{Finding, Severity};
use benchleaf::text::Folder;
use common::{ShopCopy, out};

const U45: &str = "specs/forks/tarnholm-u45.yaml";
const OIL: &str = "specs/oils/quillon-damp-10.yaml";

/// What the arithmetic finds in a shop, without the notes on what every warm fork does.
fn findings(shop: &ShopCopy) -> Vec<(String, String, Finding)> {
    let checked = check_shop(&Folder { root: shop.path().to_path_buf() });
    let files = &checked.files;
    checked
        .findings
        .into_iter()
        .map(|finding| (files.get(finding.span.file).path.clone(), finding.code().to_owned(), finding))
        .collect()
}

/// The one finding with this code in this file.
#[track_caller]
fn one(shop: &ShopCopy, path: &str, code: &str) -> Finding {
    let mut hits: Vec<Finding> = findings(shop)
        .into_iter()
        .filter(|(at, said, _)| at == path && said == code)
        .map(|hit| hit.2)
        .collect();
    assert_eq!(hits.len(), 1, "{code} in {path}: {hits:?}");
    hits.remove(0)
}

/// The demo shop with one text of one file replaced.
fn with(path: &str, old: &str, new: &str) -> ShopCopy {
    let shop = ShopCopy::new();
    shop.replace(path, old, new);
    shop
}

const GAP: &str = "value: 104 mm ± 2 mm (4.09 in)";

#[test]
fn a_gap_that_locks_the_leg_is_an_error_with_the_gap_where_it_begins() {
    let locks = one(&with(U45, GAP, "value: 58 mm ± 2 mm (2.28 in)"), U45, "hydraulic-lock");
    assert_eq!(locks.severity, Severity::Error);
    assert!(locks.message.contains("short of full travel, at 50 °C"), "{}", locks.message);
    // The bench gap at which the warm leg's oil fills all the room the parts leave: 62 mm, see derive.
    // A figure that was worked out is no figure of the sheet: it is told as a limit and never to be written.
    assert!(!locks.instead.contains(|c: char| c.is_ascii_digit()), "{}", locks.instead);
    let told = ShopCopy::new().run(&["calc", "air", "--fork", "tarnholm-u45"]);
    let told = String::from_utf8_lossy(&told.stdout).into_owned();
    assert!(told.contains("Locks at a gap of           62.0 mm"), "{told}");
}

#[test]
fn the_command_stops_at_a_gap_that_locks_the_leg() {
    let done = with(U45, GAP, "value: 58 mm ± 2 mm (2.28 in)").run(&["check", "--format", "short"]);
    assert_eq!(done.status.code(), Some(1));
    assert!(out(&done).contains("error hydraulic-lock:"), "{}", out(&done));
}

#[test]
fn a_gap_that_is_a_wall_before_it_locks_is_an_error_too() {
    let wall = one(&with(U45, GAP, "value: 69 mm ± 2 mm (2.72 in)"), U45, "air-force-limit");
    assert_eq!(wall.severity, Severity::Error);
    assert!(wall.message.contains("the shop's limit is 3.0 kN"), "{}", wall.message);
}

#[test]
fn the_least_gap_that_is_allowed_counts_too() {
    // The nominal 90 mm is fine; with ± 20 mm a leg may be set to 70 mm.
    let least = one(&with(U45, GAP, "value: 90 mm ± 20 mm (3.54 in)"), U45, "air-force-limit");
    assert!(least.message.contains("the least that is allowed, 70 mm"), "{}", least.message);
}

#[test]
fn the_shops_own_limit_decides() {
    let shop = ShopCopy::new();
    shop.replace("specs/shop.yaml", "air_force: 3 kN", "air_force: 0.6 kN");
    let wall = one(&shop, U45, "air-force-limit");
    assert!(wall.message.contains("limit is 0.6 kN"), "{}", wall.message);
}

#[test]
fn what_cannot_be_judged_says_which_value_would_unlock_it() {
    let shop = with(U45, "  cap_intrusion: 10 mL\n", "");
    let said = one(&shop, U45, "not-judged");
    assert_eq!(said.severity, Severity::Note);
    assert_eq!(
        said.message,
        "whether the leg locks on its oil is not judged: `spring.cap_intrusion` is missing"
    );
}

#[test]
fn an_unreadable_value_silences_what_rests_on_it() {
    let shop = with(U45, "  mass: 395 g", "  mass: 395");
    let codes: Vec<String> =
        findings(&shop).into_iter().filter(|(at, ..)| at == U45).map(|(_, code, _)| code).collect();
    assert!(codes.contains(&"bare-number".to_owned()), "{codes:?}");
    for silent in ["not-judged", "hydraulic-lock", "figures-contradict"] {
        assert!(!codes.contains(&silent.to_owned()), "one mistake, one finding: {codes:?}");
    }
}

#[test]
fn coils_that_touch_before_full_travel_are_an_error() {
    let bind = one(&with(U45, "  solid_length: 127 mm", "  solid_length: 147 mm"), U45, "coil-bind");
    assert_eq!(bind.severity, Severity::Error);
}

#[test]
fn a_new_spring_under_its_own_limit_is_an_error() {
    one(
        &with(U45, "  free_length_limit: ≥ 280 mm", "  free_length_limit: ≥ 290 mm"),
        U45,
        "free-length-under-limit",
    );
}

#[test]
fn a_rod_as_thick_as_the_bore_is_a_contradiction_said_once() {
    let said = one(&with(U45, "  rod_diameter: 12 mm", "  rod_diameter: 42 mm"), U45, "figures-contradict");
    assert!(said.message.contains("the bore must be more than"), "{}", said.message);
}

#[test]
fn a_torque_beyond_the_bolt_is_explained_where_its_band_is_and_nowhere_else() {
    let shop = ShopCopy::new();
    let text = std::fs::read_to_string(shop.file(U45)).expect("the record");
    let torque = text.lines().find(|line| line.contains("fender:")).expect("a bolt with a class").to_owned();
    assert!(
        torque.contains("9 N·m (7 lbf·ft)") && torque.contains("M6 × 1") && torque.contains("8.8"),
        "{torque}"
    );
    // The number is in lbf·in; its twin agrees because it was worked out from the wrong label.
    shop.replace(U45, &torque, &torque.replace("9 N·m (7 lbf·ft)", "80 N·m (59 lbf·ft)"));
    let over = one(&shop, U45, "torque-over-proof");
    assert_eq!(over.severity, Severity::Error);
    let outside = one(&shop, U45, "outside-band");
    assert!(outside.instead.contains("`80 lbf·in (9.04 N·m)`"), "{}", outside.instead);
    assert!(!over.instead.contains("would fit"), "two answers to one question: {}", over.instead);
}

#[test]
fn a_torque_inside_its_band_that_its_bolt_does_not_carry_is_explained_by_what_it_carries() {
    let shop = ShopCopy::new();
    let text = std::fs::read_to_string(shop.file(U45)).expect("the record");
    let from = text.find("  axle_pinch:").expect("the pinch bolts");
    let to = from + text[from..].find("    property_class:").expect("a bolt with a class");
    let slipped = "  axle_pinch:\n    value: 13 lbf·ft\n    source: [sheet, bench]\n    thread: M6 × 1\n";
    shop.replace(U45, &text[from..to], slipped);
    let over = one(&shop, U45, "torque-over-proof");
    assert!(over.instead.contains("`13 N·m (9.59 lbf·ft)` would fit"), "{}", over.instead);
}

#[test]
fn a_bolt_with_a_pitch_nobody_makes_is_a_warning() {
    let shop = ShopCopy::new();
    let text = std::fs::read_to_string(shop.file(U45)).expect("the record");
    let torque = text.lines().find(|line| line.contains("fender:")).expect("a bolt with a class").to_owned();
    shop.replace(U45, &torque, &torque.replace("M6 × 1", "M6 × 1.25"));
    let pitch = one(&shop, U45, "pitch-not-preferred");
    assert_eq!(pitch.severity, Severity::Warning);
    assert!(pitch.instead.contains("1, 0.75 mm"), "{}", pitch.instead);
}

#[test]
fn an_oil_whose_figures_disagree_is_found() {
    let class = one(&with(OIL, "iso_vg: 10", "iso_vg: 15"), OIL, "viscosity-class-disagrees");
    assert!(class.instead.contains("iso_vg: 10"), "{}", class.instead);
    let index =
        one(&with(OIL, "viscosity_index: 115", "viscosity_index: 215"), OIL, "viscosity-index-disagrees");
    assert!(index.message.contains("ASTM D2270"), "{}", index.message);
    one(&with(OIL, "viscosity_100: 2.75 mm²/s", "viscosity_100: 12.75 mm²/s"), OIL, "viscosities-contradict");
}

#[test]
fn a_weight_on_the_bottle_is_no_viscosity() {
    let shop = with(OIL, "Fork oil Damp 10, light", "Fork oil 5W, light");
    assert!(
        !findings(&shop).iter().any(|(_, code, _)| code == "weight-without-viscosity"),
        "with figures it is only a name"
    );
    shop.replace(OIL, "  viscosity_40: 10.1 mm²/s\n", "");
    let weight = one(&shop, OIL, "weight-without-viscosity");
    assert!(weight.message.contains("5W"), "{}", weight.message);
}

#[test]
fn a_bushing_without_play_is_an_error() {
    let shop = ShopCopy::new();
    let text = std::fs::read_to_string(shop.file(U45)).expect("the record");
    let wall = text.lines().find(|line| line.contains("outer_wall:")).expect("a bushing").to_owned();
    shop.replace(U45, &wall, "  outer_wall: 1.65 mm");
    assert_eq!(one(&shop, U45, "bushing-clearance").severity, Severity::Error);
}

#[test]
fn a_gauge_pressure_is_brought_to_the_benchs_temperature() {
    let fork = "specs/forks/velmora-a48.yaml";
    let shop = ShopCopy::new();
    let text = std::fs::read_to_string(shop.file(fork)).expect("the record");
    let at = text.find("  main_pressure:").expect("a pressure");
    let state = text[at..].find("temperature: 20 °C").expect("its state") + at;
    shop.write(
        fork,
        &format!("{}temperature: 5 °C{}", &text[..state], &text[state + "temperature: 20 °C".len()..]),
    );
    let said = one(&shop, fork, "pressure-at-other-temperature");
    assert_eq!(said.severity, Severity::Note);
    assert!(said.message.contains("at the bench's 20 °C the gauge reads"), "{}", said.message);
}

/// A leg set by a level has the least air of all. Its spring is in while it is read, so nothing but the cap goes in
/// after; under 16 mm the warm oil fills what is left, and at 30 mm there is so little air that it pushes beyond the
/// limit.
#[test]
fn a_level_that_locks_the_leg_is_an_error_too() {
    let fork = "specs/forks/tarnholm-s43.yaml";
    let at = |value: &str| with(fork, "value: 70 mm ± 3 mm (2.76 in)", value);
    let locks = one(&at("value: 14 mm ± 3 mm (0.55 in)"), fork, "hydraulic-lock");
    assert_eq!(locks.severity, Severity::Error);
    assert!(locks.message.contains("a level of 14 mm locks the leg on its oil"), "{}", locks.message);
    assert!(!locks.instead.contains(|c: char| c.is_ascii_digit()), "{}", locks.instead);
    let hard = one(&at("value: 30 mm ± 3 mm (1.18 in)"), fork, "air-force-limit");
    assert!(hard.message.contains("a level of 30 mm makes the air push"), "{}", hard.message);
}

/// A chamber that is not known is told of wherever its figure would stand, and no figure stands without it.
#[test]
fn an_air_leg_without_its_balance_chamber_has_no_sag_anywhere() {
    let shop = ShopCopy::new();
    let fork = "specs/forks/velmora-a48.yaml";
    shop.replace(fork, "  balance_volume: {value: 120 mL, source: bench}\n", "");
    let sag = shop.run(&["calc", "sag", "--fork", "velmora-a48"]);
    let why = String::from_utf8_lossy(&sag.stderr).into_owned();
    assert!(!sag.status.success() && why.contains("air.balance_volume"), "{why}");
    let air = out(&shop.run(&["calc", "air", "--fork", "velmora-a48"]));
    assert!(air.contains("not judged: air.balance_volume missing"), "{air}");
    assert!(shop.run(&["build", "--out", "site"]).status.success());
    let page = std::fs::read_to_string(shop.file("site/forks/velmora-a48.html")).expect("the page");
    assert!(page.contains("Sag not judged: balance chamber volume, extended is missing"), "{page}");
    assert!(!page.contains("Force of the whole leg against travel (left leg)"));
}
