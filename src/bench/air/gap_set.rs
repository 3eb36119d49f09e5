//! The air of a leg whose oil is set by a gap or a level, at the bench and on the road.

use super::chamber::Chamber;
use crate::bench::oil::{Surface, disc};
use crate::bench::range::{self, KPA, ML, MM, OutOfRange};
use crate::bench::units::{
    ATMOSPHERE, Force, Length, Pressure, ThermodynamicTemperature, Volume, length, volume,
};

/// A leg whose oil is set by a gap, measured at full collapse with the spring out.
#[derive(Debug, Clone, PartialEq)]
pub struct GapSetLeg {
    /// The oil's surface from the edge the gap is measured from.
    pub surface: Surface,
    /// The gap.
    pub gap: Length,
    /// Everything that goes in after the gap is set: spring steel, spacer, what the cap takes up.
    pub inserted: Volume,
    /// The outside diameter of the sealed tube, the stanchion.
    pub tube: Length,
    /// The stroke.
    pub stroke: Length,
    /// Absolute pressure with the leg extended: the atmosphere, or more when the leg is charged.
    pub start: Pressure,
}

impl GapSetLeg {
    /// The air volume at full collapse with the cap on: V_c = space above the oil − inserted. Negative when
    /// what goes in takes more room than the gap holds.
    ///
    /// Range: gap inside the tube; inserted 0 to 5 L.
    ///
    /// ```
    /// use benchleaf::bench::air::GapSetLeg;
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, millilitres, millimetres, pressure};
    ///
    /// let leg = GapSetLeg {
    ///     surface: Surface::measured(area(1.2e-3)).unwrap(),
    ///     gap: millimetres(100.0),
    ///     inserted: millilitres(45.0),
    ///     tube: millimetres(41.0),
    ///     stroke: millimetres(120.0),
    ///     start: pressure(ATMOSPHERE),
    /// };
    /// assert!((leg.closed_volume().unwrap().value - 75e-6).abs() < 1e-12);
    /// ```
    pub fn closed_volume(&self) -> Result<Volume, OutOfRange> {
        let space = self.surface.between(length(0.0), self.gap)?;
        range::not_negative("volume of the parts put in", self.inserted.value, ML, 5000.0)?;
        Ok(space - self.inserted)
    }

    /// The leg's air as a chamber: V_e = V_c + A_t·S.
    ///
    /// Range: tube 15 to 80 mm, stroke above zero, at most 500 mm, pressure as [`Chamber::shrinking`]. A leg
    /// with no air even when extended is [`OutOfRange::Locked`].
    ///
    /// ```
    /// use benchleaf::bench::air::GapSetLeg;
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, millilitres, millimetres, pressure};
    ///
    /// let leg = GapSetLeg {
    ///     surface: Surface::measured(area(1.2e-3)).unwrap(),
    ///     gap: millimetres(100.0),
    ///     inserted: millilitres(45.0),
    ///     tube: millimetres(41.0),
    ///     stroke: millimetres(120.0),
    ///     start: pressure(ATMOSPHERE),
    /// };
    /// let chamber = leg.chamber().unwrap();
    /// let closed = chamber.volume_at(leg.stroke).unwrap();
    /// assert!((closed.value - leg.closed_volume().unwrap().value).abs() < 1e-12);
    /// ```
    pub fn chamber(&self) -> Result<Chamber, OutOfRange> {
        range::within("stanchion diameter", self.tube.value, MM, 15.0, 80.0)?;
        let area = disc("stanchion diameter", self.tube)?;
        let stroke = range::positive("stroke", self.stroke.value, MM, 500.0)?;
        let extended = self.closed_volume()?.value + area.value * stroke;
        if extended <= 0.0 {
            return Err(OutOfRange::Locked { travel: 0.0 });
        }
        Chamber::shrinking(volume(extended), area, self.start)
    }

    /// The gap at which the leg begins to lock before full travel: where the space above the oil is just what
    /// the parts take up.
    ///
    /// ```
    /// use benchleaf::bench::air::GapSetLeg;
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, millilitres, millimetres, pressure};
    ///
    /// let leg = GapSetLeg {
    ///     surface: Surface::measured(area(1.2e-3)).unwrap(),
    ///     gap: millimetres(100.0),
    ///     inserted: millilitres(48.0),
    ///     tube: millimetres(41.0),
    ///     stroke: millimetres(120.0),
    ///     start: pressure(ATMOSPHERE),
    /// };
    /// // 48 mL of parts fill 40 mm of this leg.
    /// assert!((leg.gap_that_locks().unwrap().value - 0.040).abs() < 1e-9);
    /// ```
    pub fn gap_that_locks(&self) -> Result<Length, OutOfRange> {
        self.surface.depth_holding(self.inserted)
    }

    /// The gap at which the air pushes with `limit` at full travel, for a gas exponent n. A smaller gap pushes
    /// harder.
    ///
    /// Formula: r = (p_limit/p₀)^(1/n), V_c = A_t·S/(r − 1). Range: limit above the force that the charged leg
    /// already has when extended; as [`GapSetLeg::chamber`].
    ///
    /// ```
    /// use benchleaf::bench::air::{GapSetLeg, SLOW};
    /// use benchleaf::bench::oil::Surface;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, force, millilitres, millimetres, pressure};
    ///
    /// let leg = GapSetLeg {
    ///     surface: Surface::measured(area(1.2e-3)).unwrap(),
    ///     gap: millimetres(100.0),
    ///     inserted: millilitres(45.0),
    ///     tube: millimetres(41.0),
    ///     stroke: millimetres(120.0),
    ///     start: pressure(ATMOSPHERE),
    /// };
    /// let gap = leg.gap_for_force(force(400.0), SLOW).unwrap();
    /// let set = GapSetLeg { gap, ..leg.clone() };
    /// let push = set.chamber().unwrap().force_at(set.stroke, SLOW).unwrap();
    /// assert!((push.value - 400.0).abs() < 1e-6);
    /// ```
    pub fn gap_for_force(&self, limit: Force, n: f64) -> Result<Length, OutOfRange> {
        let limit = range::positive("limit of the air force", limit.value, range::NEWTON, 100_000.0)?;
        let n = range::within("gas exponent", n, range::PLAIN, 1.0, 1.67)?;
        let start = range::within("absolute air pressure", self.start.value, KPA, 10.0, 10_000.0)?;
        range::within("stanchion diameter", self.tube.value, MM, 15.0, 80.0)?;
        let tube = disc("stanchion diameter", self.tube)?.value;
        let stroke = range::positive("stroke", self.stroke.value, MM, 500.0)?;
        range::not_negative("volume of the parts put in", self.inserted.value, ML, 5000.0)?;
        let ratio = libm::pow((limit / tube + ATMOSPHERE) / start, 1.0 / n);
        if ratio <= 1.0 + 1e-6 {
            return Err(OutOfRange::Unreachable {
                why: "the charged leg pushes harder than the limit before it has moved",
            });
        }
        self.surface.depth_holding(self.inserted + volume(tube * stroke / (ratio - 1.0)))
    }
}

