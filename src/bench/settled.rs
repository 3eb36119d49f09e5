//! Sag as it is read at the bench: three readings, with the friction between two of them.
//!
//! A leg with friction stops short on its way: let up slowly from below it stays a little too low, let down
//! slowly from above a little too high. The sag without friction lies in the middle, and half the difference
//! is what friction hides. Formula: sag = extended − (below + above)/2. Common practice, no source.

use super::range::{self, MM, OutOfRange};
use super::units::{Length, length};

/// Sag from three readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settled {
    /// The sag, friction left out.
    pub sag: Length,
    /// The difference between the two settled readings: the band in which friction holds the leg.
    pub friction: Length,
}

/// Sag from the same distance read three times: leg extended, settled from below (pressed down and let up
/// slowly), settled from above (lifted and let down slowly).
///
/// Range: readings 0 to 1 m; the extended one is the greatest, and the leg settled from below stands no
/// higher than settled from above, else the readings were mixed up.
///
/// ```
/// use benchleaf::bench::settled::settled;
/// use benchleaf::bench::units::length;
///
/// let found = settled(length(0.131), length(0.098), length(0.104)).unwrap();
/// assert!((found.sag.value - 0.030).abs() < 1e-12);
/// assert!((found.friction.value - 0.006).abs() < 1e-12);
/// ```
pub fn settled(extended: Length, from_below: Length, from_above: Length) -> Result<Settled, OutOfRange> {
    let extended = range::positive("reading with the leg extended", extended.value, MM, 1000.0)?;
    let below = range::not_negative("reading settled from below", from_below.value, MM, 1000.0)?;
    let above = range::not_negative("reading settled from above", from_above.value, MM, 1000.0)?;
    if below > above {
        return Err(OutOfRange::Contradiction {
            more: "reading settled from above",
            less: "reading settled from below",
        });
    }
    if above > extended {
        return Err(OutOfRange::Contradiction {
            more: "reading with the leg extended",
            less: "reading settled from above",
        });
    }
    Ok(Settled { sag: length(extended - (below + above) / 2.0), friction: length(above - below) })
}
