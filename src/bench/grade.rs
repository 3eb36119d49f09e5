//! Oil grades: viscosity at a temperature, viscosity index, ISO VG class, substitutes, and two-oil blends.
//!
//! All from an oil's two viscosities, at 40 °C and at 100 °C. A "weight" printed on a bottle is no viscosity,
//! and nothing here takes one.

use super::d2270::ROWS;
use super::range::{self, MM2_PER_S, OutOfRange};
use super::units::{KinematicViscosity, ThermodynamicTemperature, viscosity};

const AT_40: f64 = 313.15;
const AT_100: f64 = 373.15;

/// Viscosities for which the curve holds, mm²/s.
const THINNEST: f64 = 2.0;
const THICKEST: f64 = 20_000.0;

/// How an oil's viscosity falls with temperature: a straight line on the scale of ASTM D341.
///
/// Formula (Walther): log₁₀ log₁₀(ν + 0.7) = A − B·log₁₀ T, ν in mm²/s, T in kelvin. Source: ASTM D341, its
/// short form for viscosities of 2 mm²/s and more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    a: f64,
    b: f64,
}

fn scale(mm2_per_s: f64) -> f64 {
    libm::log10(libm::log10(mm2_per_s + 0.7))
}

fn unscale(w: f64) -> f64 {
    libm::pow(10.0, libm::pow(10.0, w)) - 0.7
}

impl Curve {
    /// The curve through an oil's viscosities at 40 °C and 100 °C.
    ///
    /// Range: both 2 to 20 000 mm²/s; the one at 40 °C the greater.
    ///
    /// ```
    /// use benchleaf::bench::grade::Curve;
    /// use benchleaf::bench::units::square_millimetres_per_second as cst;
    ///
    /// assert!(Curve::new(cst(22.0), cst(4.6)).is_ok());
    /// // No oil is thicker when it is hot.
    /// assert!(Curve::new(cst(4.6), cst(22.0)).is_err());
    /// ```
    pub fn new(at_40: KinematicViscosity, at_100: KinematicViscosity) -> Result<Curve, OutOfRange> {
        let (cold, hot) = both(at_40, at_100)?;
        let b = (scale(cold) - scale(hot)) / (libm::log10(AT_100) - libm::log10(AT_40));
        Ok(Curve { a: scale(cold) + b * libm::log10(AT_40), b })
    }

    /// The viscosity at a temperature.
    ///
    /// Range: −50 to 200 °C, and where the result lies within 2 to 20 000 mm²/s.
    ///
    /// ```
    /// use benchleaf::bench::grade::Curve;
    /// use benchleaf::bench::units::{celsius, square_millimetres_per_second as cst};
    ///
    /// let oil = Curve::new(cst(22.0), cst(4.6)).unwrap();
    /// assert!((oil.at(celsius(40.0)).unwrap().value - 22e-6).abs() < 1e-12);
    /// assert!(oil.at(celsius(20.0)).unwrap() > cst(40.0));
    /// ```
    pub fn at(&self, temperature: ThermodynamicTemperature) -> Result<KinematicViscosity, OutOfRange> {
        let kelvin = range::temperature("oil temperature", temperature.value)?;
        let w = self.a - self.b * libm::log10(kelvin);
        // 0.7 is log₁₀ log₁₀ of 100 000 mm²/s: beyond it the power could overflow, and no fork oil gets there.
        let nu = if w > 0.7 { f64::MAX } else { unscale(w) };
        range::within("viscosity at this temperature", nu * 1e-6, MM2_PER_S, THINNEST, THICKEST)?;
        Ok(viscosity(nu * 1e-6))
    }

    /// The temperature at which the oil has a viscosity: the inverse of [`Curve::at`].
    ///
    /// Range: 2 to 20 000 mm²/s, where the answer lies within −50 to 200 °C.
    ///
    /// ```
    /// use benchleaf::bench::grade::Curve;
    /// use benchleaf::bench::units::square_millimetres_per_second as cst;
    ///
    /// let oil = Curve::new(cst(22.0), cst(4.6)).unwrap();
    /// let warm = oil.temperature_for(cst(22.0)).unwrap();
    /// assert!((warm.value - 313.15).abs() < 1e-6);
    /// ```
    pub fn temperature_for(
        &self,
        sought: KinematicViscosity,
    ) -> Result<ThermodynamicTemperature, OutOfRange> {
        let nu = range::within("viscosity", sought.value, MM2_PER_S, THINNEST, THICKEST)? * 1e6;
        let kelvin = libm::pow(10.0, ((self.a - scale(nu)) / self.b).min(10.0));
        range::temperature("temperature at which the oil has this viscosity", kelvin)?;
        Ok(super::units::kelvin(kelvin))
    }
}

