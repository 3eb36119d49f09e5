//! The oil's surface, corrections, residual oil, temperature.

use super::{near, number, rows};
use benchleaf::bench::expansion;
use benchleaf::bench::oil::{Correction, Stretch, Surface, correction, overfill, residual_shift};
use benchleaf::bench::units::{celsius, density, millilitres, millimetres};
use benchleaf::bench::{OutOfRange, expansion::gap_at};

/// Bore 39 mm with a 12 mm rod: plane geometry, π/4·(39² − 12²) = 1081.5 mm², computed by hand.
fn worked_leg() -> Surface {
    Surface::plain(millimetres(39.0), millimetres(12.0)).expect("the leg is sound")
}

#[test]
fn the_ring_of_oil_is_plane_geometry() {
    near(worked_leg().slope_at(millimetres(50.0)).unwrap().value * 1e6, 1081.493, 0.001);
}

#[test]
fn a_gap_that_reads_eight_short_wants_nine_millilitres_out() {
    // 1081.5 mm² × 8 mm = 8652 mm³, by hand.
    let Correction::DrawOff(out) = correction(&worked_leg(), millimetres(104.0), millimetres(112.0)).unwrap()
    else {
        panic!("too much oil has to come out");
    };
    near(out.value * 1e6, 8.652, 0.001);
    let Correction::Add(back) = correction(&worked_leg(), millimetres(112.0), millimetres(104.0)).unwrap()
    else {
        panic!("too little oil has to be made up");
    };
    assert_eq!(out, back);
}

#[test]
fn sections_add_up_like_the_drawing() {
    // By hand: 20 mm of a 50 mm bore, then 39 mm bore; a 12 mm rod through both, 30 mm cartridge from 90 mm.
    let leg = Surface::in_sections(
        &[
            Stretch { diameter: millimetres(50.0), until: Some(millimetres(20.0)) },
            Stretch { diameter: millimetres(39.0), until: None },
        ],
        &[
            Stretch { diameter: millimetres(12.0), until: Some(millimetres(90.0)) },
            Stretch { diameter: millimetres(30.0), until: None },
        ],
    )
    .unwrap();
    let quarter = std::f64::consts::FRAC_PI_4;
    let by_hand = quarter
        * ((2500.0 - 144.0) * 20.0 + (1521.0 - 144.0) * (90.0 - 20.0) + (1521.0 - 900.0) * (100.0 - 90.0));
    near(leg.between(millimetres(0.0), millimetres(100.0)).unwrap().value * 1e9, by_hand, 1e-6);
}

/// Common practice, no source: a leg specified for 16 imperial fl oz with 2 still in it is overfilled by 2,
/// and its gap shrinks by as much oil over the ring.
#[test]
fn oil_left_behind_is_oil_too_much() {
    // NIST Handbook 44, appendix C: 1 imperial fl oz = 28.41306 mL.
    let ounce = 28.41306;
    let extra =
        overfill(millilitres(16.0 * ounce), millilitres(2.0 * ounce), millilitres(16.0 * ounce)).unwrap();
    near(extra.value * 1e6, 2.0 * ounce, 1e-9);
    let shift = residual_shift(&worked_leg(), millimetres(120.0), extra).unwrap();
    near(shift.value * 1000.0, -2.0 * ounce * 1000.0 / 1081.493, 0.001);
}

/// API MPMS chapter 11.1 in its 60 °F form: expansion.csv, made by expansion.py.
#[test]
fn volume_correction_agrees_with_the_published_formula() {
    let mut worst: f64 = 0.0;
    let mut count = 0;
    for row in rows(include_str!("expansion.csv")) {
        let v = row.iter().map(|cell| number(cell)).collect::<Vec<_>>();
        let grown =
            expansion::volume_at(millilitres(500.0), density(v[0]), celsius(v[1]), celsius(v[2])).unwrap();
        worst = worst.max((grown.value * 1e6 / 500.0 / v[3] - 1.0).abs());
        count += 1;
    }
    println!("volume correction: {count} rows, worst deviation {worst:.2e}");
    // The formula is a series about its own base, so two bases part by some millionths; its tables are printed to
    // five decimals.
    assert!(count > 150 && worst < 2e-5, "{count} rows, worst deviation {worst}");
}

/// The amount usually said in the trade (common practice, no source): half a litre from 20 to 60 °C grows by
/// about 15 mL, some 14 mm of gap in this leg.
#[test]
fn half_a_litre_grows_by_about_fifteen_millilitres() {
    let (cold, hot) = (celsius(20.0), celsius(60.0));
    let grown = expansion::growth(millilitres(500.0), density(860.0), cold, hot).unwrap();
    near(grown.value * 1e6, 15.0, 0.5);
    let gap =
        gap_at(&worked_leg(), millimetres(120.0), millilitres(500.0), density(860.0), cold, hot).unwrap();
    near(120.0 - gap.value * 1000.0, 14.0, 0.5);
}

/// By hand: at 15 °C half a litre of 850 kg/m³ weighs 425 g; at 40 °C, with α = 0.6278/850 and 25 °C,
/// VCF = exp(−0.018465·1.014772) = 0.981437, so 417.1 g.
#[test]
fn a_fill_can_be_weighed() {
    let grams =
        |at: f64| expansion::weight(millilitres(500.0), density(850.0), celsius(at)).unwrap().value * 1000.0;
    near(grams(15.0), 425.0, 1e-9);
    near(grams(40.0), 417.11, 0.01);
}

#[test]
fn bad_geometry_is_refused_in_words() {
    for (bore, rod) in [(0.0, 0.0), (-39.0, 12.0), (39.0, 39.0), (39.0, 44.0), (39.0, -1.0), (4000.0, 12.0)] {
        let refused = Surface::plain(millimetres(bore), millimetres(rod)).unwrap_err();
        assert!(refused.to_string().starts_with("the "), "{refused}");
    }
    let tube = worked_leg().ending_at(millimetres(300.0)).unwrap();
    assert_eq!(
        correction(&tube, millimetres(310.0), millimetres(120.0)).unwrap_err().to_string(),
        "the gap must lie between 0 mm and 300 mm"
    );
    let upside_down = Surface::in_sections(
        &[
            Stretch { diameter: millimetres(39.0), until: Some(millimetres(90.0)) },
            Stretch { diameter: millimetres(37.0), until: Some(millimetres(60.0)) },
        ],
        &[],
    );
    assert_eq!(upside_down.unwrap_err(), OutOfRange::Sections { what: "bore" });
}
