//! What must hold for every input: more oil is less gap, there and back is the same, and no function ever
//! gives a NaN or an infinity for a finite number.

use benchleaf::bench::OutOfRange;
use benchleaf::bench::adjusters::{Counting, preload_change, preload_from_rings, recount, turns_for};
use benchleaf::bench::air::{Chamber, FAST, GapSetLeg, SLOW, gauge_at, outer_chamber, squeezed};
use benchleaf::bench::expansion::{factor, gap_at, volume_at, weight};
use benchleaf::bench::fits::{Limits, bushing_clearance, limits};
use benchleaf::bench::grade::{Curve, blend_share, blended, index, iso_vg, parts, reported};
use benchleaf::bench::leg::{Leg, load_per_leg, sag, vertical_rate};
use benchleaf::bench::oil::{Stretch, Surface, correction, correction_table, residual_shift};
use benchleaf::bench::spring::{
    EndSpring, Spring, Winding, air_on_cap, coil_bind, held_by_tool, rate_from_wire, volume_from_mass,
    volume_from_wire,
};
use benchleaf::bench::thread::{NutHeight, Turns, height_after, is_preferred, nut_turns, stress_area};
use benchleaf::bench::torque::{ThreadState, likeliest_slip, preload, proof_load, torque_for};
use benchleaf::bench::units::*;
use proptest::prelude::*;

/// Any finite number: absurd ones, ordinary ones in SI, and ordinary ones in the units of a sheet.
fn finite() -> impl Strategy<Value = f64> {
    prop_oneof![
        proptest::num::f64::NORMAL | proptest::num::f64::SUBNORMAL | proptest::num::f64::ZERO,
        -1.0..1.0_f64,
        0.0..0.6_f64,
        0.0..0.06_f64,
        0.0..0.001_f64,
        0.0..1e-4_f64,
        0.5..200.0_f64,
        200.0..500.0_f64,
        Just(0.0),
        Just(f64::MIN_POSITIVE),
        Just(f64::MAX),
    ]
}

fn sane<T: Numbers>(what: &str, result: Result<T, OutOfRange>) -> Result<(), TestCaseError> {
    match result {
        Ok(value) => {
            prop_assert!(value.numbers().into_iter().all(f64::is_finite), "{what}: {:?}", value.numbers());
        }
        Err(refused) => {
            let text = refused.to_string();
            prop_assert!(!text.contains("NaN") && !text.contains("inf"), "{what}: {text}");
        }
    }
    Ok(())
}

trait Numbers {
    fn numbers(&self) -> Vec<f64>;
}

macro_rules! plain_numbers {
    ($($kind:ty),*) => { $(impl Numbers for $kind {
        fn numbers(&self) -> Vec<f64> { vec![self.value] }
    })* };
}
plain_numbers!(Length, Area, Volume, Mass, Force, Pressure, SpringRate, KinematicViscosity, Torque);