/// What a leg's air and oil go through between the bench and the road.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warming {
    /// The temperature the gap was set at, with the cap closed there.
    pub from: ThermodynamicTemperature,
    /// The temperature it works at.
    pub to: ThermodynamicTemperature,
    /// How much the leg's whole oil grows between them.
    pub growth: Volume,
}

impl GapSetLeg {
    /// The gap, read at the bench, at which the warm leg's air pushes with `limit` at full travel, slowly.
    ///
    /// Formula: with R = (F/A + p_atm)/(p₀·T₂/T₁), V_c = (A·S + R·growth)/(R − 1). Range: as
    /// [`GapSetLeg::gap_for_force`] and [`Chamber::warmed`].
    pub(crate) fn gap_for_force_warm(&self, limit: Force, warming: &Warming) -> Result<Length, OutOfRange> {
        let limit = range::positive("limit of the air force", limit.value, range::NEWTON, 100_000.0)?;
        let start = range::within("absolute air pressure", self.start.value, KPA, 10.0, 10_000.0)?;
        range::within("stanchion diameter", self.tube.value, MM, 15.0, 80.0)?;
        let tube = disc("stanchion diameter", self.tube)?.value;
        let stroke = range::positive("stroke", self.stroke.value, MM, 500.0)?;
        let inserted = range::not_negative("volume of the parts put in", self.inserted.value, ML, 5000.0)?;
        let from = range::temperature("bench temperature", warming.from.value)?;
        let to = range::temperature("working temperature", warming.to.value)?;
        let growth = range::within("growth of the oil", warming.growth.value, ML, -5000.0, 5000.0)?;
        let ratio = (limit / tube + ATMOSPHERE) / (start * to / from);
        if ratio <= 1.0 + 1e-6 {
            return Err(OutOfRange::Unreachable {
                why: "the charged leg pushes harder than the limit before it has moved",
            });
        }
        let closed = (tube * stroke + ratio * growth) / (ratio - 1.0);
        self.surface.depth_holding(volume((inserted + closed).max(0.0)))
    }

    /// The gap, read at the bench, at which the warm leg begins to lock before full travel.
    pub(crate) fn gap_that_locks_warm(&self, warming: &Warming) -> Result<Length, OutOfRange> {
        self.surface.depth_holding(volume((self.inserted + warming.growth).value.max(0.0)))
    }

    /// The leg's air at its working temperature.
    ///
    /// Range: as [`GapSetLeg::chamber`] and [`Chamber::warmed`].
    pub(crate) fn warm_chamber(&self, warming: &Warming) -> Result<Chamber, OutOfRange> {
        self.chamber()?.warmed(warming.from, warming.to, warming.growth)
    }
}
