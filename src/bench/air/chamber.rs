//! Air in a closed space that changes with the travel of the leg.

use crate::bench::range::{self, KPA, ML, MM, OutOfRange};
use crate::bench::units::{
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
pub(super) const FILM: f64 = 1000.0;

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
