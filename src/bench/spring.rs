//! Springs: rates in segments, coil bind, the top-out spring, and the force that is stored in them.
//!
//! A rate is a force per length, carried in [`SpringRate`].

use super::range::{self, GPA, GRAM, KG_PER_M3, MM, N_PER_MM, OutOfRange};
use super::units::{
    Force, GRAVITY, Length, Mass, Pressure, SpringRate, Volume, force, length, spring_rate, volume,
};

/// Shear modulus of spring steel, pascals: 79.3 GPa, a handbook figure for chrome-silicon and carbon spring
/// wire (from memory).
pub const STEEL_SHEAR_MODULUS: f64 = 79.3e9;

/// Density of spring steel, kg/m³: 7850, a handbook figure (from memory).
pub const STEEL_DENSITY: f64 = 7850.0;

/// How a spring is wound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Winding {
    /// All coils alike: the rate follows from the wire.
    Even,
    /// Coils of different pitch or diameter: the rate changes, and must be given in segments.
    Progressive,
}

/// The rate of a helical compression spring from its wire.
///
/// Formula: k = G·d⁴/(8·D³·N), D the mean diameter (outside − wire), N the active coils. Source: Shigley's
/// Mechanical Engineering Design, chapter on mechanical springs. Range: wire 0.5 to 20 mm, D/d 3 to 20, N 1
/// to 200, G 20 to 120 GPa; a progressive spring is refused, because its coils close one after another.
///
/// ```
/// use benchleaf::bench::spring::{STEEL_SHEAR_MODULUS, Winding, rate_from_wire};
/// use benchleaf::bench::units::{millimetres, pressure};
///
/// let rate = |winding| {
///     let steel = pressure(STEEL_SHEAR_MODULUS);
///     rate_from_wire(millimetres(4.5), millimetres(31.5), 14.0, steel, winding)
/// };
/// assert!((rate(Winding::Even).unwrap().value / 1e3 - 9.29).abs() < 0.01);
/// assert!(rate(Winding::Progressive).is_err());
/// ```
pub fn rate_from_wire(
    wire: Length,
    mean_diameter: Length,
    active_coils: f64,
    shear_modulus: Pressure,
    winding: Winding,
) -> Result<SpringRate, OutOfRange> {
    if winding == Winding::Progressive {
        return Err(OutOfRange::Unreachable {
            why: "a progressive spring has no single rate: measure it and give its segments",
        });
    }
    let d = range::within("wire diameter", wire.value, MM, 0.5, 20.0)?;
    let mean = range::positive("mean coil diameter", mean_diameter.value, MM, 400.0)?;
    range::within("mean coil diameter over wire diameter", mean / d, range::PLAIN, 3.0, 20.0)?;
    let coils = range::within("number of active coils", active_coils, range::PLAIN, 1.0, 200.0)?;
    let g = range::within("shear modulus", shear_modulus.value, GPA, 20.0, 120.0)?;
    Ok(spring_rate(g * d * d * d * d / (8.0 * mean * mean * mean * coils)))
}

/// The volume of steel in a spring, from its mass.
///
/// Formula: V = m/ρ. Range: mass above zero, at most 5 kg; density 1000 to 20000 kg/m³.
///
/// ```
/// use benchleaf::bench::spring::{STEEL_DENSITY, volume_from_mass};
/// use benchleaf::bench::units::mass;
///
/// let steel = volume_from_mass(mass(0.314), STEEL_DENSITY).unwrap();
/// assert!((steel.value - 40e-6).abs() < 1e-9);
/// ```
pub fn volume_from_mass(weight: Mass, density: f64) -> Result<Volume, OutOfRange> {
    let m = range::positive("mass of the spring", weight.value, GRAM, 5000.0)?;
    let rho = range::within("density of the material", density, KG_PER_M3, 1000.0, 20_000.0)?;
    Ok(volume(m / rho))
}

