//! Pressures: what a gauge reads at another temperature, and gas that is squeezed.

use super::chamber::FILM;
use crate::bench::range::{self, KPA, OutOfRange};
use crate::bench::units::{ATMOSPHERE, Pressure, ThermodynamicTemperature, pressure};

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
