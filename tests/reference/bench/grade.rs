//! Oil grades.

use super::{near, number, rows};
use benchleaf::bench::grade::{
    Curve, ISO_VG, blend_share, blended, index, index_range, iso_vg, parts, reported, substitutes,
};
use benchleaf::bench::units::{celsius, square_millimetres_per_second as cst};

fn oil(at_40: f64, at_100: f64) -> Curve {
    Curve::new(cst(at_40), cst(at_100)).expect("the oil is sound")
}

/// ASTM D2270, worked examples: 73.30 and 8.86 mm²/s give 92.43, reported as 92; 22.83 and 5.05 give 156.37,
/// reported as 156. The standard rounds N on the way in the second: hence a tenth.
#[test]
fn the_standards_own_examples() {
    let first = index(cst(73.30), cst(8.86)).unwrap();
    near(first, 92.43, 0.005);
    assert_eq!(reported(first), 92);
    let second = index(cst(22.83), cst(5.05)).unwrap();
    near(second, 156.37, 0.1);
    assert_eq!(reported(second), 156);
}

/// The library chemicals 1.5.2 (viscosity_index.csv, made by viscosity_index.py).
#[test]
fn the_index_of_many_oils_agrees_with_the_reference_library() {
    let (mut count, mut worst) = (0, 0.0_f64);
    for row in rows(include_str!("viscosity_index.csv")) {
        let v = row.iter().map(|cell| number(cell)).collect::<Vec<_>>();
        let off = (index(cst(v[0]), cst(v[1])).unwrap() - v[2]).abs();
        assert!(off < 1e-4, "{} and {} mm²/s: off by {off}", v[0], v[1]);
        worst = worst.max(off);
        count += 1;
    }
    println!("viscosity index: {count} oils, worst deviation {worst:.1e}");
    assert!(count >= 200, "{count} oils");
}

/// ASTM D2270, the standard's equations for its own table (from memory of the standard): from, to, then a, b, c
/// of L = a·Y² + b·Y + c and of H.
const EQUATIONS: [[f64; 8]; 15] = [
    [2.0, 3.8, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077],
    [3.8, 4.4, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183],
    [4.4, 5.0, 2.5, -7.2143, 13.812, 0.82143, 1.5679, 0.119],
    [5.0, 6.4, 0.10100, 16.6350, -45.469, 0.04985, 9.1613, -18.557],
    [6.4, 7.0, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656],
    [7.0, 7.7, 0.01191, 21.4750, -72.870, 0.79762, -0.7321, 14.610],
    [7.7, 9.0, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240],
    [9.0, 12.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810],
    [12.0, 15.0, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490],
    [15.0, 18.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930],
    [18.0, 22.0, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730],
    [22.0, 28.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230],
    [28.0, 40.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750],
    [40.0, 55.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620],
    [55.0, 70.0, 0.85921, 11.1009, -83.190, 0.17130, 11.3680, -76.940],
];

/// The oil of index 100 and the oil of index 0 at every tenth of a mm²/s, by the standard's equations: an
/// independent way to the table that the program carries.
#[test]
fn the_table_agrees_with_the_standards_equations() {
    let (mut count, mut worst) = (0, 0.0_f64);
    for [from, to, la, lb, lc, ha, hb, hc] in EQUATIONS {
        let mut y = from;
        while y < to {
            let l = la * y * y + lb * y + lc;
            let h = ha * y * y + hb * y + hc;
            for (at_40, wanted) in [(l, 0.0), (h * 1.000_001, 100.0)] {
                // One tenth of a per cent of H, in points of the index, is what the rounded equations allow.
                let allowed = 100.0 * 0.0015 * at_40 / (l - h);
                let off = (index(cst(at_40), cst(y)).unwrap() - wanted).abs();
                assert!(off <= allowed, "{y} mm²/s: off by {off}, allowed {allowed}");
                worst = worst.max(off);
            }
            count += 2;
            y += 0.1;
        }
    }
    println!("D2270 table against its equations: {count} oils, worst {worst:.2} points");
    assert!(count > 1000);
}