/// The volume of steel in a spring, from its wire: wire area × wire length, the length one mean circumference
/// a coil (total coils, dead ones too).
///
/// Formula: V = π/4·d²·π·D·N. The coil's slope is left out (under 1 % for a fork spring). Range: as
/// [`rate_from_wire`].
///
/// ```
/// use benchleaf::bench::spring::volume_from_wire;
/// use benchleaf::bench::units::millimetres;
///
/// let steel = |coils| volume_from_wire(millimetres(4.5), millimetres(31.5), coils).unwrap();
/// assert!((steel(20.0).value - 2.0 * steel(10.0).value).abs() < 1e-12);
/// ```
pub fn volume_from_wire(wire: Length, mean_diameter: Length, total_coils: f64) -> Result<Volume, OutOfRange> {
    let d = range::within("wire diameter", wire.value, MM, 0.5, 20.0)?;
    let mean = range::positive("mean coil diameter", mean_diameter.value, MM, 400.0)?;
    range::within("mean coil diameter over wire diameter", mean / d, range::PLAIN, 3.0, 20.0)?;
    let coils = range::within("number of coils", total_coils, range::PLAIN, 1.0, 400.0)?;
    let pi = core::f64::consts::PI;
    Ok(volume(pi / 4.0 * d * d * pi * mean * coils))
}

/// A spring as its rates: each holds from where the one before ended up to a compression, the last to the end.
#[derive(Debug, Clone, PartialEq)]
pub struct Spring {
    // Rate, and the compression up to which it holds.
    segments: Vec<(f64, f64)>,
}

/// The most a spring in a fork is squeezed: 600 mm.
const MOST_SQUEEZE: f64 = 600.0;

impl Spring {
    /// A spring with one rate. Range: above zero, at most 200 N/mm.
    ///
    /// ```
    /// use benchleaf::bench::spring::Spring;
    /// use benchleaf::bench::units::{millimetres, newtons_per_millimetre};
    ///
    /// let spring = Spring::linear(newtons_per_millimetre(9.0)).unwrap();
    /// assert!((spring.force_at(millimetres(30.0)).unwrap().value - 270.0).abs() < 1e-9);
    /// ```
    pub fn linear(rate: SpringRate) -> Result<Spring, OutOfRange> {
        Spring::in_segments(&[(rate, None)])
    }

    /// A spring in segments: rate and the compression at which it ends (absent for the last).
    ///
    /// Range: rates above zero, at most 200 N/mm; compressions grow; only the last segment is open.
    ///
    /// ```
    /// use benchleaf::bench::spring::Spring;
    /// use benchleaf::bench::units::{millimetres, newtons_per_millimetre as rate};
    ///
    /// let spring = Spring::in_segments(&[(rate(8.0), Some(millimetres(50.0))), (rate(12.0), None)]).unwrap();
    /// // 50 mm at 8 N/mm, and 10 mm at 12 N/mm.
    /// assert!((spring.force_at(millimetres(60.0)).unwrap().value - 520.0).abs() < 1e-9);
    /// ```
    pub fn in_segments(segments: &[(SpringRate, Option<Length>)]) -> Result<Spring, OutOfRange> {
        let mut list: Vec<(f64, f64)> = Vec::new();
        for (index, (rate, until)) in segments.iter().enumerate() {
            let rate = range::positive("spring rate", rate.value, N_PER_MM, 200.0)?;
            let until = match until {
                Some(until) => range::positive("end of a spring segment", until.value, MM, MOST_SQUEEZE)?,
                None if index + 1 == segments.len() => f64::INFINITY,
                None => return Err(OutOfRange::Sections { what: "spring rate" }),
            };
            if list.last().is_some_and(|before| until <= before.1) {
                return Err(OutOfRange::Sections { what: "spring rate" });
            }
            list.push((rate, until));
        }
        if list.is_empty() {
            return Err(OutOfRange::Sections { what: "spring rate" });
        }
        Ok(Spring { segments: list })
    }

    /// The force at a compression. Beyond the end of a closed list the last rate goes on.
    ///
    /// Formula: F = Σ k·Δ over the segments. Range: compression 0 to 600 mm.
    ///
    /// ```
    /// use benchleaf::bench::spring::Spring;
    /// use benchleaf::bench::units::{force, millimetres, newtons_per_millimetre};
    ///
    /// let spring = Spring::linear(newtons_per_millimetre(9.0)).unwrap();
    /// assert_eq!(spring.force_at(millimetres(0.0)), Ok(force(0.0)));
    /// ```
    pub fn force_at(&self, compression: Length) -> Result<Force, OutOfRange> {
        let x = range::not_negative("compression of the spring", compression.value, MM, MOST_SQUEEZE)?;
        let (mut sum, mut from) = (0.0, 0.0);
        for (index, &(rate, until)) in self.segments.iter().enumerate() {
            let to = if index + 1 == self.segments.len() { x } else { x.min(until) };
            if to <= from {
                break;
            }
            sum += rate * (to - from);
            from = to;
        }
        Ok(force(sum))
    }