fn both(at_40: KinematicViscosity, at_100: KinematicViscosity) -> Result<(f64, f64), OutOfRange> {
    let cold = range::within("viscosity at 40 °C", at_40.value, MM2_PER_S, THINNEST, THICKEST)? * 1e6;
    let hot = range::within("viscosity at 100 °C", at_100.value, MM2_PER_S, THINNEST, THICKEST)? * 1e6;
    // Two viscosities closer than this give a line so flat that it says nothing.
    if cold < hot * 1.001 {
        return Err(OutOfRange::Contradiction { more: "viscosity at 40 °C", less: "viscosity at 100 °C" });
    }
    Ok((cold, hot))
}

/// The viscosity index: how little an oil thins as it warms.
///
/// Formula, with Y the viscosity at 100 °C, U at 40 °C, L and H from the table at Y: VI = 100·(L − U)/(L − H)
/// when U ≥ H, else VI = (10^N − 1)/0.00715 + 100 with N = log₁₀(H/U)/log₁₀ Y. Source: ASTM D2270. Range: both
/// 2 to 20 000 mm²/s, falling, and at most 1000 mm²/s at 100 °C.
///
/// ```
/// use benchleaf::bench::grade::index;
/// use benchleaf::bench::units::square_millimetres_per_second as cst;
///
/// // The one that thins less has the greater index.
/// assert!(index(cst(22.0), cst(5.2)).unwrap() > index(cst(22.0), cst(4.3)).unwrap());
/// ```
pub fn index(at_40: KinematicViscosity, at_100: KinematicViscosity) -> Result<f64, OutOfRange> {
    let (u, y) = both(at_40, at_100)?;
    if y > 1000.0 {
        return Err(OutOfRange::Beyond {
            what: "viscosity at 100 °C",
            least: "2 mm²/s".into(),
            most: "1000 mm²/s".into(),
        });
    }
    let (l, h) = basic_values(y);
    if u >= h {
        return Ok(100.0 * (l - u) / (l - h));
    }
    let n = libm::log10(h / u) / libm::log10(y);
    Ok((libm::pow(10.0, n) - 1.0) / 0.00715 + 100.0)
}

/// L and H at a viscosity at 100 °C: straight lines between the table's rows, and beyond 70 mm²/s the
/// standard's equations.
fn basic_values(y: f64) -> (f64, f64) {
    let above = ROWS.partition_point(|row| row.0 <= y);
    match (above.checked_sub(1).and_then(|below| ROWS.get(below)), ROWS.get(above)) {
        (Some(&(y0, l0, h0)), Some(&(y1, l1, h1))) => {
            let share = (y - y0) / (y1 - y0);
            (l0 + share * (l1 - l0), h0 + share * (h1 - h0))
        }
        // A rounding below 2.0: the first row.
        (None, Some(&(_, l, h))) => (l, h),
        _ => ((0.8353 * y + 14.67) * y - 216.0, (0.1684 * y + 11.85) * y - 97.0),
    }
}

/// The index as a data sheet reports it: the nearest whole number, halves to the even one (ASTM E29, as
/// D2270 asks).
///
/// ```
/// use benchleaf::bench::grade::reported;
///
/// assert_eq!((reported(131.6), reported(92.5), reported(93.5)), (132, 92, 94));
/// ```
pub fn reported(index: f64) -> i64 {
    libm::rint(index) as i64
}