/// ISO 3448: midpoint ± 10 %. A viscosity between two classes has none.
#[test]
fn iso_classes() {
    for (class, middle) in ISO_VG {
        for (nu, wanted) in [
            (middle, Some(class)),
            (0.9 * middle, Some(class)),
            (1.1 * middle, Some(class)),
            (0.895 * middle, None),
            (1.105 * middle, None),
        ] {
            assert_eq!(iso_vg(cst(nu)).unwrap(), wanted, "{nu} mm²/s");
        }
    }
    // ISO 3448, table (from memory): VG 15 is 13.5 to 16.5, VG 32 is 28.8 to 35.2, VG 46 is 41.4 to 50.6.
    assert_eq!(iso_vg(cst(13.5)).unwrap(), Some(15));
    assert_eq!(iso_vg(cst(16.6)).unwrap(), None);
    assert_eq!(iso_vg(cst(35.2)).unwrap(), Some(32));
    assert_eq!(iso_vg(cst(41.4)).unwrap(), Some(46));
}

/// ASTM D341's formula in forty-digit decimals (walther.csv, made by walther.py).
#[test]
fn viscosity_at_temperature() {
    let (mut count, mut worst) = (0, 0.0_f64);
    for row in rows(include_str!("walther.csv")) {
        let v = row.iter().map(|cell| number(cell)).collect::<Vec<_>>();
        let found = oil(v[0], v[1]).at(celsius(v[2])).unwrap().value * 1e6;
        worst = worst.max((found / v[3] - 1.0).abs());
        count += 1;
    }
    println!("viscosity at temperature: {count} points, worst relative deviation {worst:.1e}");
    assert!(count > 40 && worst < 1e-9, "{count} points, {worst}");
}

#[test]
fn the_nearest_oil_on_the_shelf_comes_first() {
    let shelf = [oil(32.0, 6.0), oil(15.0, 3.6), oil(22.5, 5.1), oil(46.0, 7.9)];
    let ranked = substitutes(&oil(22.0, 5.0), &shelf, celsius(50.0)).unwrap();
    assert_eq!(ranked.iter().map(|s| s.place).collect::<Vec<_>>(), [2, 0, 1, 3]);
    assert!(ranked[0].ratio > 1.0 && ranked[2].ratio < 1.0);
}

#[test]
fn a_blend_hits_its_target_or_says_it_cannot() {
    let (thin, thick) = (oil(15.0, 3.6), oil(46.0, 7.9));
    let share = blend_share(&thin, &thick, cst(25.0), celsius(40.0)).unwrap();
    near(blended(&thin, &thick, share).unwrap().at(celsius(40.0)).unwrap().value * 1e6, 25.0, 1e-9);
    for unreachable in [12.0, 60.0] {
        let refused = blend_share(&thin, &thick, cst(unreachable), celsius(40.0)).unwrap_err();
        assert!(refused.to_string().starts_with("no blend"), "{refused}");
    }
    assert!(blend_share(&thin, &thin, cst(15.0), celsius(40.0)).is_err());
    // By hand: 0.6 is three parts to two.
    assert_eq!(parts(0.6, 10), Ok((3, 2)));
    assert_eq!(parts(0.0, 10), Ok((0, 1)));
    assert_eq!(parts(1.0, 10), Ok((1, 0)));
}

#[test]
fn viscosities_that_do_not_fall_are_refused() {
    for (cold, hot) in [(5.0, 5.0), (5.0, 9.0), (0.0, 0.0), (-5.0, 2.0), (1.0, 0.5)] {
        assert!(Curve::new(cst(cold), cst(hot)).is_err(), "{cold} {hot}");
        assert!(index(cst(cold), cst(hot)).is_err(), "{cold} {hot}");
    }
    let (least, greatest) = index_range((cst(21.95), cst(22.05)), (cst(4.95), cst(5.05))).unwrap();
    let stated = index(cst(22.0), cst(5.0)).unwrap();
    assert!(least < stated && stated < greatest);
}
