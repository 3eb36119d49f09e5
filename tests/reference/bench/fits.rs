//! ISO 286.

use super::{near, number, rows};
use benchleaf::bench::fits::{Limits, bushing_clearance, clearance, limits};
use benchleaf::bench::units::millimetres;

/// The tables of the library pressfit 0.1.0 (fits.csv, made by fits.py): 6 to 120 mm, H and shafts d to p,
/// grades 5 to 9.
#[test]
fn every_limit_agrees_with_the_reference_library() {
    let (mut count, mut worst) = (0, 0.0_f64);
    for row in rows(include_str!("fits.csv")) {
        let size = number(row[0]);
        let found = limits(millimetres(size), row[1]).unwrap();
        for (limit, wanted) in [(found.lower, number(row[2])), (found.upper, number(row[3]))] {
            let off = ((limit.value * 1000.0 - size) * 1000.0 - wanted).abs();
            assert!(off < 1e-6, "{size} {}: {limit:?}, {wanted} µm in the table", row[1]);
            worst = worst.max(off);
        }
        count += 1;
    }
    println!("ISO 286: {count} codes, worst deviation {worst:.1e} µm");
    assert!(count > 6000, "{count} rows");
}

/// ISO 286-1, grade formula for 3 to 500 mm: i = 0.45·D^(1/3) + 0.001·D µm, D the geometric mean of the step;
/// IT6 = 10 i, IT7 = 16 i, IT8 = 25 i, IT9 = 40 i. The tables are rounded from it.
#[test]
fn the_tables_are_the_formula_rounded() {
    let steps = [(6.0, 10.0), (10.0, 18.0), (18.0, 30.0), (30.0, 50.0), (50.0, 80.0), (80.0, 120.0)];
    for (from, to) in steps {
        let mean = f64::sqrt(from * to);
        let i = 0.45 * mean.cbrt() + 0.001 * mean;
        for (code, units) in [("H6", 10.0), ("H7", 16.0), ("H8", 25.0), ("H9", 40.0)] {
            let zone = limits(millimetres(to), code).unwrap();
            let width = (zone.upper - zone.lower).value * 1e6;
            assert!((width - units * i).abs() <= 1.0, "{to} {code}: {width} µm, formula {}", units * i);
        }
    }
}

#[test]
fn a_hole_is_the_mirror_of_its_shaft() {
    for size in [6.0, 25.0, 47.0, 90.0] {
        for (hole, shaft) in [("F8", "f8"), ("G7", "g7"), ("E9", "e9"), ("D10", "d10"), ("JS7", "js7")] {
            let hole = limits(millimetres(size), hole).unwrap();
            let shaft = limits(millimetres(size), shaft).unwrap();
            near((hole.lower + shaft.upper).value * 500.0, size, 1e-9);
            near((hole.upper + shaft.lower).value * 500.0, size, 1e-9);
        }
    }
}

/// By hand from the table: 47 H7 is +25/0, 47 g6 is −9/−25 µm.
#[test]
fn clearances_by_hand() {
    let bore = limits(millimetres(47.0), "H7").unwrap();
    let shaft = limits(millimetres(47.0), "g6").unwrap();
    let play = clearance(&bore, &shaft);
    near(play.least.value * 1e6, 9.0, 1e-6);
    near(play.greatest.value * 1e6, 50.0, 1e-6);
    // A bushing of 1.45 to 1.5 mm wall in a bore of 46.05 to 46.10, on a tube of 42.95 to 43.00.
    let strip = |low, high| Limits::new(millimetres(low), millimetres(high)).unwrap();
    let play = bushing_clearance(&strip(46.05, 46.10), &strip(42.95, 43.00), &strip(1.45, 1.5)).unwrap();
    near(play.least.value * 1000.0, 0.05, 1e-9);
    near(play.greatest.value * 1000.0, 0.25, 1e-9);
}

#[test]
fn what_is_not_in_the_tables_is_refused() {
    for code in ["", "7", "H", "H4", "h12", "K7", "Hh7", "x6", "H7g6", "ſ7"] {
        assert!(limits(millimetres(40.0), code).is_err(), "{code:?}");
    }
    for size in [0.0, -40.0, 501.0, f64::NAN, f64::INFINITY] {
        assert!(limits(millimetres(size), "H7").is_err(), "{size}");
    }
}
