//! Fits: limits of size from ISO 286 codes, and the clearance between a bore, a bushing and a tube.

use super::range::{self, MM, OutOfRange};
use super::units::{Length, length};

/// The two sizes a part may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The smallest.
    pub lower: Length,
    /// The greatest.
    pub upper: Length,
}

impl Limits {
    /// Limits from two sizes.
    ///
    /// Range: zero or more, at most 1 m; the lower one not above the upper one.
    ///
    /// ```
    /// use benchleaf::bench::fits::Limits;
    /// use benchleaf::bench::units::millimetres;
    ///
    /// assert!(Limits::new(millimetres(46.97), millimetres(47.0)).is_ok());
    /// assert!(Limits::new(millimetres(47.0), millimetres(46.97)).is_err());
    /// ```
    pub fn new(lower: Length, upper: Length) -> Result<Limits, OutOfRange> {
        let low = range::not_negative("lower limit of size", lower.value, MM, 1000.0)?;
        let high = range::not_negative("upper limit of size", upper.value, MM, 1000.0)?;
        if low > high {
            return Err(OutOfRange::Contradiction {
                more: "upper limit of size",
                less: "lower limit of size",
            });
        }
        Ok(Limits { lower, upper })
    }
}

/// Upper ends of the main steps of nominal size, mm: a step is "over a, up to and including b".
const STEPS: [f64; 13] = [3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0, 315.0, 400.0, 500.0];

/// Standard tolerances IT5 to IT11, µm, by step (ISO 286-1, from memory of the standard).
const GRADES: [(u32, [i32; 13]); 7] = [
    (5, [4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27]),
    (6, [6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40]),
    (7, [10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63]),
    (8, [14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97]),
    (9, [25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155]),
    (10, [40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250]),
    (11, [60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400]),
];

/// Distance of the shaft's upper limit below the nominal size, µm, by step, for letters d to h.
const BELOW: [(&str, [i32; 13]); 5] = [
    ("d", [20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230]),
    ("e", [14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135]),
    ("f", [6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68]),
    ("g", [2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20]),
    ("h", [0; 13]),
];

/// Distance of the shaft's lower limit above the nominal size, µm, by step, for letters k to p. The k row is
/// for grades 4 to 7; beyond them it is zero.
const ABOVE: [(&str, [i32; 13]); 4] = [
    ("k", [0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5]),
    ("m", [2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23]),
    ("n", [4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40]),
    ("p", [6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68]),
];

/// The limits of size of an ISO 286 code at a nominal size: `H7`, `g6`, `js6`.
///
/// Source: ISO 286-1 and -2, tables. Range: nominal size above zero, at most 500 mm; grades 5 to 11; shafts d,
/// e, f, g, h, js, k, m, n, p; holes D, E, F, G, H, JS (the holes K to P shift by a further table and are not
/// carried). Anything else is [`OutOfRange::NotInTable`].
///
/// ```
/// use benchleaf::bench::fits::limits;
/// use benchleaf::bench::units::millimetres;
///
/// // ISO 286-2: 30 H7 is 0 to +21 µm.
/// let hole = limits(millimetres(30.0), "H7").unwrap();
/// assert!((hole.upper.value - 0.030_021).abs() < 1e-9);
/// ```
pub fn limits(nominal: Length, code: &str) -> Result<Limits, OutOfRange> {
    let size = range::positive("nominal size", nominal.value, MM, 500.0)?;
    let (below, above) = deviations(size * 1000.0, code)
        .ok_or_else(|| OutOfRange::NotInTable { what: "ISO 286 code", asked: code.to_string() })?;
    Limits::new(length(size + below * 1e-6), length(size + above * 1e-6))
}

/// Lower and upper deviation in µm.
fn deviations(nominal_mm: f64, code: &str) -> Option<(f64, f64)> {
    let digits = code.find(|c: char| c.is_ascii_digit())?;
    let (letters, grade) = code.split_at(digits);
    let grade: u32 = grade.parse().ok()?;
    // The slack keeps a nominal size that came through metres inside the step it ends.
    let step = STEPS.iter().position(|upper| nominal_mm <= upper * (1.0 + 1e-12))?;
    let width = f64::from(GRADES.iter().find(|row| row.0 == grade)?.1[step]);
    let hole = letters.chars().all(|c| c.is_ascii_uppercase());
    let shaft = letters.chars().all(|c| c.is_ascii_lowercase());
    let lower_case = letters.to_ascii_lowercase();
    if hole == shaft {
        return None;
    }
    if lower_case == "js" {
        return Some((-width / 2.0, width / 2.0));
    }
    if let Some(row) = BELOW.iter().find(|row| row.0 == lower_case) {
        let distance = f64::from(row.1[step]);
        // Holes A to H are the mirror image of the shafts.
        return Some(if hole { (distance, distance + width) } else { (-distance - width, -distance) });
    }
    let row = ABOVE.iter().find(|row| shaft && row.0 == lower_case)?;
    let distance = if row.0 == "k" && grade > 7 { 0.0 } else { f64::from(row.1[step]) };
    Some((distance, distance + width))
}

/// The least and the greatest play between two parts. Negative is interference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// With the smallest bore and the greatest shaft.
    pub least: Length,
    /// With the greatest bore and the smallest shaft.
    pub greatest: Length,
}

/// The play between a bore and a shaft.
///
/// Formula: least = B_min − S_max, greatest = B_max − S_min. Range: as [`Limits::new`].
///
/// ```
/// use benchleaf::bench::fits::{clearance, limits};
/// use benchleaf::bench::units::millimetres;
///
/// let play = clearance(&limits(millimetres(30.0), "H7").unwrap(), &limits(millimetres(30.0), "g6").unwrap());
/// assert!((play.least.value - 7e-6).abs() < 1e-9 && (play.greatest.value - 41e-6).abs() < 1e-9);
/// ```
pub fn clearance(bore: &Limits, shaft: &Limits) -> Clearance {
    Clearance { least: bore.lower - shaft.upper, greatest: bore.upper - shaft.lower }
}

/// The play of a split, lined bushing between a bore and a shaft: it is a strip, so its wall counts twice.
///
/// Formula: bore − shaft − 2·wall, at its limits. Range: as [`Limits::new`]; wall above zero, at most 10 mm.
///
/// ```
/// use benchleaf::bench::fits::{Limits, bushing_clearance};
/// use benchleaf::bench::units::millimetres;
///
/// let size = |mm: f64| Limits::new(millimetres(mm), millimetres(mm)).unwrap();
/// // The strip's wall counts twice.
/// let play = bushing_clearance(&size(46.0), &size(42.9), &size(1.5)).unwrap();
/// assert!((play.least.value - 0.000_1).abs() < 1e-9);
/// ```
pub fn bushing_clearance(bore: &Limits, shaft: &Limits, wall: &Limits) -> Result<Clearance, OutOfRange> {
    range::positive("bushing wall", wall.lower.value, MM, 10.0)?;
    range::positive("bushing wall", wall.upper.value, MM, 10.0)?;
    let bare = clearance(bore, shaft);
    Ok(Clearance { least: bare.least - 2.0 * wall.upper, greatest: bare.greatest - 2.0 * wall.lower })
}
