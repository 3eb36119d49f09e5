//! The air shut into a leg: where it locks on oil, and how hard it pushes.
//!
//! Formula: p(x) = p₀·(V₀/(V₀ − A·x))ⁿ with absolute pressures, F = (p − p_atm)·A. The law of the ideal gas;
//! a real dry air differs by about one per cent at the pressures a fork sees (compare CoolProp in the
//! reference checks). Fast strokes are near n = 1.4 (no heat leaves the air), slow ones near n = 1.0 (all of
//! it does): results come as that band, never as one guessed line.
//!
//! Left out, and printed as such: see [`LEFT_OUT`].

use super::oil::{Surface, disc};
use super::range::{self, KPA, ML, MM, OutOfRange};
use super::units::{
    ATMOSPHERE, Area, Force, Length, Pressure, ThermodynamicTemperature, Volume, area, force, length,
    pressure, volume,
};

/// What the arithmetic of the air leaves out, printed beside its results.
pub const LEFT_OUT: &str = "left out: damper friction, heat flow, foaming, gas dissolved in the oil";

/// Slow travel: the air keeps its temperature.
pub const SLOW: f64 = 1.0;

/// Fast travel: the air keeps its heat (ratio of the specific heats of dry air).
pub const FAST: f64 = 1.4;

/// Beyond this ratio of volumes the remaining air is a film, and the leg counts as locked.
const FILM: f64 = 1000.0;

/// A value for slow and for fast travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band<T> {
    /// At n = 1.0.
    pub slow: T,
    /// At n = 1.4.
    pub fast: T,
}

/// Air in a closed space that gets smaller as the leg goes in (or greater, in a balance chamber).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    extended: f64,
    area: f64,
    start: f64,
    grows: bool,
}

impl Chamber {
    /// A chamber that shrinks: its volume with the leg extended, the area that sweeps it, and its absolute
    /// pressure with the leg extended.
    ///
    /// Range: volume above zero, at most 20 L; area 0.1 to 300 cm²; pressure 10 kPa to 10 MPa absolute.
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(400.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// assert_eq!(chamber.area(), area(1e-3));
    /// assert!(Chamber::shrinking(millilitres(0.0), area(1e-3), pressure(ATMOSPHERE)).is_err());
    /// ```
    pub fn shrinking(extended: Volume, area: Area, start: Pressure) -> Result<Chamber, OutOfRange> {
        Ok(Chamber {
            extended: range::positive("air volume of the extended leg", extended.value, ML, 20_000.0)?,
            area: range::within("area that sweeps the air", area.value, range::In("cm²", 1e-4), 0.1, 300.0)?,
            start: range::within("absolute air pressure", start.value, KPA, 10.0, 10_000.0)?,
            grows: false,
        })
    }

    /// A balance chamber: as [`Chamber::shrinking`], but it grows as the leg goes in and pushes the other way.
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{area, length, millilitres, pressure};
    ///
    /// let balance = Chamber::growing(millilitres(50.0), area(1e-3), pressure(900e3)).unwrap();
    /// assert!(balance.force_at(length(0.0), 1.0).unwrap().value < 0.0);
    /// ```
    pub fn growing(extended: Volume, area: Area, start: Pressure) -> Result<Chamber, OutOfRange> {
        Ok(Chamber { grows: true, ..Chamber::shrinking(extended, area, start)? })
    }

    /// The area that sweeps the air.
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(400.0), area(1.3e-3), pressure(ATMOSPHERE)).unwrap();
    /// assert_eq!(chamber.area(), area(1.3e-3));
    /// ```
    pub fn area(&self) -> Area {
        area(self.area)
    }