impl Numbers for f64 {
    fn numbers(&self) -> Vec<f64> {
        vec![*self]
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_finite_input_gives_a_value_that_is_no_number(v in proptest::collection::vec(finite(), 12)) {
        let (l, vol) = (|i: usize| length(v[i]), |i: usize| volume(v[i] * 1e-2));
        if let Ok(surface) = Surface::plain(l(0), l(1)) {
            sane("correction", correction(&surface, l(2), l(3)).map(|c| c.drawn()))?;
            sane("residual", residual_shift(&surface, l(2), vol(4)))?;
            sane("gap at", gap_at(&surface, l(2), vol(4), density(v[5]), kelvin(v[6]), kelvin(v[7])))?;
            sane("table", correction_table(&surface, l(2), l(3), 5)
                .map(|rows| rows.iter().map(|row| row.correction.drawn().value).sum::<f64>()))?;
            let leg = GapSetLeg {
                surface, gap: l(2), inserted: vol(3), tube: l(4), stroke: l(5), start: pressure(v[6] * 1e5),
            };
            sane("closed", leg.closed_volume())?;
            sane("gap for force", leg.gap_for_force(force(v[7]), FAST))?;
            if let Ok(chamber) = leg.chamber() {
                sane("force", chamber.force_at(l(8), FAST))?;
                sane("ratio", chamber.volume_ratio(l(5)))?;
                if let Ok(warm) = chamber.warmed(kelvin(v[9]), kelvin(v[10]), vol(11)) {
                    sane("warm start", Ok(warm.start()))?;
                    sane("warm force", warm.force_at(l(8), SLOW))?;
                }
            }
        }
        sane("sections", Surface::in_sections(
            &[Stretch { diameter: l(0), until: Some(l(1)) }, Stretch { diameter: l(2), until: None }],
            &[Stretch { diameter: l(3), until: Some(l(4)) }]).and_then(|s| s.between(l(5), l(6))))?;
        sane("measured", Surface::measured(area(v[0])).and_then(|s| s.after_drawing(l(1), vol(2))))?;
        sane("factor", factor(density(v[0]), kelvin(v[1])))?;
        sane("weight", weight(vol(0), density(v[1]), kelvin(v[2])))?;
        sane("gauge", gauge_at(pressure(v[0]), kelvin(v[1]), kelvin(v[2])))?;
        sane("outer", outer_chamber(vol(0), l(1), l(2), pressure(v[3] * 1e5))
            .and_then(|c| c.force_at(l(4), FAST)))?;
        sane("balance", Chamber::growing(vol(0), area(v[1] * 1e-2), pressure(v[2] * 1e5))
            .and_then(|c| c.force_at(l(4), FAST)))?;
        sane("squeezed", squeezed(pressure(v[0]), v[1], v[2]))?;
        sane("rate", rate_from_wire(l(0), l(1), v[2], pressure(v[3] * 1e9), Winding::Even))?;
        sane("wire", volume_from_wire(l(0), l(1), v[2]))?;
        sane("steel", volume_from_mass(mass(v[0]), v[1]))?;
        sane("bind", coil_bind(l(0), l(1), l(2), l(3)).map(|b| b.margin))?;
        if let Ok(spring) = Spring::in_segments(&[
            (spring_rate(v[0] * 100.0), Some(l(1))), (spring_rate(v[2] * 100.0), None)]) {
            sane("force", spring.force_at(l(3)))?;
            sane("compression", spring.compression_for(force(v[4])))?;
            sane("held", held_by_tool(&spring, l(3), l(4)).map(|h| h.pounds_force))?;
            sane("cap", air_on_cap(pressure(v[4] * 1e5), l(5)))?;
            let leg = Leg {
                spring: Some((spring, l(5))),
                top_out: EndSpring::new(spring_rate(v[6] * 100.0), l(7)).ok(),
                bottoming: EndSpring::new(spring_rate(v[8] * 100.0), l(9)).ok(),
                gas: None,
                air: None,
                stroke: l(10),
            };
            sane("leg", leg.force_at(l(11), SLOW))?;
            sane("sag", sag(&leg, &leg, force(v[4])))?;
        }
        sane("load", load_per_leg(force(v[0]), force(v[1]), angle(v[2])))?;
        sane("both", vertical_rate(spring_rate(v[0]), spring_rate(v[1]), angle(v[2])))?;
        sane("turns", nut_turns(l(0), l(1), l(2), NutHeight::NutToRodEnd).map(|t| t.turns))?;
        sane("stress", stress_area(l(0), l(1)))?;
        sane("preload", preload(torque(v[0]), l(1), ThreadState::Oiled).map(|p| p.greatest))?;
        sane("torque", torque_for(force(v[0]), l(1), v[2]))?;
        sane("proof", proof_load("8.8", l(0), l(1)))?;
        sane("pitch", is_preferred(l(0), l(1)).map(|_| 0.0))?;
        sane("slip", likeliest_slip(torque(v[0]), "N·m", "8.8", l(1), l(2), ThreadState::Dry)
            .map(|s| s.map_or(0.0, |s| s.would_be.value)))?;
        sane("limits", limits(l(0), "g6").map(|g| g.lower))?;
        if let (Ok(bore), Ok(shaft), Ok(wall)) =
            (Limits::new(l(0), l(1)), Limits::new(l(2), l(3)), Limits::new(l(4), l(5))) {
            sane("bushing", bushing_clearance(&bore, &shaft, &wall).map(|c| c.least))?;
        }
        let nu = |i: usize| square_millimetres_per_second(v[i]);
        sane("index", index(nu(0), nu(1)).inspect(|i| assert!(reported(*i).abs() < i64::MAX)))?;
        sane("class", iso_vg(nu(0)).map(|_| 0.0))?;
        sane("parts", parts(v[0], 20).map(|p| f64::from(p.0)))?;
        if let (Ok(a), Ok(b)) = (Curve::new(nu(0), nu(1)), Curve::new(nu(2), nu(3))) {
            sane("at", a.at(kelvin(v[4])))?;
            sane("temperature", a.temperature_for(nu(4)).map(|t| t.value))?;
            sane("share", blend_share(&a, &b, nu(4), kelvin(v[5])))?;
            sane("blend", blended(&a, &b, v[6]).and_then(|c| c.at(kelvin(v[5]))))?;
        }
        sane("change", preload_change(v[0], l(1)))?;
        sane("turns for", turns_for(l(0), l(1)))?;
        sane("rings", preload_from_rings(l(0), v[1], v[2], l(3)))?;
    }

    #[test]
    fn a_curve_gives_a_number_or_a_reason(
        cold in 2.0..20_000.0_f64, share in 0.0001..0.999_f64, at in 223.15..473.15_f64,
    ) {
        let nu = square_millimetres_per_second;
        if let Ok(curve) = Curve::new(nu(cold), nu(2.0 + (cold - 2.0) * share)) {
            sane("at", curve.at(kelvin(at)))?;
            sane("index", index(nu(cold), nu(2.0 + (cold - 2.0) * share)))?;
        }
    }

    #[test]
    fn drawing_off_and_reading_again_comes_back(
        bore in 30.0..50.0_f64, rod in 0.0..28.0_f64, upper in 10.0..80.0_f64,
        gap in 20.0..250.0_f64, target in 20.0..250.0_f64,
    ) {
        let surface = Surface::in_sections(
            &[Stretch { diameter: millimetres(bore + 6.0), until: Some(millimetres(upper)) },
              Stretch { diameter: millimetres(bore), until: None }],
            &[Stretch { diameter: millimetres(rod), until: None }]).unwrap();
        let moved = correction(&surface, millimetres(gap), millimetres(target)).unwrap().drawn();
        let reached = surface.after_drawing(millimetres(gap), moved).unwrap();
        prop_assert!((reached.value * 1000.0 - target).abs() < 1e-9);
        let further = correction(&surface, millimetres(gap), millimetres(target + 1.0)).unwrap().drawn();
        prop_assert!(further > moved, "a greater gap takes more oil out");
    }

    #[test]
    fn a_warm_and_cool_again_fill_is_the_same(
        ml in 10.0..900.0_f64, rho in 790.0..930.0_f64, from in -20.0..90.0_f64, by in 0.5..50.0_f64,
    ) {
        let (cold, hot, rho) = (celsius(from), celsius(from + by), density(rho));
        let warm = volume_at(millilitres(ml), rho, cold, hot).unwrap();
        prop_assert!(warm > millilitres(ml));
        let back = volume_at(warm, rho, hot, cold).unwrap();
        prop_assert!((back.value * 1e6 - ml).abs() < 1e-9);
        prop_assert!((weight(warm, rho, hot).unwrap() - weight(back, rho, cold).unwrap()).value.abs() < 1e-12);
    }

    #[test]
    fn air_pushes_harder_further_in_faster_and_with_less_of_it(
        gap in 70.0..180.0_f64, inserted in 20.0..60.0_f64, travel in 1.0..110.0_f64,
    ) {
        let leg = |gap: f64| GapSetLeg {
            surface: Surface::plain(millimetres(41.0), millimetres(12.0)).unwrap(),
            gap: millimetres(gap), inserted: millilitres(inserted), tube: millimetres(43.0),
            stroke: millimetres(120.0), start: pressure(ATMOSPHERE),
        };
        let push = |gap: f64, x: f64, n: f64| leg(gap).chamber().unwrap().force_at(millimetres(x), n).unwrap();
        prop_assert!(push(gap, travel, FAST) > push(gap, travel, SLOW));
        prop_assert!(push(gap, travel + 1.0, SLOW) > push(gap, travel, SLOW));
        prop_assert!(push(gap, travel, SLOW) > push(gap + 2.0, travel, SLOW));
        // The same amount of gas at every travel of a slow stroke: p·V is constant.
        let chamber = leg(gap).chamber().unwrap();
        let amount = |x: f64| {
            let x = millimetres(x);
            chamber.pressure_at(x, SLOW).unwrap().value * chamber.volume_at(x).unwrap().value
        };
        prop_assert!((amount(travel) / amount(0.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn springs_invert_and_sag_grows_with_load(
        first in 3.0..12.0_f64, second in 3.0..12.0_f64, bend in 10.0..100.0_f64, x in 0.0..200.0_f64,
        preload in 0.0..25.0_f64, load in 100.0..1200.0_f64,
    ) {
        let spring = Spring::in_segments(&[
            (newtons_per_millimetre(first), Some(millimetres(bend))),
            (newtons_per_millimetre(second), None)]).unwrap();
        let back = spring.compression_for(spring.force_at(millimetres(x)).unwrap()).unwrap();
        prop_assert!((back.value * 1000.0 - x).abs() < 1e-9);
        let leg = Leg {
            spring: Some((spring, millimetres(preload))), top_out: None, bottoming: None, air: None, gas: None,
            stroke: millimetres(400.0),
        };
        let less = sag(&leg, &leg, force(load)).unwrap();
        let more = sag(&leg, &leg, force(load * 1.1)).unwrap();
        prop_assert!(more >= less);
        if less.value > 0.0 {
            let carried = 2.0 * leg.force_at(less, SLOW).unwrap().value;
            prop_assert!((carried - load).abs() < 1e-6, "{carried} N for {load} N");
        }
    }

    #[test]
    fn a_nut_turned_back_is_where_it_was(
        from in 5.0..25.0_f64, to in 5.0..25.0_f64, pitch in 0.5..2.0_f64, below in any::<bool>(),
    ) {
        let faces = if below { NutHeight::BelowToNut } else { NutHeight::NutToRodEnd };
        let turns: Turns = nut_turns(millimetres(from), millimetres(to), millimetres(pitch), faces).unwrap();
        let reached = height_after(millimetres(from), turns, millimetres(pitch), faces).unwrap();
        prop_assert!((reached.value * 1000.0 - to).abs() < 1e-9);
    }

    #[test]
    fn a_recounted_click_counts_back(clicks in 0_u32..150) {
        let one = recount(clicks, Counting::FirstIsZero, Counting::FirstIsOne).unwrap();
        prop_assert_eq!(recount(one, Counting::FirstIsOne, Counting::FirstIsZero), Ok(clicks));
    }

    #[test]
    fn oils_thin_as_they_warm_and_blends_lie_between(
        thin in 10.0..20.0_f64, thick in 25.0..60.0_f64, share in 0.0..1.0_f64, at in 5.0..80.0_f64,
    ) {
        let curve = |cold: f64| Curve::new(
            square_millimetres_per_second(cold), square_millimetres_per_second(2.0 + cold * 0.13)).unwrap();
        let (a, b) = (curve(thin), curve(thick));
        prop_assert!(a.at(celsius(at)).unwrap() > a.at(celsius(at + 1.0)).unwrap());
        let mixed = blended(&a, &b, share).unwrap();
        let nu = mixed.at(celsius(at)).unwrap();
        let found = blend_share(&a, &b, nu, celsius(at)).unwrap();
        prop_assert!((found - share).abs() < 1e-7, "{found} for {share}");
        let back = mixed.temperature_for(nu).unwrap();
        prop_assert!((back.value - celsius(at).value).abs() < 1e-7);
    }
}