/// The least and the greatest index that two rounded viscosities leave open.
///
/// Formula: [`index`] at the corners (the index falls as the viscosity at 40 °C rises, and rises with that at
/// 100 °C). Range: as [`index`] at both corners.
///
/// ```
/// use benchleaf::bench::grade::{index, index_range};
/// use benchleaf::bench::units::square_millimetres_per_second as cst;
///
/// let (least, most) = index_range((cst(21.9), cst(22.1)), (cst(4.55), cst(4.65))).unwrap();
/// let middle = index(cst(22.0), cst(4.6)).unwrap();
/// assert!(least < middle && middle < most);
/// ```
pub fn index_range(
    at_40: (KinematicViscosity, KinematicViscosity),
    at_100: (KinematicViscosity, KinematicViscosity),
) -> Result<(f64, f64), OutOfRange> {
    Ok((index(at_40.1, at_100.0)?, index(at_40.0, at_100.1)?))
}

/// ISO 3448: each class with its midpoint at 40 °C, mm²/s.
pub const ISO_VG: [(u32, f64); 20] = [
    (2, 2.2),
    (3, 3.2),
    (5, 4.6),
    (7, 6.8),
    (10, 10.0),
    (15, 15.0),
    (22, 22.0),
    (32, 32.0),
    (46, 46.0),
    (68, 68.0),
    (100, 100.0),
    (150, 150.0),
    (220, 220.0),
    (320, 320.0),
    (460, 460.0),
    (680, 680.0),
    (1000, 1000.0),
    (1500, 1500.0),
    (2200, 2200.0),
    (3200, 3200.0),
];

/// The ISO VG class of an oil: the one whose midpoint is within 10 % at 40 °C. `None` when it lies between
/// two classes: the nearest is not a class it has.
///
/// Source: ISO 3448. Range: 0.1 to 20 000 mm²/s.
///
/// ```
/// use benchleaf::bench::grade::iso_vg;
/// use benchleaf::bench::units::square_millimetres_per_second as cst;
///
/// // ISO 3448: class 32 is 28.8 to 35.2 mm²/s.
/// assert_eq!(iso_vg(cst(29.0)), Ok(Some(32)));
/// assert_eq!(iso_vg(cst(26.0)), Ok(None));
/// ```
pub fn iso_vg(at_40: KinematicViscosity) -> Result<Option<u32>, OutOfRange> {
    let nu = range::within("viscosity at 40 °C", at_40.value, MM2_PER_S, 0.1, THICKEST)? * 1e6;
    // The slack keeps a limit of the standard, read from decimal text, inside its class.
    let inside = |middle: f64| nu >= 0.9 * middle * (1.0 - 1e-12) && nu <= 1.1 * middle * (1.0 + 1e-12);
    Ok(ISO_VG.iter().find(|class| inside(class.1)).map(|class| class.0))
}

/// An oil ranked as a substitute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Substitute {
    /// Its place in the list that was given.
    pub place: usize,
    /// Its viscosity over the wanted one: above one it is thicker, and damps more.
    pub ratio: f64,
}

/// Oils on the shelf in the order in which they stand in for one that is out of stock: by how far the ratio of
/// viscosities at the working temperature is from one, either way. Oils that cannot be judged at that
/// temperature are left out.
///
/// Range: the wanted oil as [`Curve::at`].
///
/// ```
/// use benchleaf::bench::grade::{Curve, substitutes};
/// use benchleaf::bench::units::{celsius, square_millimetres_per_second as cst};
///
/// let oil = |cold, hot| Curve::new(cst(cold), cst(hot)).unwrap();
/// let list = substitutes(&oil(22.0, 4.6), &[oil(32.0, 6.0), oil(23.0, 4.7)], celsius(40.0)).unwrap();
/// assert_eq!(list[0].place, 1);
/// ```
pub fn substitutes(
    sought: &Curve,
    shelf: &[Curve],
    working: ThermodynamicTemperature,
) -> Result<Vec<Substitute>, OutOfRange> {
    let goal = sought.at(working)?.value;
    let mut list: Vec<Substitute> = shelf
        .iter()
        .enumerate()
        .filter_map(|(place, oil)| Some(Substitute { place, ratio: oil.at(working).ok()?.value / goal }))
        .collect();
    // Equal ones stay in the order of the shelf.
    list.sort_by(|a, b| distance(a.ratio).total_cmp(&distance(b.ratio)));
    Ok(list)
}

fn distance(ratio: f64) -> f64 {
    libm::fabs(libm::log(ratio))
}

