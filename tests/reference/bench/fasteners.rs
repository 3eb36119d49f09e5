//! Threads, torques and proof loads, adjusters.

use super::near;
use benchleaf::bench::OutOfRange;
use benchleaf::bench::adjusters::{Counting, from_the_other_end, preload_from_rings, recount, turns_for};
use benchleaf::bench::thread::{NutHeight, Way, coarse_pitch, is_preferred, nut_turns, stress_area};
use benchleaf::bench::torque::{ThreadState, likeliest_slip, preload_at, proof_load, strain};
use benchleaf::bench::units::{millimetres, torque};

/// Common practice, no source: from 11 to 10.5 mm on a 1 mm pitch is half a turn.
#[test]
fn half_a_millimetre_on_a_pitch_of_one_is_half_a_turn() {
    let turn = |faces| nut_turns(millimetres(11.0), millimetres(10.5), millimetres(1.0), faces).unwrap();
    near(turn(NutHeight::NutToRodEnd).turns, 0.5, 1e-12);
    assert_eq!(turn(NutHeight::NutToRodEnd).way, Way::UpTheRod);
    assert_eq!(turn(NutHeight::BelowToNut).way, Way::DownTheRod);
    let none = nut_turns(millimetres(9.0), millimetres(9.0), millimetres(1.0), NutHeight::NutToRodEnd);
    assert_eq!(none.unwrap().way, Way::Stay);
}

/// ISO 898-1, table of nominal stress areas (from memory of the standard, mm²): the standard prints three
/// digits.
#[test]
fn stress_areas_of_the_standard() {
    for (d, pitch, area) in [
        (3.0, 0.5, 5.03),
        (4.0, 0.7, 8.78),
        (5.0, 0.8, 14.2),
        (6.0, 1.0, 20.1),
        (8.0, 1.25, 36.6),
        (10.0, 1.5, 58.0),
        (12.0, 1.75, 84.3),
        (14.0, 2.0, 115.0),
        (16.0, 2.0, 157.0),
        (20.0, 2.5, 245.0),
        (24.0, 3.0, 353.0),
        (8.0, 1.0, 39.2),
        (10.0, 1.25, 61.2),
        (12.0, 1.25, 92.1),
        (12.0, 1.5, 88.1),
        (14.0, 1.5, 125.0),
        (16.0, 1.5, 167.0),
    ] {
        let found = stress_area(millimetres(d), millimetres(pitch)).unwrap().value * 1e6;
        assert!((found / area - 1.0).abs() < 0.005, "M{d} × {pitch}: {found}, in the standard {area}");
    }
}

/// ISO 898-1, proof loads of coarse threads (from memory of the standard, kN). The standard cuts areas and loads
/// to three digits on the way.
#[test]
fn proof_loads_of_the_standard() {
    for (class, d, pitch, kilonewton) in [
        ("8.8", 6.0, 1.0, 11.6),
        ("8.8", 8.0, 1.25, 21.2),
        ("8.8", 10.0, 1.5, 33.7),
        ("8.8", 12.0, 1.75, 48.9),
        ("8.8", 16.0, 2.0, 91.0),
        ("8.8", 20.0, 2.5, 147.0),
        ("10.9", 6.0, 1.0, 16.7),
        ("10.9", 8.0, 1.25, 30.4),
        ("10.9", 10.0, 1.5, 48.1),
        ("10.9", 12.0, 1.75, 70.0),
        ("12.9", 8.0, 1.25, 35.5),
        ("12.9", 10.0, 1.5, 56.3),
    ] {
        let found = proof_load(class, millimetres(d), millimetres(pitch)).unwrap().value / 1000.0;
        assert!(
            (found / kilonewton - 1.0).abs() < 0.007,
            "M{d} {class}: {found} kN, {kilonewton} in the table"
        );
    }
    let unknown = proof_load("A2-70", millimetres(8.0), millimetres(1.25));
    assert!(matches!(unknown, Err(OutOfRange::NotInTable { .. })));
}

/// By hand: 10 N·m on an M6 at K = 0.2 is 10/(0.2·0.006) = 8333 N.
#[test]
fn preload_from_the_short_formula() {
    near(preload_at(torque(10.0), millimetres(6.0), 0.2).unwrap().value, 8333.333, 0.001);
}