    /// The rate at a compression; at the end of a segment the earlier one counts.
    ///
    /// Range: as [`Spring::force_at`].
    pub(crate) fn rate_at(&self, compression: Length) -> Result<SpringRate, OutOfRange> {
        let x = range::not_negative("compression of the spring", compression.value, MM, MOST_SQUEEZE)?;
        let segment_there = self.segments.iter().find(|segment| x <= segment.1).or(self.segments.last());
        segment_there
            .map(|segment| spring_rate(segment.0))
            .ok_or(OutOfRange::Sections { what: "spring rate" })
    }

    /// The compression at which the spring pushes with a force: the inverse of [`Spring::force_at`].
    ///
    /// Range: force zero or more, reached within 600 mm.
    ///
    /// ```
    /// use benchleaf::bench::spring::Spring;
    /// use benchleaf::bench::units::{force, newtons_per_millimetre};
    ///
    /// let spring = Spring::linear(newtons_per_millimetre(9.0)).unwrap();
    /// assert!((spring.compression_for(force(270.0)).unwrap().value - 0.030).abs() < 1e-12);
    /// ```
    pub fn compression_for(&self, force_needed: Force) -> Result<Length, OutOfRange> {
        let mut left =
            range::not_negative("force on the spring", force_needed.value, range::NEWTON, 200_000.0)?;
        let mut from = 0.0;
        let last = self.segments.len() - 1;
        for (index, &(rate, until)) in self.segments.iter().enumerate() {
            let room = rate * (until - from);
            if left <= room || index == last {
                let x = from + left / rate;
                if x > MOST_SQUEEZE / 1000.0 * (1.0 + 1e-12) {
                    break;
                }
                return Ok(length(x));
            }
            left -= room;
            from = until;
        }
        Err(OutOfRange::Unreachable { why: "the spring would have to be squeezed by more than 600 mm" })
    }
}

/// How a spring stands at full travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilBind {
    /// Length in the extended leg: free length − preload.
    pub fitted: Length,
    /// Length at full travel.
    pub least: Length,
    /// What is left before the coils touch; negative when they touch before full travel.
    pub margin: Length,
}

impl CoilBind {
    /// Whether the coils touch at or before full travel.
    ///
    /// ```
    /// use benchleaf::bench::spring::coil_bind;
    /// use benchleaf::bench::units::millimetres as mm;
    ///
    /// assert!(!coil_bind(mm(350.0), mm(15.0), mm(120.0), mm(200.0)).unwrap().binds());
    /// assert!(coil_bind(mm(350.0), mm(15.0), mm(140.0), mm(200.0)).unwrap().binds());
    /// ```
    pub fn binds(&self) -> bool {
        self.margin.value <= 0.0
    }
}

/// Whether the coils touch before full travel.
///
/// Formula: margin = free − greatest preload − stroke − solid. Range: lengths 0 to 1 m, solid < free,
/// preload less than the free length.
///
/// ```
/// use benchleaf::bench::spring::coil_bind;
/// use benchleaf::bench::units::millimetres as mm;
///
/// let room = coil_bind(mm(350.0), mm(15.0), mm(120.0), mm(200.0)).unwrap();
/// assert!((room.margin.value - 0.015).abs() < 1e-12);
/// ```
pub fn coil_bind(
    free: Length,
    greatest_preload: Length,
    stroke: Length,
    solid: Length,
) -> Result<CoilBind, OutOfRange> {
    let free = range::positive("free length of the spring", free.value, MM, 1000.0)?;
    let preload = range::not_negative("preload", greatest_preload.value, MM, 1000.0)?;
    let stroke = range::positive("stroke", stroke.value, MM, 500.0)?;
    let solid = range::positive("solid length of the spring", solid.value, MM, 1000.0)?;
    if solid >= free {
        return Err(OutOfRange::Contradiction {
            more: "free length of the spring",
            less: "solid length of the spring",
        });
    }
    if preload >= free {
        return Err(OutOfRange::Contradiction { more: "free length of the spring", less: "preload" });
    }
    let fitted = free - preload;
    let least = fitted - stroke;
    Ok(CoilBind { fitted: length(fitted), least: length(least), margin: length(least - solid) })
}