/// The share by volume of the first of two oils that gives a viscosity at a temperature.
///
/// Formula: on the Walther scale W = log₁₀ log₁₀(ν + 0.7) the blend is W = s·W₁ + (1 − s)·W₂, solved for s.
/// Source: the blending line of ASTM D341 charts (ASTM D7152, from memory). Range: as [`Curve::at`] for both
/// oils; the target must lie between them, else [`OutOfRange::Unreachable`]. Assumption: the oils are of one
/// kind and mix; polymer-thickened oils may land some per cent off.
///
/// ```
/// use benchleaf::bench::grade::{Curve, blend_share};
/// use benchleaf::bench::units::{celsius, square_millimetres_per_second as cst};
///
/// let (thin, thick) = (Curve::new(cst(15.0), cst(3.6)).unwrap(), Curve::new(cst(46.0), cst(7.6)).unwrap());
/// let share = blend_share(&thin, &thick, cst(22.0), celsius(40.0)).unwrap();
/// assert!(share > 0.5 && share < 1.0);
/// assert!(blend_share(&thin, &thick, cst(60.0), celsius(40.0)).is_err());
/// ```
pub fn blend_share(
    first: &Curve,
    second: &Curve,
    target: KinematicViscosity,
    temperature: ThermodynamicTemperature,
) -> Result<f64, OutOfRange> {
    let goal = scale(range::within("target viscosity", target.value, MM2_PER_S, THINNEST, THICKEST)? * 1e6);
    let first_scale = scale(first.at(temperature)?.value * 1e6);
    let second_scale = scale(second.at(temperature)?.value * 1e6);
    if libm::fabs(first_scale - second_scale) < 1e-9 {
        return Err(OutOfRange::Unreachable {
            why: "the two oils are equally thick at this temperature: no blend of them is thicker or thinner",
        });
    }
    let share = (goal - second_scale) / (first_scale - second_scale);
    // A target equal to one of the oils may land a rounding outside.
    if !(-1e-9..=1.0 + 1e-9).contains(&share) {
        return Err(OutOfRange::Unreachable {
            why: "no blend of these two oils has that viscosity: it lies outside what either of them has",
        });
    }
    Ok(share.clamp(0.0, 1.0))
}

/// The curve of a blend with a share by volume of the first oil.
///
/// Formula: as [`blend_share`], at every temperature. Range: share 0 to 1.
///
/// ```
/// use benchleaf::bench::grade::{Curve, blend_share, blended};
/// use benchleaf::bench::units::{celsius, square_millimetres_per_second as cst};
///
/// let (thin, thick) = (Curve::new(cst(15.0), cst(3.6)).unwrap(), Curve::new(cst(46.0), cst(7.6)).unwrap());
/// let share = blend_share(&thin, &thick, cst(22.0), celsius(40.0)).unwrap();
/// let blend = blended(&thin, &thick, share).unwrap();
/// assert!((blend.at(celsius(40.0)).unwrap().value - 22e-6).abs() < 1e-12);
/// ```
pub fn blended(first: &Curve, second: &Curve, share: f64) -> Result<Curve, OutOfRange> {
    let s = range::within("share of the first oil", share, range::PLAIN, 0.0, 1.0)?;
    Ok(Curve { a: s * first.a + (1.0 - s) * second.a, b: s * first.b + (1.0 - s) * second.b })
}

/// A share as parts by volume, the nearest ratio of whole numbers that add up to at most `most` parts.
///
/// Range: share 0 to 1, most 1 to 100.
///
/// ```
/// use benchleaf::bench::grade::parts;
///
/// assert_eq!(parts(0.6, 10), Ok((3, 2)));
/// ```
pub fn parts(share: f64, most: u32) -> Result<(u32, u32), OutOfRange> {
    let share = range::within("share of the first oil", share, range::PLAIN, 0.0, 1.0)?;
    let most = range::within("number of parts", f64::from(most), range::PLAIN, 1.0, 100.0)? as u32;
    let mut best = (0, 1);
    let mut off = f64::INFINITY;
    for all in 1..=most {
        let first = libm::round(share * f64::from(all)) as u32;
        let error = libm::fabs(f64::from(first) / f64::from(all) - share);
        // The fewest parts win unless more parts are really nearer.
        if error < off - 1e-12 {
            (best, off) = ((first, all - first), error);
        }
    }
    Ok(best)
}
