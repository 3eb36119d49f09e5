//! Chambers that are closed from the start: round a cartridge or an air unit, of an air spring; and gas on a rod.

use super::chamber::{Chamber, SLOW};
use crate::bench::oil::{Surface, disc};
use crate::bench::range::{self, KPA, MM, NEWTON, OutOfRange};
use crate::bench::units::{Force, Length, Pressure, Volume, area, force, length, volume};

/// The outer chamber of a leg whose closed cartridge hangs from the cap: it starts from a measured air
/// volume, and the cartridge rod takes part of the sealed tube's area.
///
/// Formula: area = A_t − A_rod. Range: tube 15 to 80 mm, rod 0 up to less than the tube; as
/// [`Chamber::shrinking`].
///
/// ```
/// use benchleaf::bench::air::outer_chamber;
/// use benchleaf::bench::units::{ATMOSPHERE, millilitres, millimetres, pressure};
///
/// let outer = |rod| outer_chamber(millilitres(600.0), millimetres(48.0), millimetres(rod), pressure(ATMOSPHERE));
/// // The rod takes part of the tube's area.
/// assert!(outer(14.0).unwrap().area() < outer(0.0).unwrap().area());
/// assert!(outer(50.0).is_err());
/// ```
pub fn outer_chamber(air: Volume, tube: Length, rod: Length, start: Pressure) -> Result<Chamber, OutOfRange> {
    range::within("stanchion diameter", tube.value, MM, 15.0, 80.0)?;
    let rod = range::not_negative("cartridge rod", rod.value, MM, 80.0)?;
    if rod >= tube.value {
        return Err(OutOfRange::Contradiction { more: "stanchion diameter", less: "cartridge rod" });
    }
    let swept = disc("stanchion diameter", tube)?.value - core::f64::consts::FRAC_PI_4 * rod * rod;
    Chamber::shrinking(air, area(swept), start)
}

/// The force with which the gas of a cartridge pushes its rod out.
///
/// Formula: F = p·A, p over the atmosphere. Range: gauge pressure 0 to 5 MPa, rod 3 to 40 mm. Assumption: the
/// pressure with the rod out; pushed in, the gas is squeezed and pushes harder.
///
/// ```
/// use benchleaf::bench::air::gas_on_rod;
/// use benchleaf::bench::units::{length, pressure};
///
/// let push = gas_on_rod(pressure(400e3), length(0.010)).unwrap();
/// assert!((push.value - 31.4).abs() < 0.1);
/// ```
pub fn gas_on_rod(gauge: Pressure, rod: Length) -> Result<Force, OutOfRange> {
    let gauge = range::not_negative("gas pressure", gauge.value, KPA, 5000.0)?;
    let rod = range::within("rod the gas pushes on", rod.value, MM, 3.0, 40.0)?;
    Ok(force(gauge * core::f64::consts::FRAC_PI_4 * rod * rod))
}

/// An air-spring leg: a main chamber, and where the maker fits them a balance chamber and further ones.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSpring {
    /// The chambers, each shrinking or growing with travel.
    pub chambers: Vec<Chamber>,
}

impl AirSpring {
    /// The force with which the leg's air pushes it out at a travel, for a gas exponent n: the sum of its
    /// chambers.
    ///
    /// Range: at least one chamber; as [`Chamber::force_at`].
    ///
    /// ```
    /// use benchleaf::bench::air::{AirSpring, Chamber, SLOW};
    /// use benchleaf::bench::units::{area, length, millilitres, pressure};
    ///
    /// let main = Chamber::shrinking(millilitres(200.0), area(1e-3), pressure(900e3)).unwrap();
    /// let balance = Chamber::growing(millilitres(50.0), area(1e-3), pressure(900e3)).unwrap();
    /// let spring = AirSpring { chambers: vec![main, balance] };
    /// // Extended, the two hold each other.
    /// assert!(spring.force_at(length(0.0), SLOW).unwrap().value.abs() < 1e-9);
    /// ```
    pub fn force_at(&self, travel: Length, n: f64) -> Result<Force, OutOfRange> {
        if self.chambers.is_empty() {
            return Err(OutOfRange::Unreachable { why: "an air spring needs at least one chamber" });
        }
        self.chambers.iter().try_fold(force(0.0), |sum, chamber| Ok(sum + chamber.force_at(travel, n)?))
    }

