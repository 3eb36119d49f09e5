//! Threads: turns of the rod nut, pitches that bolts really have, and the area that carries the load.

use super::range::{self, MM, OutOfRange};
use super::units::{Area, Length, area, length};

/// Between which faces a nut's height on its rod is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NutHeight {
    /// From the nut up to the rod's end: how much of the rod stands out of the nut.
    NutToRodEnd,
    /// From a face below the nut up to the nut.
    BelowToNut,
}

impl NutHeight {
    /// The word that a record and a command say it by.
    pub(crate) fn named(word: &str) -> Option<NutHeight> {
        match word {
            "nut-to-rod-end" => Some(NutHeight::NutToRodEnd),
            "below-to-nut" => Some(NutHeight::BelowToNut),
            _ => None,
        }
    }
}

/// Which way a nut has to go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Towards the rod's end: anticlockwise seen from the rod's end, on a right-hand thread.
    UpTheRod,
    /// Away from the rod's end: clockwise seen from the rod's end, on a right-hand thread.
    DownTheRod,
    /// It is where it should be.
    Stay,
}

impl Way {
    /// The words for the bench.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Way::UpTheRod => "towards the rod's end (anticlockwise, looking at the end)",
            Way::DownTheRod => "away from the rod's end (clockwise, looking at the end)",
            Way::Stay => "leave it",
        }
    }
}

/// Turns of a nut or a preload ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turns {
    /// How many, never negative.
    pub turns: f64,
    /// Which way.
    pub way: Way,
}

/// Turns that bring a nut's height from its reading to its target.
///
/// Formula: turns = (measured − target)/pitch; the sign becomes a direction for the two faces named. Range:
/// heights 0 to 500 mm, pitch 0.2 to 6 mm. Assumption: a right-hand thread with one start.
///
/// ```
/// use benchleaf::bench::thread::{NutHeight, Way, nut_turns};
/// use benchleaf::bench::units::millimetres as mm;
///
/// // Half a millimetre too much rod stands out of the nut: half a turn towards the rod's end.
/// let turns = nut_turns(mm(14.5), mm(14.0), mm(1.0), NutHeight::NutToRodEnd).unwrap();
/// assert!((turns.turns - 0.5).abs() < 1e-9 && turns.way == Way::UpTheRod);
/// ```
pub fn nut_turns(
    measured: Length,
    target: Length,
    pitch: Length,
    faces: NutHeight,
) -> Result<Turns, OutOfRange> {
    let measured = range::not_negative("measured height", measured.value, MM, 500.0)?;
    let target = range::not_negative("target height", target.value, MM, 500.0)?;
    let pitch = range::within("pitch", pitch.value, MM, 0.2, 6.0)?;
    let turns = (measured - target) / pitch;
    let way = match (turns, faces) {
        (0.0, _) => Way::Stay,
        // More rod than wanted stands out of the nut: the nut sits too far down.
        (t, NutHeight::NutToRodEnd) if t > 0.0 => Way::UpTheRod,
        (_, NutHeight::NutToRodEnd) => Way::DownTheRod,
        (t, NutHeight::BelowToNut) if t > 0.0 => Way::DownTheRod,
        (_, NutHeight::BelowToNut) => Way::UpTheRod,
    };
    Ok(Turns { turns: turns.abs(), way })
}

