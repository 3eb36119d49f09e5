//! The unit table against published factors and against pint.

use benchleaf::quantity::{Dimension, UNITS, unit_of};
use std::collections::BTreeSet;

fn convert(dimension: Dimension, from: &str, to: &str, number: f64) -> f64 {
    let of = |symbol| unit_of(dimension, symbol).unwrap_or_else(|| panic!("{symbol} is not in the table"));
    of(to).from_si(of(from).to_si(number))
}

/// NIST SP 811 (2008), appendix B.8 and B.9, as printed: the factor and how many digits it is printed with.
/// Exact factors are bold there and checked to the last digit.
#[test]
fn nist_sp_811_appendix_b() {
    use Dimension::*;
    for (dimension, from, to, printed, digits) in [
        (Length, "in", "m", 2.54e-2, 15),
        (Length, "ft", "m", 3.048e-1, 15),
        (Distance, "mi", "m", 1.609_344e3, 15),
        (Volume, "US fl oz", "mL", 2.957_353e1, 7),
        (Volume, "imp fl oz", "mL", 2.841_306e1, 7),
        (Volume, "US gal", "L", 3.785_412, 7),
        (Volume, "imp gal", "L", 4.546_09, 15),
        (Volume, "US pt", "L", 4.731_765e-1, 7),
        (Volume, "US qt", "L", 9.463_529e-1, 7),
        (Volume, "in³", "mL", 1.638_706e1, 7),
        (Mass, "oz av", "g", 2.834_952e1, 7),
        (Mass, "lb", "kg", 4.535_924e-1, 7),
        (Torque, "lbf·ft", "N·m", 1.355_818, 7),
        (Torque, "lbf·in", "N·m", 1.129_848e-1, 7),
        (Torque, "kgf·m", "N·m", 9.806_65, 15),
        (Torque, "ozf·in", "N·m", 7.061_552e-3, 7),
        (Force, "lbf", "N", 4.448_222, 7),
        (Force, "kgf", "N", 9.806_65, 15),
        (Pressure, "psi", "kPa", 6.894_757, 7),
        (Pressure, "kgf/cm²", "kPa", 9.806_65e1, 15),
        (Pressure, "bar", "kPa", 1e2, 15),
        (Pressure, "atm", "Pa", 1.013_25e5, 15),
        (SpringRate, "lbf/in", "N/m", 1.751_268e2, 7),
        (Viscosity, "cSt", "m²/s", 1e-6, 15),
        (Density, "lb/ft³", "kg/m³", 1.601_846e1, 7),
        (Temperature, "°F", "°C", -17.222_222_222_222_2, 14),
    ] {
        let ours = convert(dimension, from, to, 1.0);
        let step = 10_f64.powi(f64::abs(printed).log10().floor() as i32 - digits + 1);
        assert!(
            (ours - printed).abs() <= 0.5 * step * (1.0 + 1e-6),
            "1 {from} is {ours} {to}, printed {printed}"
        );
    }
}

/// NIST Handbook 44, appendix C: the customary measures in terms of each other, exactly.
#[test]
fn nist_handbook_44_appendix_c() {
    use Dimension::*;
    for (dimension, from, number, to) in [
        (Volume, "US gal", 128, "US fl oz"),
        (Volume, "US gal", 231, "in³"),
        (Volume, "US qt", 32, "US fl oz"),
        (Volume, "US pt", 16, "US fl oz"),
        (Volume, "imp gal", 160, "imp fl oz"),
        (Volume, "imp pt", 20, "imp fl oz"),
        (Mass, "lb", 16, "oz av"),
        (Length, "ft", 12, "in"),
    ] {
        let (from, to) = (unit_of(dimension, from).unwrap(), unit_of(dimension, to).unwrap());
        assert_eq!(
            from.factor(),
            to.factor() * num_bigint::BigInt::from(number),
            "{} in {}",
            from.symbol,
            to.symbol
        );
    }
}

/// Every pair of units against pint 0.25.3: see units_pint.py. The sweep must name every unit of the table
/// and no other.
#[test]
fn every_pair_of_units_agrees_with_pint() {
    let mut swept = BTreeSet::new();
    let mut pairs = 0;
    for line in include_str!("units_pint.csv").lines().skip(1) {
        let [dimension, from, to, number, theirs] = line.split(',').collect::<Vec<_>>()[..] else {
            panic!("{line}")
        };
        let dimension = Dimension::from_id(dimension).unwrap();
        let theirs: f64 = theirs.parse().unwrap();
        let ours = convert(dimension, from, to, number.parse().unwrap());
        assert!((ours - theirs).abs() <= 1e-12 * theirs.abs(), "{line}: {ours}");
        swept.insert((dimension, from.to_owned(), to.to_owned()));
        pairs += 1;
    }
    let ours: BTreeSet<_> = UNITS
        .iter()
        .flat_map(|from| {
            from.dimension.units().map(|to| (from.dimension, from.symbol.to_owned(), to.symbol.to_owned()))
        })
        .collect();
    assert_eq!(swept, ours);
    assert_eq!(pairs, 2 * ours.len());
}