/// A short spring or stop that acts over the last part of a movement: the top-out spring near full extension,
/// the bottoming stop near full travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndSpring {
    rate: f64,
    acts_over: f64,
}

impl EndSpring {
    /// Its rate, and the length over which it acts.
    ///
    /// Range: rate above zero, at most 2000 N/mm; length above zero, at most 200 mm.
    ///
    /// ```
    /// use benchleaf::bench::spring::EndSpring;
    /// use benchleaf::bench::units::{millimetres, newtons_per_millimetre};
    ///
    /// assert!(EndSpring::new(newtons_per_millimetre(40.0), millimetres(12.0)).is_ok());
    /// assert!(EndSpring::new(newtons_per_millimetre(0.0), millimetres(12.0)).is_err());
    /// ```
    pub fn new(rate: SpringRate, acts_over: Length) -> Result<EndSpring, OutOfRange> {
        Ok(EndSpring {
            rate: range::positive("rate of the stop", rate.value, N_PER_MM, 2000.0)?,
            acts_over: range::positive("length over which the stop acts", acts_over.value, MM, 200.0)?,
        })
    }

    /// The force when `left` of the movement remains before its end: k·(length − left), zero before it acts.
    ///
    /// Range: `left` zero or more, at most 1 m.
    pub(crate) fn force_with(&self, left: Length) -> Result<Force, OutOfRange> {
        let left = range::not_negative("movement left", left.value, MM, 1000.0)?;
        Ok(force(self.rate * (self.acts_over - left).max(0.0)))
    }
}

/// A force in the three units a caution prints.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StoredForce {
    /// The force.
    pub force: Force,
    /// The same in pounds-force.
    pub pounds_force: f64,
    /// The same in kilograms-force.
    pub kilograms_force: f64,
}

/// One pound-force in newtons, 4.4482216152605 exactly (NIST SP 811, appendix B).
pub const POUND_FORCE: f64 = 4.448_221_615_260_5;

impl StoredForce {
    /// A force with its other two units.
    pub(crate) fn of(held: Force) -> StoredForce {
        StoredForce {
            force: held,
            pounds_force: held.value / POUND_FORCE,
            kilograms_force: held.value / GRAVITY,
        }
    }
}

/// The force a spring holds while a tool squeezes it for work on the rod nut.
///
/// Formula: F at preload + tool stroke. Range: both zero or more, together at most 600 mm.
///
/// ```
/// use benchleaf::bench::spring::{Spring, held_by_tool};
/// use benchleaf::bench::units::{millimetres, newtons_per_millimetre};
///
/// let spring = Spring::linear(newtons_per_millimetre(9.0)).unwrap();
/// let held = held_by_tool(&spring, millimetres(15.0), millimetres(30.0)).unwrap();
/// assert!((held.force.value - 405.0).abs() < 1e-9 && (held.pounds_force - 91.0).abs() < 0.1);
/// ```
pub fn held_by_tool(spring: &Spring, preload: Length, tool: Length) -> Result<StoredForce, OutOfRange> {
    let preload = range::not_negative("preload", preload.value, MM, MOST_SQUEEZE)?;
    let tool = range::not_negative("stroke of the spring tool", tool.value, MM, MOST_SQUEEZE)?;
    Ok(StoredForce::of(spring.force_at(length(preload + tool))?))
}

/// What air shut in at a gauge pressure pushes on the whole of a cap.
///
/// Formula: F = p·A. Range: gauge pressure 0 to 5 MPa; cap 10 to 80 mm.
///
/// ```
/// use benchleaf::bench::spring::air_on_cap;
/// use benchleaf::bench::units::{millimetres, pressure};
///
/// let pushes = |kpa: f64| air_on_cap(pressure(kpa * 1e3), millimetres(40.0)).unwrap().value;
/// assert!((pushes(100.0) - 125.66).abs() < 0.01 && pushes(0.0) == 0.0);
/// ```
pub fn air_on_cap(gauge: Pressure, cap: Length) -> Result<Force, OutOfRange> {
    let gauge = range::not_negative("trapped pressure", gauge.value, range::KPA, 5000.0)?;
    range::within("diameter of the cap", cap.value, MM, 10.0, 80.0)?;
    Ok(force(gauge * super::oil::disc("diameter of the cap", cap)?.value))
}
