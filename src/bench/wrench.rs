//! What a torque wrench is set to when something stands between it and the bolt, and the part of its range
//! in which it can be trusted.

use super::range::{self, DEGREE, MM, NM, OutOfRange};
use super::units::{Angle, Length, Torque, torque};

/// The least share of its greatest value at which a torque wrench is trusted (common practice, no source;
/// an instrument's own statement goes before it).
pub const TRUSTED_FROM: f64 = 0.2;

/// What to set on a wrench with a crowfoot or an extension, so that the bolt gets its torque.
///
/// Formula: set = T·L/(L + a·cos φ). `wrench` is L, from the wrench's square to the mark on the grip at
/// which it is pulled; `extension` is a, from the square to the middle of the bolt; `angle` is φ between the
/// two: 0° where the extension makes the wrench longer, 90° where it stands across, 180° where it points back
/// to the hand. Source: the lever law. Assumption: the wrench is pulled at the mark, square to the handle.
///
/// Range: torque above zero, at most 1000 N·m; wrench 50 mm to 2 m; extension 0 to 500 mm and shorter than
/// the wrench; angle 0 to 180°.
///
/// ```
/// use benchleaf::bench::units::{angle, length, torque};
/// use benchleaf::bench::wrench::setting;
///
/// // Across the wrench an extension changes nothing.
/// let across = setting(torque(24.0), length(0.35), length(0.05), angle(std::f64::consts::FRAC_PI_2));
/// assert!((across.unwrap().value - 24.0).abs() < 1e-9);
/// ```
pub fn setting(
    asked: Torque,
    wrench: Length,
    extension: Length,
    between: Angle,
) -> Result<Torque, OutOfRange> {
    let asked = range::positive("torque", asked.value, NM, 1000.0)?;
    let long = range::within("length of the wrench", wrench.value, MM, 50.0, 2000.0)?;
    let more = range::not_negative("length of the extension", extension.value, MM, 500.0)?;
    let between = range::within("angle between wrench and extension", between.value, DEGREE, 0.0, 180.0)?;
    if more >= long {
        return Err(OutOfRange::Contradiction {
            more: "length of the wrench",
            less: "length of the extension",
        });
    }
    Ok(torque(asked * long / (long + more * libm::cos(between))))
}

/// The range in which a wrench is trusted: from [`TRUSTED_FROM`] of its greatest value, or from the least
/// on its scale where that is more.
///
/// Range: greatest above zero, at most 1000 N·m; least zero or more, under the greatest.
///
/// ```
/// use benchleaf::bench::units::torque;
/// use benchleaf::bench::wrench::trusted;
///
/// let (from, to) = trusted(torque(5.0), torque(60.0)).unwrap();
/// assert_eq!((from.value, to.value), (12.0, 60.0));
/// ```
pub fn trusted(least: Torque, greatest: Torque) -> Result<(Torque, Torque), OutOfRange> {
    let most = range::positive("greatest torque of the wrench", greatest.value, NM, 1000.0)?;
    let least = range::not_negative("least torque of the wrench", least.value, NM, 1000.0)?;
    if least >= most {
        return Err(OutOfRange::Contradiction {
            more: "greatest torque of the wrench",
            less: "least torque of the wrench",
        });
    }
    Ok((torque(least.max(most * TRUSTED_FROM)), torque(most)))
}
