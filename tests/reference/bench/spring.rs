//! Springs, the whole leg, sag.

use super::near;
use benchleaf::bench::air::{AirSpring, Chamber};
use benchleaf::bench::leg::{Leg, load_per_leg, sag, vertical_rate};
use benchleaf::bench::oil::disc;
use benchleaf::bench::spring::{
    EndSpring, Spring, Winding, air_on_cap, coil_bind, held_by_tool, rate_from_wire, volume_from_mass,
    volume_from_wire,
};
use benchleaf::bench::units::{
    ATMOSPHERE, degrees, force, length, mass, millilitres, millimetres, newtons_per_millimetre, pressure,
    spring_rate,
};

/// NIST SP 811 (2008), appendix B: 1 lbf/in = 175.1268 N/m; 1 in = 25.4 mm exactly; 1 psi = 6894.757 Pa.
const LBF_PER_IN: f64 = 175.1268;

/// Shigley's Mechanical Engineering Design, example on a music wire spring (from memory of the book): d =
/// 0.037 in, D = 0.400 in, G = 11.85 Mpsi, N = 10.5 gives 4.13 lbf/in.
#[test]
fn the_textbook_spring() {
    let inch = |value: f64| length(value * 0.0254);
    let rate =
        rate_from_wire(inch(0.037), inch(0.400), 10.5, pressure(11.85e6 * 6894.757), Winding::Even).unwrap();
    near(rate.value / LBF_PER_IN, 4.13, 0.005);
    let refused =
        rate_from_wire(inch(0.037), inch(0.4), 10.5, pressure(8e10), Winding::Progressive).unwrap_err();
    assert!(refused.to_string().contains("progressive"));
}

/// Common practice, no source: a spring held down for work on the rod nut pushes with some hundreds of
/// newtons, on stiff road forks a couple of hundred pounds-force.
#[test]
fn a_held_spring_pushes_with_hundreds_of_newtons() {
    for rate in [7.5, 8.5, 9.5, 10.5, 11.0] {
        let spring = Spring::linear(newtons_per_millimetre(rate)).unwrap();
        let held = held_by_tool(&spring, millimetres(12.0), millimetres(40.0)).unwrap();
        assert!((300.0..1000.0).contains(&held.force.value), "{rate} N/mm: {:?}", held);
        // 1 lbf = 4.448222 N (NIST SP 811, appendix B); 1 kgf = 9.80665 N exactly.
        near(held.pounds_force * 4.448222, held.force.value, 1e-3);
        near(held.kilograms_force * 9.80665, held.force.value, 1e-9);
    }
    // A stiff road fork by hand: 11 N/mm × (20 + 60) mm = 880 N = 198 lbf.
    let stiff = Spring::linear(newtons_per_millimetre(11.0)).unwrap();
    near(held_by_tool(&stiff, millimetres(20.0), millimetres(60.0)).unwrap().pounds_force, 197.8, 0.1);
}

#[test]
fn a_cap_holds_spring_and_air() {
    let spring = Spring::linear(newtons_per_millimetre(9.0)).unwrap();
    // By hand: 9 × 15 = 135 N, and 100 kPa on a 40 mm cap = 125.66 N.
    let air = air_on_cap(pressure(1e5), millimetres(40.0)).unwrap();
    near(spring.force_at(millimetres(15.0)).unwrap().value + air.value, 135.0 + 125.664, 0.001);
}

/// NIST SP 811, appendix B: 1 kgf/mm is 9.80665 N/mm exactly, 1 lbf/in is 0.1751268 N/mm.
#[test]
fn rates_from_other_sheets() {
    let kgf_per_mm = spring_rate(9806.65);
    near(kgf_per_mm.value / 1000.0, 9.80665, 1e-12);
    near(kgf_per_mm.value / LBF_PER_IN, 55.997, 0.001);
}