    /// The absolute pressure with the leg extended.
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(400.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// assert_eq!(chamber.start(), pressure(ATMOSPHERE));
    /// ```
    pub fn start(&self) -> Pressure {
        pressure(self.start)
    }

    /// The air volume at a travel. Negative means that the oil has nowhere left to go.
    ///
    /// Range: travel 0 to 500 mm.
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, length, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(400.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// assert!((chamber.volume_at(length(0.1)).unwrap().value - 300e-6).abs() < 1e-12);
    /// ```
    pub fn volume_at(&self, travel: Length) -> Result<Volume, OutOfRange> {
        let swept = self.area * range::not_negative("travel", travel.value, MM, 500.0)?;
        Ok(volume(if self.grows { self.extended + swept } else { self.extended - swept }))
    }

    /// The absolute pressure at a travel, for a gas exponent n.
    ///
    /// Range: n 1.0 to 1.4 (1.67 for a gas of single atoms); travel short of the lock, else
    /// [`OutOfRange::Locked`].
    ///
    /// ```
    /// use benchleaf::bench::air::{Chamber, SLOW};
    /// use benchleaf::bench::units::{ATMOSPHERE, area, length, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(400.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// // At half the volume, slowly: twice the pressure.
    /// let half = chamber.pressure_at(length(0.2), SLOW).unwrap();
    /// assert!((half.value - 2.0 * ATMOSPHERE).abs() < 1e-6);
    /// ```
    pub fn pressure_at(&self, travel: Length, n: f64) -> Result<Pressure, OutOfRange> {
        let n = range::within("gas exponent", n, range::PLAIN, 1.0, 1.67)?;
        let left = self.volume_at(travel)?.value;
        if left * FILM < self.extended {
            return Err(self.locked());
        }
        Ok(pressure(self.start * libm::pow(self.extended / left, n)))
    }

    /// The force with which the air pushes the leg out at a travel (a balance chamber: with which it pulls it
    /// in, negative).
    ///
    /// Formula: F = (p − p_atm)·A. Range: as [`Chamber::pressure_at`].
    ///
    /// ```
    /// use benchleaf::bench::air::{Chamber, SLOW};
    /// use benchleaf::bench::units::{ATMOSPHERE, area, length, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(400.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// let push = chamber.force_at(length(0.2), SLOW).unwrap();
    /// assert!((push.value - 101.325).abs() < 1e-6);
    /// ```
    pub fn force_at(&self, travel: Length, n: f64) -> Result<Force, OutOfRange> {
        let push = (self.pressure_at(travel, n)?.value - ATMOSPHERE) * self.area;
        Ok(force(if self.grows { -push } else { push }))
    }

    /// [`Chamber::force_at`] for slow and fast travel.
    pub(crate) fn force_band(&self, travel: Length) -> Result<Band<Force>, OutOfRange> {
        Ok(Band { slow: self.force_at(travel, SLOW)?, fast: self.force_at(travel, FAST)? })
    }

    /// The travel at which no air would be left: x_L = V₀/A; `None` for a growing chamber, which never locks.
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(150.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// assert!((chamber.lock_travel().unwrap().value - 0.150).abs() < 1e-12);
    /// ```
    pub fn lock_travel(&self) -> Option<Length> {
        (!self.grows).then(|| length(self.extended / self.area))
    }

    fn locked(&self) -> OutOfRange {
        OutOfRange::Locked { travel: self.extended / self.area }
    }

    /// How far short of the full stroke the leg stops on its oil; `None` when it does not.
    ///
    /// Range: stroke above zero, at most 500 mm.
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, length, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(115.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// let short = chamber.locks_short_by(length(0.120)).unwrap().unwrap();
    /// assert!((short.value - 0.005).abs() < 1e-12);
    /// assert_eq!(chamber.locks_short_by(length(0.110)), Ok(None));
    /// ```
    pub fn locks_short_by(&self, stroke: Length) -> Result<Option<Length>, OutOfRange> {
        let stroke = range::positive("stroke", stroke.value, MM, 500.0)?;
        let short = self.lock_travel().map(|lock| stroke - lock.value);
        Ok(short.filter(|short| *short >= 0.0).map(length))
    }

    /// Extended volume over volume at full travel. A leg that locks first is [`OutOfRange::Locked`].
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, length, millilitres, pressure};
    ///
    /// let chamber = Chamber::shrinking(millilitres(160.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// assert!((chamber.volume_ratio(length(0.120)).unwrap() - 4.0).abs() < 1e-9);
    /// ```
    pub fn volume_ratio(&self, stroke: Length) -> Result<f64, OutOfRange> {
        let left = self.volume_at(stroke)?.value;
        if left * FILM < self.extended {
            return Err(self.locked());
        }
        Ok(self.extended / left)
    }

    /// The same air at another temperature, with less room because the oil grew by `growth` (negative: shrank).
    ///
    /// Formula: p₂ = p₁·T₂/T₁·V₁/V₂, absolute. Range: both −50 to 200 °C; some air must be left.
    ///
    /// ```
    /// use benchleaf::bench::air::Chamber;
    /// use benchleaf::bench::units::{ATMOSPHERE, area, celsius, millilitres, pressure};
    ///
    /// let cold = Chamber::shrinking(millilitres(400.0), area(1e-3), pressure(ATMOSPHERE)).unwrap();
    /// let warm = cold.warmed(celsius(20.0), celsius(60.0), millilitres(15.0)).unwrap();
    /// assert!(warm.start() > cold.start());
    /// ```
    pub fn warmed(
        &self,
        from: ThermodynamicTemperature,
        to: ThermodynamicTemperature,
        growth: Volume,
    ) -> Result<Chamber, OutOfRange> {
        let from = range::temperature("bench temperature", from.value)?;
        let to = range::temperature("working temperature", to.value)?;
        let growth = range::number("growth of the oil", growth.value)?;
        let left = self.extended - growth;
        if left * FILM < self.extended {
            return Err(OutOfRange::Locked { travel: 0.0 });
        }
        let start = self.start * to / from * self.extended / left;
        Ok(Chamber { extended: left, start, ..*self })
    }
}

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

/// The temperatures of a leg, °C, for which its pressures are told (common practice, no source).
pub const AT_THE_LEG: [f64; 5] = [0.0, 10.0, 20.0, 30.0, 40.0];

/// What a gauge reads at another temperature when it was set at the first and nothing leaked.
///
/// Formula: p₂ = (p₁ + p_atm)·T₂/T₁ − p_atm. Range: gauge pressure −90 kPa to 5 MPa; −50 to 200 °C.
/// Assumption: the volume stays, the atmosphere is standard.
///
/// ```
/// use benchleaf::bench::air::gauge_at;
/// use benchleaf::bench::units::{celsius, pressure};
///
/// let cold = gauge_at(pressure(100e3), celsius(20.0), celsius(0.0)).unwrap();
/// assert!((cold.value - 86.3e3).abs() < 100.0);
/// ```
pub fn gauge_at(
    gauge: Pressure,
    set_at: ThermodynamicTemperature,
    read_at: ThermodynamicTemperature,
) -> Result<Pressure, OutOfRange> {
    let gauge = range::within("gauge pressure", gauge.value, KPA, -90.0, 5000.0)?;
    let from = range::temperature("temperature it was set at", set_at.value)?;
    let to = range::temperature("temperature it is read at", read_at.value)?;
    Ok(pressure((gauge + ATMOSPHERE) * to / from - ATMOSPHERE))
}

/// Absolute pressure from a gauge reading, at the standard atmosphere.
///
/// Range: −90 kPa to 9.8 MPa.
pub(crate) fn absolute(gauge: Pressure) -> Result<Pressure, OutOfRange> {
    Ok(pressure(range::within("gauge pressure", gauge.value, KPA, -90.0, 9800.0)? + ATMOSPHERE))
}

/// The absolute pressure of an ideal gas squeezed to a fraction of its volume.
///
/// Formula: p₂ = p₁·ratioⁿ. Range: 10 kPa to 10 MPa absolute, ratio 1 to 1000, n 1.0 to 1.67.
///
/// ```
/// use benchleaf::bench::air::{SLOW, squeezed};
/// use benchleaf::bench::units::{ATMOSPHERE, pressure};
///
/// let squeezed = squeezed(pressure(ATMOSPHERE), 3.0, SLOW).unwrap();
/// assert!((squeezed.value - 3.0 * ATMOSPHERE).abs() < 1e-6);
/// ```
pub fn squeezed(start: Pressure, ratio: f64, n: f64) -> Result<Pressure, OutOfRange> {
    let start = range::within("absolute air pressure", start.value, KPA, 10.0, 10_000.0)?;
    let ratio = range::within("ratio of the volumes", ratio, range::PLAIN, 1.0, FILM)?;
    let n = range::within("gas exponent", n, range::PLAIN, 1.0, 1.67)?;
    Ok(pressure(start * libm::pow(ratio, n)))
}
