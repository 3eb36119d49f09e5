//! What a torque does to a fastener: the preload it makes, what its property class can carry, and which
//! mistaken unit explains a torque that is too much.
//!
//! Only for steel fasteners with a declared property class, at their declared thread state. Caps and other
//! large soft-metal threads are outside, and a clamp bolt is limited by what the tube tolerates, long before
//! the bolt.

use super::range::{self, MM, NM, OutOfRange};
use super::thread::stress_area;
use super::units::{Force, GRAVITY, Length, Torque, force, torque};

/// How a thread goes together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThreadState {
    /// Clean and dry.
    Dry,
    /// Oiled or greased.
    Oiled,
    /// With an anti-seize paste.
    AntiSeize,
    /// With a locking compound, wet when tightened.
    LockingCompound,
}

impl ThreadState {
    /// The nut factor K of the short torque formula, from least to greatest friction: a handbook range (from
    /// memory). 0.12 is a well oiled thread, 0.20 a dry one; a locking compound may be anywhere between.
    pub(crate) fn nut_factor(self) -> (f64, f64) {
        match self {
            ThreadState::Dry => (0.16, 0.20),
            ThreadState::Oiled | ThreadState::AntiSeize => (0.12, 0.16),
            ThreadState::LockingCompound => (0.12, 0.20),
        }
    }
}

/// The force that holds a joint together, as the range that the friction leaves open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preload {
    /// With the most friction.
    pub least: Force,
    /// With the least friction.
    pub greatest: Force,
}

/// The preload a torque makes.
///
/// Formula: F = T/(K·d). Source: the short form found in handbooks (from memory). Range: torque above zero,
/// at most 1000 N·m; diameter 1 to 100 mm.
///
/// ```
/// use benchleaf::bench::torque::{ThreadState, preload};
/// use benchleaf::bench::units::{millimetres, torque};
///
/// let dry = preload(torque(22.0), millimetres(8.0), ThreadState::Dry).unwrap();
/// let oiled = preload(torque(22.0), millimetres(8.0), ThreadState::Oiled).unwrap();
/// assert!(oiled.greatest > dry.greatest);
/// ```
pub fn preload(applied: Torque, diameter: Length, state: ThreadState) -> Result<Preload, OutOfRange> {
    let (slippery, rough) = state.nut_factor();
    Ok(Preload {
        least: preload_at(applied, diameter, rough)?,
        greatest: preload_at(applied, diameter, slippery)?,
    })
}

/// The preload a torque makes at one nut factor.
///
/// Formula: F = T/(K·d). Range: as [`preload`]; K 0.05 to 0.5.
///
/// ```
/// use benchleaf::bench::torque::preload_at;
/// use benchleaf::bench::units::{millimetres, torque};
///
/// let stretch = preload_at(torque(16.0), millimetres(8.0), 0.20).unwrap();
/// assert!((stretch.value - 10_000.0).abs() < 1e-6);
/// ```
pub fn preload_at(applied: Torque, diameter: Length, nut_factor: f64) -> Result<Force, OutOfRange> {
    let t = range::positive("torque", applied.value, NM, 1000.0)?;
    let d = range::within("thread diameter", diameter.value, MM, 1.0, 100.0)?;
    let k = range::within("nut factor", nut_factor, range::PLAIN, 0.05, 0.5)?;
    Ok(force(t / (k * d)))
}

/// The torque that makes a preload at one nut factor (the inverse of [`preload_at`]).
///
/// Range: force above zero, at most 2 MN; diameter and K as there.
///
/// ```
/// use benchleaf::bench::torque::torque_for;
/// use benchleaf::bench::units::{force, millimetres};
///
/// let torque = torque_for(force(10_000.0), millimetres(8.0), 0.20).unwrap();
/// assert!((torque.value - 16.0).abs() < 1e-9);
/// ```
pub fn torque_for(preload_needed: Force, diameter: Length, nut_factor: f64) -> Result<Torque, OutOfRange> {
    let f = range::positive("preload", preload_needed.value, range::NEWTON, 2e6)?;
    let d = range::within("thread diameter", diameter.value, MM, 1.0, 100.0)?;
    let k = range::within("nut factor", nut_factor, range::PLAIN, 0.05, 0.5)?;
    Ok(torque(f * k * d))
}

/// Stress under proof load by property class, MPa: ISO 898-1, table of mechanical properties (from memory of
/// the standard). Class 8.8 has 580 up to 16 mm and 600 above.
const PROOF_STRESS: &[(&str, f64)] = &[
    ("4.6", 225.0),
    ("4.8", 310.0),
    ("5.6", 280.0),
    ("5.8", 380.0),
    ("6.8", 440.0),
    ("8.8", 580.0),
    ("9.8", 650.0),
    ("10.9", 830.0),
    ("12.9", 970.0),
];

/// The force a bolt or screw of a property class carries without taking a set.
///
/// Formula: F_p = A_s·S_p. Source: ISO 898-1. Range: M1.6 to M39; classes 4.6 to 12.9 (9.8 up to M16), else
/// [`OutOfRange::NotInTable`]. The standard rounds its own table to three digits.
///
/// ```
/// use benchleaf::bench::torque::proof_load;
/// use benchleaf::bench::units::millimetres as mm;
///
/// assert!((proof_load("8.8", mm(8.0), mm(1.25)).unwrap().value - 21_200.0).abs() < 100.0);
/// assert!(proof_load("7.7", mm(8.0), mm(1.25)).is_err());
/// ```
pub fn proof_load(class: &str, diameter: Length, pitch: Length) -> Result<Force, OutOfRange> {
    let d = range::within("thread diameter", diameter.value, MM, 1.6, 39.0)?;
    let large = d > 0.016 * (1.0 + 1e-9);
    let row = PROOF_STRESS.iter().find(|row| row.0 == class).filter(|row| !(row.0 == "9.8" && large));
    let Some(&(name, stress)) = row else {
        return Err(OutOfRange::NotInTable { what: "ISO 898-1 property class", asked: class.to_string() });
    };
    let stress = if name == "8.8" && large { 600.0 } else { stress };
    Ok(force(stress_area(diameter, pitch)?.value * stress * 1e6))
}