/// Common practice, no source: an M6 told 100 "N·m" was meant to get 100 lbf·in; 20 N·m and 20 lbf·ft (27
/// N·m) are both harmless to a dry M8, so no arithmetic tells those two apart.
#[test]
fn what_a_torque_too_much_was_meant_as() {
    let (m6, coarse) = (millimetres(6.0), millimetres(1.0));
    let over = strain(torque(100.0), "8.8", m6, coarse, ThreadState::Dry).unwrap();
    assert!(over.certainly_over());
    let slip = likeliest_slip(torque(100.0), "N·m", "8.8", m6, coarse, ThreadState::Dry).unwrap().unwrap();
    assert_eq!(slip.meant, "lbf·in");
    // NIST SP 811, appendix B: 1 lbf·in = 0.1129848 N·m.
    near(slip.would_be.value, 11.29848, 1e-5);
    for harmless in [20.0, 20.0 * 1.355818] {
        let m8 =
            strain(torque(harmless), "8.8", millimetres(8.0), millimetres(1.25), ThreadState::Dry).unwrap();
        assert!(!m8.certainly_over(), "{harmless} N·m");
    }
    // A lbf·ft label on a number in N·m: 36 % too tight. By hand: 17.6 N·m at K = 0.2 is 14.7 kN, 13 N·m is 10.8.
    let labelled = torque(13.0 * 1.355818);
    let slip = likeliest_slip(labelled, "lbf·ft", "8.8", m6, coarse, ThreadState::Dry).unwrap().unwrap();
    assert_eq!(slip.meant, "N·m");
    near(slip.would_be.value, 13.0, 1e-4);
}

/// By hand from NIST SP 811, appendix B (1 lbf·ft = 1.355818 N·m, 1 lbf·in = 0.1129848 N·m): N·m read as lbf·ft is
/// 36 % too tight, lbf·ft read as N·m 26 % too loose, lbf·in labelled N·m nearly nine times too tight.
#[test]
fn what_a_mistaken_torque_unit_does() {
    let si = |symbol: &str| benchleaf::quantity::unit(symbol).expect("a unit").to_si(1.0);
    near(si("lbf·ft") / si("N·m"), 1.355818, 1e-6);
    near(si("N·m") / si("lbf·ft"), 1.0 - 0.262438, 1e-6);
    near(si("N·m") / si("lbf·in"), 8.850748, 1e-5);
}

/// ISO 261, general plan (from memory of the standard).
#[test]
fn pitches_of_the_standard() {
    let known = |d, p| is_preferred(millimetres(d), millimetres(p)).unwrap();
    for (d, coarse) in [
        (3.0, 0.5),
        (4.0, 0.7),
        (5.0, 0.8),
        (6.0, 1.0),
        (8.0, 1.25),
        (10.0, 1.5),
        (12.0, 1.75),
        (14.0, 2.0),
        (16.0, 2.0),
        (20.0, 2.5),
        (24.0, 3.0),
    ] {
        near(coarse_pitch(millimetres(d)).unwrap().unwrap().value * 1000.0, coarse, 1e-12);
        assert!(known(d, coarse));
    }
    assert!(known(8.0, 1.0) && known(10.0, 1.25) && known(12.0, 1.25) && known(20.0, 1.5));
    assert!(!known(6.0, 1.25) && !known(8.0, 1.5) && !known(10.0, 2.0) && !known(5.0, 1.0));
    assert!(is_preferred(millimetres(6.3), millimetres(1.0)).is_err());
}

#[test]
fn clicks_either_way_of_counting() {
    // By hand: the twelfth click of a shop that calls the first one "one" is eleven detents out.
    assert_eq!(recount(12, Counting::FirstIsOne, Counting::FirstIsZero), Ok(11));
    assert_eq!(recount(11, Counting::FirstIsZero, Counting::FirstIsOne), Ok(12));
    assert!(recount(0, Counting::FirstIsOne, Counting::FirstIsZero).is_err());
    // 0 to 20 out: 8 out is 12 in. 1 to 21 out: 9 out is 13 in (both ends click).
    assert_eq!(from_the_other_end(8, 20, Counting::FirstIsZero), Ok(12));
    assert_eq!(from_the_other_end(9, 21, Counting::FirstIsOne), Ok(13));
    assert!(from_the_other_end(22, 20, Counting::FirstIsZero).is_err());
}

#[test]
fn preload_by_turns_and_rings() {
    near(turns_for(millimetres(3.0), millimetres(1.5)).unwrap(), 2.0, 1e-12);
    // By hand: 5 mm with all seven rings showing; four showing is three rings of 2 mm more.
    near(
        preload_from_rings(millimetres(5.0), 7.0, 4.0, millimetres(2.0)).unwrap().value * 1000.0,
        11.0,
        1e-9,
    );
}