    /// How far the leg draws itself in, its air and what pulls it out holding each other: a balance chamber that grows
    /// pulls, the other chambers and a force pull it out.
    ///
    /// Formula: the travel at which the sum of the chambers at n = 1.0 and the force is nothing. Zero where the leg stays
    /// out, the stroke where it goes in whole. Range: the force 0 to 100 kN, the stroke above zero, at most 500 mm; as
    /// [`AirSpring::force_at`].
    ///
    /// ```
    /// use benchleaf::bench::air::{AirSpring, Chamber};
    /// use benchleaf::bench::units::{area, force, length, millilitres, pressure};
    ///
    /// let balance = Chamber::growing(millilitres(50.0), area(1e-3), pressure(900e3)).unwrap();
    /// let alone = AirSpring { chambers: vec![balance] };
    /// // Nothing holds it: it goes in whole. Held by more than it pulls, it stays out.
    /// assert_eq!(alone.drawn_in(force(0.0), length(0.3)), Ok(length(0.3)));
    /// assert_eq!(alone.drawn_in(force(900.0), length(0.3)), Ok(length(0.0)));
    /// ```
    pub fn drawn_in(&self, out: Force, stroke: Length) -> Result<Length, OutOfRange> {
        let out = range::not_negative("force that pulls the leg out", out.value, NEWTON, 100_000.0)?;
        let stroke = range::positive("stroke", stroke.value, MM, 500.0)?;
        // A chamber without air left stops the leg.
        let pulls_in = |travel: f64| match self.force_at(length(travel), SLOW) {
            Ok(push) => Ok(push.value + out < 0.0),
            Err(OutOfRange::Locked { .. }) => Ok(false),
            Err(other) => Err(other),
        };
        if !pulls_in(0.0)? {
            return Ok(length(0.0));
        }
        if pulls_in(stroke)? {
            return Ok(length(stroke));
        }
        let (mut goes, mut stops) = (0.0, stroke);
        for _ in 0..60 {
            let middle = f64::midpoint(goes, stops);
            if pulls_in(middle)? {
                goes = middle;
            } else {
                stops = middle;
            }
        }
        Ok(length(stops))
    }
}

/// One length of a chamber: a bore, what stands in it, and how long it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChamberSection {
    /// The bore.
    pub bore: Length,
    /// The outside diameter of what stands in it; zero when nothing does.
    pub through: Length,
    /// The length.
    pub length: Length,
}

/// The volume of a chamber from its sections.
///
/// Range: bores 5 to 200 mm, lengths above zero, at most 1 m; what stands in a bore is thinner than it.
///
/// ```
/// use benchleaf::bench::air::{ChamberSection, chamber_volume};
/// use benchleaf::bench::units::millimetres;
///
/// let section = ChamberSection {
///     bore: millimetres(40.0),
///     through: millimetres(0.0),
///     length: millimetres(100.0),
/// };
/// let whole = chamber_volume(&[section, section]).unwrap();
/// assert!((whole.value - 251.3e-6).abs() < 0.1e-6);
/// ```
pub fn chamber_volume(sections: &[ChamberSection]) -> Result<Volume, OutOfRange> {
    if sections.is_empty() {
        return Err(OutOfRange::Sections { what: "chamber" });
    }
    sections.iter().try_fold(volume(0.0), |sum, section| {
        let long = range::positive("length of a chamber section", section.length.value, MM, 1000.0)?;
        let ring = Surface::plain(section.bore, section.through)?.slope_at(length(0.0))?;
        Ok(sum + volume(ring.value * long))
    })
}