#[test]
fn a_spring_in_segments_is_its_own_inverse() {
    let spring = Spring::in_segments(&[
        (newtons_per_millimetre(7.0), Some(millimetres(60.0))),
        (newtons_per_millimetre(9.5), Some(millimetres(110.0))),
        (newtons_per_millimetre(12.0), None),
    ])
    .unwrap();
    // By hand: 7·60 + 9.5·50 + 12·15 = 1075 N.
    near(spring.force_at(millimetres(125.0)).unwrap().value, 1075.0, 1e-9);
    near(spring.compression_for(force(1075.0)).unwrap().value * 1000.0, 125.0, 1e-9);
}

#[test]
fn coils_that_touch_before_the_end() {
    // By hand: 330 − 18 − 130 = 182 mm at full travel.
    let free =
        coil_bind(millimetres(330.0), millimetres(18.0), millimetres(130.0), millimetres(170.0)).unwrap();
    near(free.margin.value * 1000.0, 12.0, 1e-9);
    assert!(!free.binds());
    assert!(
        coil_bind(millimetres(330.0), millimetres(18.0), millimetres(130.0), millimetres(185.0))
            .unwrap()
            .binds()
    );
}

/// Two ways to the same steel: a spring's mass over its density, and wire area times wire length.
#[test]
fn steel_by_mass_and_by_wire() {
    let by_wire = volume_from_wire(millimetres(4.8), millimetres(28.0), 30.0).unwrap();
    // By hand: π/4·4.8²·π·28·30 = 47.75 mL, 374.9 g of steel.
    near(by_wire.value * 1e6, 47.753, 0.001);
    near(volume_from_mass(mass(0.37486), 7850.0).unwrap().value * 1e6, 47.753, 0.001);
}

#[test]
fn the_whole_leg_by_hand() {
    let leg = Leg {
        spring: Some((Spring::linear(newtons_per_millimetre(9.0)).unwrap(), millimetres(15.0))),
        top_out: Some(EndSpring::new(newtons_per_millimetre(6.0), millimetres(30.0)).unwrap()),
        bottoming: Some(EndSpring::new(newtons_per_millimetre(50.0), millimetres(8.0)).unwrap()),
        gas: None,
        air: Some(AirSpring {
            chambers: vec![
                Chamber::shrinking(
                    millilitres(260.0),
                    disc("tube", millimetres(43.0)).unwrap(),
                    pressure(ATMOSPHERE),
                )
                .unwrap(),
            ],
        }),
        stroke: millimetres(120.0),
    };
    let push = |x: f64| leg.force_at(millimetres(x), 1.0).unwrap().value;
    near(push(0.0), 9.0 * 15.0 - 6.0 * 30.0, 1e-9);
    // At 50 mm: 585 N of spring; air by hand 260/(260 − 72.61) = 1.38748, so 39.2606 kPa × 1452.2 mm² = 57.01 N.
    near(push(50.0), 585.0 + 57.01, 0.01);
    // At 120 mm: 1215 N of spring, 400 N of stop, air 260/85.737 − 1 times 147.144 N.
    near(push(120.0), 1215.0 + 400.0 + 147.144 * (260.0 / 85.737 - 1.0), 0.05);
}

#[test]
fn load_rate_and_sag_by_hand() {
    // By hand: (1000 − 180)·cos 24°/2 = 374.55 N; 18 N/mm over cos² 24° = 21.568 N/mm.
    near(load_per_leg(force(1000.0), force(180.0), degrees(24.0)).unwrap().value, 374.55, 0.01);
    let nine = newtons_per_millimetre(9.0);
    near(vertical_rate(nine, nine, degrees(24.0)).unwrap().value / 1000.0, 21.568, 0.001);
    let plain = Leg {
        spring: Some((Spring::linear(nine).unwrap(), millimetres(15.0))),
        top_out: None,
        bottoming: None,
        gas: None,
        air: None,
        stroke: millimetres(120.0),
    };
    // By hand: 749.1/18 − 15 = 26.617 mm.
    near(sag(&plain, &plain, force(749.1)).unwrap().value * 1000.0, 26.617, 0.001);
    assert_eq!(sag(&plain, &plain, force(200.0)).unwrap().value, 0.0);
    assert!(sag(&plain, &plain, force(6000.0)).is_err());
}