/// The height a nut comes to after some turns (the inverse of [`nut_turns`]).
///
/// Range: as [`nut_turns`], turns 0 to 500; the height must not fall below zero.
///
/// ```
/// use benchleaf::bench::thread::{NutHeight, Turns, Way, height_after};
/// use benchleaf::bench::units::millimetres as mm;
///
/// let turns = Turns { turns: 0.5, way: Way::UpTheRod };
/// let height = height_after(mm(14.5), turns, mm(1.0), NutHeight::NutToRodEnd).unwrap();
/// assert!((height.value - 0.014).abs() < 1e-12);
/// ```
pub fn height_after(
    measured: Length,
    turns: Turns,
    pitch: Length,
    faces: NutHeight,
) -> Result<Length, OutOfRange> {
    let measured = range::not_negative("measured height", measured.value, MM, 500.0)?;
    let pitch = range::within("pitch", pitch.value, MM, 0.2, 6.0)?;
    let count = range::within("number of turns", turns.turns, range::PLAIN, 0.0, 500.0)?;
    let falls = match (turns.way, faces) {
        (Way::Stay, _) => 0.0,
        (Way::UpTheRod, NutHeight::NutToRodEnd) | (Way::DownTheRod, NutHeight::BelowToNut) => count * pitch,
        (Way::DownTheRod, NutHeight::NutToRodEnd) | (Way::UpTheRod, NutHeight::BelowToNut) => -count * pitch,
    };
    let height = measured - falls;
    // A nut turned down to nothing may land a rounding below zero.
    if height < -1e-9 {
        return Err(OutOfRange::Unreachable { why: "the nut would run off its thread" });
    }
    Ok(length(height.max(0.0)))
}

/// A diameter of ISO 261 with its pitches, in millimetres: the coarse one first where there is one.
type Row = (f64, Option<f64>, &'static [f64]);

/// ISO 261, general plan, M1.6 to M64, all three choices of diameter (from memory of the standard).
const PITCHES: &[Row] = &[
    (1.6, Some(0.35), &[0.2]),
    (2.0, Some(0.4), &[0.25]),
    (2.5, Some(0.45), &[0.35]),
    (3.0, Some(0.5), &[0.35]),
    (3.5, Some(0.6), &[0.35]),
    (4.0, Some(0.7), &[0.5]),
    (5.0, Some(0.8), &[0.5]),
    (6.0, Some(1.0), &[0.75]),
    (7.0, Some(1.0), &[0.75]),
    (8.0, Some(1.25), &[1.0, 0.75]),
    (9.0, Some(1.25), &[1.0, 0.75]),
    (10.0, Some(1.5), &[1.25, 1.0, 0.75]),
    (11.0, Some(1.5), &[1.0, 0.75]),
    (12.0, Some(1.75), &[1.5, 1.25, 1.0]),
    (14.0, Some(2.0), &[1.5, 1.25, 1.0]),
    (15.0, None, &[1.5, 1.0]),
    (16.0, Some(2.0), &[1.5, 1.0]),
    (17.0, None, &[1.5, 1.0]),
    (18.0, Some(2.5), &[2.0, 1.5, 1.0]),
    (20.0, Some(2.5), &[2.0, 1.5, 1.0]),
    (22.0, Some(2.5), &[2.0, 1.5, 1.0]),
    (24.0, Some(3.0), &[2.0, 1.5, 1.0]),
    (25.0, None, &[2.0, 1.5, 1.0]),
    (26.0, None, &[1.5]),
    (27.0, Some(3.0), &[2.0, 1.5, 1.0]),
    (28.0, None, &[2.0, 1.5, 1.0]),
    (30.0, Some(3.5), &[3.0, 2.0, 1.5, 1.0]),
    (32.0, None, &[2.0, 1.5]),
    (33.0, Some(3.5), &[3.0, 2.0, 1.5]),
    (35.0, None, &[1.5]),
    (36.0, Some(4.0), &[3.0, 2.0, 1.5]),
    (38.0, None, &[1.5]),
    (39.0, Some(4.0), &[3.0, 2.0, 1.5]),
    (40.0, None, &[3.0, 2.0, 1.5]),
    (42.0, Some(4.5), &[4.0, 3.0, 2.0, 1.5]),
    (45.0, Some(4.5), &[4.0, 3.0, 2.0, 1.5]),
    (48.0, Some(5.0), &[4.0, 3.0, 2.0, 1.5]),
    (50.0, None, &[3.0, 2.0, 1.5]),
    (52.0, Some(5.0), &[4.0, 3.0, 2.0, 1.5]),
    (55.0, None, &[4.0, 3.0, 2.0, 1.5]),
    (56.0, Some(5.5), &[4.0, 3.0, 2.0, 1.5]),
    (58.0, None, &[4.0, 3.0, 2.0, 1.5]),
    (60.0, Some(5.5), &[4.0, 3.0, 2.0, 1.5]),
    (62.0, None, &[4.0, 3.0, 2.0, 1.5]),
    (64.0, Some(6.0), &[4.0, 3.0, 2.0, 1.5]),
];

fn row(diameter: Length) -> Result<&'static Row, OutOfRange> {
    let d = range::positive("thread diameter", diameter.value, MM, 1000.0)? * 1000.0;
    PITCHES.iter().find(|row| (row.0 - d).abs() < 1e-6).ok_or_else(|| OutOfRange::NotInTable {
        what: "ISO 261 thread diameter",
        asked: format!("M{}", round(d)),
    })
}

