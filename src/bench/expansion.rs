//! What temperature does to oil: it swells, the gap shrinks, and a fill can be weighed.
//!
//! Formula: V_T = V₁₅ / VCF, VCF = exp(−αΔT·(1 + 0.8·αΔT)), ΔT = T − 15 °C, α = K₁/ρ₁₅ with
//! K₁ = 0.6278 kg/(m³·°C), the petroleum lubricating oils of API MPMS chapter 11.1 (ASTM D1250; 0.34878 a °F
//! in its 60 °F form). Assumption, printed with every result: the oil is a petroleum oil; a synthetic one may
//! swell differently. The tubes' own expansion is left out (a thirtieth of the oil's).

use super::oil::Surface;
use super::range::{self, KG_PER_M3, ML, OutOfRange};
use super::units::{Length, Mass, MassDensity, ThermodynamicTemperature, Volume, mass, volume};

/// K₁ of API MPMS chapter 11.1 for lubricating oils, on a 15 °C base: kg/(m³·°C).
pub const K1_LUBRICATING: f64 = 0.6278;

/// What a page prints beside every result of this file.
pub const ASSUMPTION: &str =
    "oil swells like a petroleum lubricating oil (API MPMS 11.1, ASTM D1250); a synthetic may differ";

/// The temperatures that oil has at a bench, °C, for which a gap's target is told (common practice, no source).
pub const AT_THE_BENCH: [f64; 4] = [15.0, 20.0, 25.0, 30.0];

const BASE: f64 = 288.15;

/// The volume correction factor VCF: the volume at 15 °C over the volume at `temperature`.
///
/// Range: density 700 to 1100 kg/m³ at 15 °C; −50 to 150 °C.
///
/// ```
/// use benchleaf::bench::expansion::factor;
/// use benchleaf::bench::units::{celsius, density};
///
/// // At the base temperature nothing changes.
/// assert!((factor(density(865.0), celsius(15.0)).unwrap() - 1.0).abs() < 1e-12);
/// assert!(factor(density(865.0), celsius(60.0)).unwrap() < 1.0);
/// ```
pub fn factor(density_15: MassDensity, temperature: ThermodynamicTemperature) -> Result<f64, OutOfRange> {
    let rho = range::within("density at 15 °C", density_15.value, KG_PER_M3, 700.0, 1100.0)?;
    let kelvin = range::temperature("oil temperature", temperature.value)?;
    if kelvin > 423.15 + 1e-9 {
        return Err(OutOfRange::Beyond {
            what: "oil temperature",
            least: "-50 °C".into(),
            most: "150 °C".into(),
        });
    }
    let x = K1_LUBRICATING / rho * (kelvin - BASE);
    Ok(libm::exp(-x * (1.0 + 0.8 * x)))
}

/// The volume that oil measured at one temperature takes at another.
///
/// Range: as [`factor`]; volume 0 to 100 L.
///
/// ```
/// use benchleaf::bench::expansion::volume_at;
/// use benchleaf::bench::units::{celsius, density, millilitres};
///
/// let warm = volume_at(millilitres(500.0), density(865.0), celsius(20.0), celsius(60.0)).unwrap();
/// // About 0.7 % for each ten degrees.
/// assert!((14e-6..16e-6).contains(&(warm.value - 500e-6)));
/// ```
pub fn volume_at(
    measured: Volume,
    density_15: MassDensity,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
) -> Result<Volume, OutOfRange> {
    let v = range::not_negative("oil volume", measured.value, ML, 100_000.0)?;
    Ok(volume(v * factor(density_15, from)? / factor(density_15, to)?))
}

/// How much oil grows (negative: shrinks) between two temperatures. Give the leg's whole oil, not only what
/// stands in the gap's bore.
///
/// ```
/// use benchleaf::bench::expansion::growth;
/// use benchleaf::bench::units::{celsius, density, millilitres};
///
/// let grown = growth(millilitres(500.0), density(865.0), celsius(20.0), celsius(60.0)).unwrap();
/// let shrunk = growth(millilitres(500.0), density(865.0), celsius(20.0), celsius(0.0)).unwrap();
/// assert!(grown.value > 0.0 && shrunk.value < 0.0);
/// ```
pub fn growth(
    whole: Volume,
    density_15: MassDensity,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
) -> Result<Volume, OutOfRange> {
    Ok(volume_at(whole, density_15, from, to)? - whole)
}

/// Where a gap set at one temperature stands at another: all the growth goes up the bore.
///
/// Range: as [`growth`]; the surface must stay between the edge and the bottom.
///
/// ```
/// use benchleaf::bench::expansion::gap_at;
/// use benchleaf::bench::oil::Surface;
/// use benchleaf::bench::units::{area, celsius, density, millilitres, millimetres};
///
/// let surface = Surface::measured(area(1.2e-3)).unwrap();
/// let oil = (millilitres(500.0), density(865.0));
/// let warm = gap_at(&surface, millimetres(100.0), oil.0, oil.1, celsius(20.0), celsius(60.0)).unwrap();
/// assert!(warm < millimetres(100.0));
/// ```
pub fn gap_at(
    surface: &Surface,
    gap: Length,
    whole: Volume,
    density_15: MassDensity,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
) -> Result<Length, OutOfRange> {
    surface.after_drawing(gap, -growth(whole, density_15, from, to)?)
}

/// The mass of a fill, so that it can be weighed instead of measured: m = ρ₁₅·VCF·V.
///
/// Range: as [`volume_at`].
///
/// ```
/// use benchleaf::bench::expansion::weight;
/// use benchleaf::bench::units::{celsius, density, millilitres};
///
/// let fill = weight(millilitres(500.0), density(865.0), celsius(15.0)).unwrap();
/// assert!((fill.value - 0.4325).abs() < 1e-9);
/// ```
pub fn weight(
    fill: Volume,
    density_15: MassDensity,
    temperature: ThermodynamicTemperature,
) -> Result<Mass, OutOfRange> {
    let v = range::not_negative("oil volume", fill.value, ML, 100_000.0)?;
    Ok(mass(density_15.value * factor(density_15, temperature)? * v))
}