/// The share of the proof load under which a bolt is hardly tightened (common practice, no source).
pub const LITTLE: f64 = 0.15;

/// How a torque stands against what its fastener carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strain {
    /// The preload it makes.
    pub preload: Preload,
    /// What the fastener carries.
    pub proof: Force,
}

impl Strain {
    /// Over the proof load whatever the friction.
    ///
    /// ```
    /// use benchleaf::bench::torque::{ThreadState, strain};
    /// use benchleaf::bench::units::{millimetres as mm, torque};
    ///
    /// let over = |newton_metres| {
    ///     strain(torque(newton_metres), "8.8", mm(8.0), mm(1.25), ThreadState::Dry).unwrap().certainly_over()
    /// };
    /// assert!(!over(22.0) && over(60.0));
    /// ```
    pub fn certainly_over(&self) -> bool {
        self.preload.least.value > self.proof.value
    }

    /// So little, even if the thread runs as easily as it may, that the number or its unit is in question: under
    /// [`LITTLE`] of the proof load.
    ///
    /// ```
    /// use benchleaf::bench::torque::{ThreadState, strain};
    /// use benchleaf::bench::units::{millimetres as mm, torque};
    ///
    /// let little = |newton_metres| {
    ///     strain(torque(newton_metres), "8.8", mm(8.0), mm(1.25), ThreadState::Dry).unwrap().is_little()
    /// };
    /// assert!(!little(18.0) && little(2.0));
    /// ```
    pub fn is_little(&self) -> bool {
        self.preload.greatest.value < LITTLE * self.proof.value
    }

    /// Over the proof load if the thread runs as easily as it may.
    pub(crate) fn possibly_over(&self) -> bool {
        self.preload.greatest.value > self.proof.value
    }
}

/// The preload of a torque beside the proof load of its fastener.
///
/// Range: as [`preload`] and [`proof_load`].
///
/// ```
/// use benchleaf::bench::torque::{ThreadState, strain};
/// use benchleaf::bench::units::{millimetres as mm, torque};
///
/// let strain = strain(torque(22.0), "8.8", mm(8.0), mm(1.25), ThreadState::Dry).unwrap();
/// assert!(strain.preload.greatest < strain.proof);
/// ```
pub fn strain(
    applied: Torque,
    class: &str,
    diameter: Length,
    pitch: Length,
    state: ThreadState,
) -> Result<Strain, OutOfRange> {
    Ok(Strain { preload: preload(applied, diameter, state)?, proof: proof_load(class, diameter, pitch)? })
}

/// A mistaken unit: the number was meant in one and labelled as another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// The unit the number was probably meant in.
    pub meant: &'static str,
    /// The torque that would then be right.
    pub would_be: Torque,
}

/// Torque units that sheets print, in newton metres (NIST SP 811, appendix B): the trade's slips happen
/// among these.
const TORQUE_UNITS: &[(&str, f64)] = &[
    ("N·m", 1.0),
    ("lbf·ft", 1.355_817_948_331_400_4),
    ("lbf·in", 0.112_984_829_027_616_7),
    ("kgf·cm", GRAVITY / 100.0),
    ("kgf·m", GRAVITY),
];

/// The likeliest unit slip behind a torque that is over a fastener's proof load, or that hardly tightens it: the
/// reading nearest to what is written that brings the least preload, that of a rough thread, to between a twentieth
/// and the whole of the proof load.
///
/// A torque that is neither gives `None`. `labelled` is the unit as written (`N·m`, `lbf·ft`, `lbf·in`, `kgf·cm` or `kgf·m`); another one, or no
/// reading that fits, gives `None`. Range: as [`strain`].
///
/// ```
/// use benchleaf::bench::torque::{ThreadState, likeliest_slip};
/// use benchleaf::bench::units::{millimetres as mm, torque};
///
/// // 190 N·m on an M8 bolt was 190 lbf·in.
/// let slip = likeliest_slip(torque(190.0), "N·m", "8.8", mm(8.0), mm(1.25), ThreadState::Dry).unwrap();
/// assert_eq!(slip.unwrap().meant, "lbf·in");
/// ```
pub fn likeliest_slip(
    applied: Torque,
    labelled: &str,
    class: &str,
    diameter: Length,
    pitch: Length,
    state: ThreadState,
) -> Result<Option<Slip>, OutOfRange> {
    let proof = proof_load(class, diameter, pitch)?.value;
    let Some(unit) = TORQUE_UNITS.iter().find(|unit| unit.0 == labelled) else { return Ok(None) };
    let found = strain(applied, class, diameter, pitch, state)?;
    if !found.certainly_over() && !found.is_little() {
        return Ok(None);
    }
    let over = found.certainly_over();
    let mut best: Option<Slip> = None;
    for &(meant, factor) in TORQUE_UNITS {
        let would_be = torque(applied.value / unit.1 * factor);
        if meant == labelled || (would_be.value < applied.value) != over {
            continue;
        }
        let Ok(made) = preload(would_be, diameter, state) else { continue };
        let share = made.least.value / proof;
        let fits = (0.05..=1.0).contains(&share);
        let nearer = |slip: Slip| (would_be.value > slip.would_be.value) == over;
        if fits && best.is_none_or(nearer) {
            best = Some(Slip { meant, would_be });
        }
    }
    Ok(best)
}
