//! The air shut into a leg: where it locks on oil, and how hard it pushes.
//!
//! Formula: p(x) = p₀·(V₀/(V₀ − A·x))ⁿ with absolute pressures, F = (p − p_atm)·A. The law of the ideal gas;
//! a real dry air differs by about one per cent at the pressures a fork sees (compare CoolProp in the
//! reference checks). Fast strokes are near n = 1.4 (no heat leaves the air), slow ones near n = 1.0 (all of
//! it does): results come as that band, never as one guessed line.
//!
//! Left out, and printed as such: see [`LEFT_OUT`].

mod chamber;
mod closed;
mod gap_set;
mod gauge;

pub use chamber::{Band, Chamber, FAST, LEFT_OUT, SLOW};
pub use closed::{AirSpring, ChamberSection, chamber_volume, gas_on_rod, outer_chamber};
pub use gap_set::{GapSetLeg, Warming};
pub(crate) use gauge::absolute;
pub use gauge::{AT_THE_LEG, gauge_at, squeezed};
