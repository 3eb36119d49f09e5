//! What is read and set with tools in hand: sag from three readings, a crowfoot on a torque wrench, gas on a
//! rod, parts that stand in the oil. Where no source is named it is common practice, worked out by hand.

use super::near;
use benchleaf::bench::air::{Chamber, SLOW, gas_on_rod};
use benchleaf::bench::oil::{Surface, disc};
use benchleaf::bench::settled::settled;
use benchleaf::bench::spring::coil_bind;
use benchleaf::bench::units::{degrees, length, millilitres, millimetres, pressure, torque};
use benchleaf::bench::wrench::{setting, trusted};
use proptest::prelude::*;

/// The lever law, by hand: pulled at the same mark, an extension in line makes the lever longer.
#[test]
fn a_crowfoot_across_changes_nothing_and_in_line_takes_a_share() {
    let set = |angle: f64| {
        setting(torque(22.0), millimetres(400.0), millimetres(40.0), degrees(angle)).unwrap().value
    };
    near(set(90.0), 22.0, 1e-9);
    // 400/440 = 0.9091.
    near(set(0.0) / 22.0, 0.9091, 5e-5);
    // Turned back to the hand the lever is shorter: 400/360 = 1.1111.
    near(set(180.0) / 22.0, 1.1111, 5e-5);
    assert!(setting(torque(22.0), millimetres(40.0), millimetres(40.0), degrees(0.0)).is_err());
}

/// Common practice, no source: the lowest fifth of a torque wrench's range is not trusted.
#[test]
fn a_wrench_is_trusted_from_a_fifth_of_its_greatest_value() {
    let (from, to) = trusted(torque(10.0), torque(110.0)).unwrap();
    near(from.value, 22.0, 1e-9);
    near(to.value, 110.0, 1e-9);
    // An instrument that begins above its fifth is trusted from where it begins.
    near(trusted(torque(40.0), torque(110.0)).unwrap().0.value, 40.0, 1e-9);
    assert!(trusted(torque(110.0), torque(10.0)).is_err());
}

#[test]
fn sag_lies_between_the_two_settled_readings() {
    // By hand: 140 − (101 + 107)/2 = 36 mm, friction holds it over 6 mm.
    let found = settled(millimetres(140.0), millimetres(101.0), millimetres(107.0)).unwrap();
    near(found.sag.value * 1e3, 36.0, 1e-9);
    near(found.friction.value * 1e3, 6.0, 1e-9);
    let mixed = settled(millimetres(140.0), millimetres(107.0), millimetres(101.0)).unwrap_err();
    assert!(mixed.to_string().contains("settled from above"), "{mixed}");
}

/// By hand: 600 kPa × π/4 × (14 mm)² = 92.4 N.
#[test]
fn gas_pushes_on_its_rod() {
    near(gas_on_rod(pressure(600e3), millimetres(14.0)).unwrap().value, 92.4, 0.05);
}

/// The oil in an air chamber takes its room. By hand, 905 kPa over the atmosphere on a 34 mm piston (907.9 mm²),
/// 440 mL, 305 mm of travel sweep 276.9 mL: 1006.3 × 440/163.1 gives 2.37 kN, with 26 mL of oil
/// 1006.3 × 414/137.1 gives 2.67 kN.
#[test]
fn oil_in_an_air_chamber_takes_its_room() {
    let push = |room: f64| {
        let area = disc("piston", millimetres(34.0)).unwrap();
        let chamber = Chamber::shrinking(millilitres(room), area, pressure(905e3 + 101_325.0)).unwrap();
        chamber.force_at(millimetres(305.0), SLOW).unwrap().value / 1e3
    };
    near(push(440.0), 2.37, 0.005);
    near(push(440.0 - 26.0), 2.67, 0.005);
}

/// By hand: π/4 × (12.5 mm)² × 45 mm = 5.52 mL, × 300 mm = 36.8 mL. A rod pushed in by a free piston's travel moves
/// a fraction of the oil that its whole stroke moves.
#[test]
fn a_rod_displaces_its_own_volume() {
    let area = disc("rod", millimetres(12.5)).unwrap().value;
    near(area * 45e-3 * 1e6, 5.5, 0.05);
    near(area * 300e-3 * 1e6, 36.8, 0.05);
}

/// By hand: 288 − 16 − 12 − 115 = 145 mm at full travel with the preload adjuster all the way in.
#[test]
fn a_spring_at_full_travel_has_lost_preload_adjuster_and_stroke() {
    let bind =
        coil_bind(millimetres(288.0), millimetres(16.0 + 12.0), millimetres(115.0), millimetres(130.0))
            .unwrap();
    near(bind.least.value * 1e3, 145.0, 1e-9);
    near(bind.margin.value * 1e3, 15.0, 1e-9);
}

/// By hand: a ring of π/4 × (39² − 25²) = 703.7 mm²; a spacer of 24 mL over 150 mm takes 160 mm² of it.
#[test]
fn a_spacer_in_the_oil_takes_its_share_of_the_slope() {
    let bare = Surface::plain(millimetres(39.0), millimetres(25.0)).unwrap();
    near(bare.slope_at(millimetres(70.0)).unwrap().value * 1e3, 0.7037, 1e-4);
    let filled = bare.clone().with_parts(&[(millimetres(150.0), millilitres(24.0))]).unwrap();
    near(filled.slope_at(millimetres(70.0)).unwrap().value * 1e3, 0.5437, 1e-4);
    // Below the spacer the ring is whole again.
    assert_eq!(filled.slope_at(millimetres(200.0)).unwrap(), bare.slope_at(millimetres(200.0)).unwrap());
    let space = filled.between(length(0.0), millimetres(200.0)).unwrap().value * 1e6;
    near(space, 0.7037 * 200.0 - 24.0, 0.01);
    // A part that fills the ring is a wrong measurement.
    assert!(bare.with_parts(&[(millimetres(100.0), millilitres(71.0))]).is_err());
}

proptest! {
    /// Whatever stands in the oil, the space above it is the ring's less what the parts take up to there.
    #[test]
    fn parts_take_their_own_volume_and_no_more(
        bore in 34.0f64..50.0,
        rod in 8.0f64..26.0,
        long in 40.0f64..200.0,
        share in 0.0f64..0.9,
        depth in 5.0f64..300.0,
    ) {
        let bare = Surface::plain(millimetres(bore), millimetres(rod)).unwrap();
        let ring = bare.slope_at(millimetres(1.0)).unwrap().value;
        let taken = ring * share * long * 1e-3;
        let filled = bare.clone().with_parts(&[(millimetres(long), millilitres(taken * 1e6))]).unwrap();
        let whole = bare.between(length(0.0), millimetres(depth)).unwrap().value;
        let left = filled.between(length(0.0), millimetres(depth)).unwrap().value;
        let expected = whole - taken * (depth / long).min(1.0);
        prop_assert!((left - expected).abs() < 1e-12, "{left} {expected}");
    }

    /// A longer lever in line asks for a lower setting, and the bolt gets the same torque.
    #[test]
    fn the_setting_falls_as_the_extension_grows(
        wanted in 5.0f64..120.0,
        wrench in 250.0f64..600.0,
        shorter in 0.0f64..60.0,
        more in 1.0f64..60.0,
    ) {
        let set = |long: f64| {
            setting(torque(wanted), millimetres(wrench), millimetres(long), degrees(0.0)).unwrap().value
        };
        prop_assert!(set(shorter + more) < set(shorter));
        prop_assert!((set(shorter) * (wrench + shorter) / wrench - wanted).abs() < 1e-9);
    }
}