fn round(mm: f64) -> f64 {
    libm::round(mm * 1000.0) / 1000.0
}

/// The pitches ISO 261 has for a diameter, coarse first.
///
/// Range: the diameters of ISO 261 from M1.6 to M64, else [`OutOfRange::NotInTable`].
pub(crate) fn preferred_pitches(diameter: Length) -> Result<Vec<Length>, OutOfRange> {
    let row = row(diameter)?;
    Ok(row.1.iter().chain(row.2).map(|pitch| length(pitch / 1000.0)).collect())
}

/// The coarse pitch of a diameter, which `M6` alone means; `None` where ISO 261 has only fine ones.
///
/// Range: as [`preferred_pitches`].
///
/// ```
/// use benchleaf::bench::thread::coarse_pitch;
/// use benchleaf::bench::units::millimetres as mm;
///
/// assert_eq!(coarse_pitch(mm(8.0)), Ok(Some(mm(1.25))));
/// assert_eq!(coarse_pitch(mm(25.0)), Ok(None));
/// ```
pub fn coarse_pitch(diameter: Length) -> Result<Option<Length>, OutOfRange> {
    Ok(row(diameter)?.1.map(|pitch| length(pitch / 1000.0)))
}

/// Whether ISO 261 has this pitch for this diameter. For bolts and nuts; caps and other large soft-metal
/// threads choose their own.
///
/// Range: as [`preferred_pitches`].
///
/// ```
/// use benchleaf::bench::thread::is_preferred;
/// use benchleaf::bench::units::millimetres as mm;
///
/// assert_eq!(is_preferred(mm(8.0), mm(1.0)), Ok(true));
/// assert_eq!(is_preferred(mm(8.0), mm(1.1)), Ok(false));
/// ```
pub fn is_preferred(diameter: Length, pitch: Length) -> Result<bool, OutOfRange> {
    let pitch = range::positive("pitch", pitch.value, MM, 10.0)?;
    Ok(preferred_pitches(diameter)?.iter().any(|listed| (listed.value - pitch).abs() < 1e-9))
}

/// The stress area of a metric thread.
///
/// Formula: A_s = π/4·(d − 0.9382·p)². Source: ISO 898-1. Range: diameter 1 to 100 mm, pitch 0.2 to 6 mm and
/// less than a third of the diameter.
///
/// ```
/// use benchleaf::bench::thread::stress_area;
/// use benchleaf::bench::units::millimetres as mm;
///
/// // ISO 898-1: M8 with its coarse pitch has 36.6 mm².
/// assert!((stress_area(mm(8.0), mm(1.25)).unwrap().value - 36.6e-6).abs() < 0.1e-6);
/// ```
pub fn stress_area(diameter: Length, pitch: Length) -> Result<Area, OutOfRange> {
    let d = range::within("thread diameter", diameter.value, MM, 1.0, 100.0)?;
    let p = range::within("pitch", pitch.value, MM, 0.2, 6.0)?;
    if 3.0 * p >= d {
        return Err(OutOfRange::Contradiction { more: "thread diameter", less: "threefold pitch" });
    }
    let core = d - 0.9382 * p;
    Ok(area(core::f64::consts::FRAC_PI_4 * core * core))
}
