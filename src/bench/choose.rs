//! Which of several springs carries a machine and its rider, and with how much preload.
//!
//! The trade's way: preload is set for the sag with rider, then the sag of the machine alone tells of the spring. Too
//! little of it, and the spring is too soft and was preloaded for too long; too much, and it is too stiff. Common
//! practice, no source. The forces behind it are those of [`super::leg`].

use super::air::SLOW;
use super::leg::{Leg, sag};
use super::range::OutOfRange;
use super::spring::Spring;
use super::units::{Force, Length, force, length};

/// The most a fork spring is preloaded, m (common practice, no source).
const MOST_PRELOAD: f64 = 0.060;

/// The preload, the same in both legs, with which the legs sink by `wanted` under a load.
///
/// Solves F_left(p, x) + F_right(p, x) = load of both for p, at n = 1.0. Range: load zero or more; `wanted` within the
/// stroke; p from 0 to 60 mm, else [`OutOfRange::Unreachable`], whose words say whether the springs are too stiff or
/// too soft.
///
/// ```
/// use benchleaf::bench::choose::preload_under;
/// use benchleaf::bench::leg::Leg;
/// use benchleaf::bench::spring::Spring;
/// use benchleaf::bench::units::{force, millimetres, newtons_per_millimetre};
///
/// let spring = Spring::linear(newtons_per_millimetre(9.0)).unwrap();
/// let leg = Leg {
///     spring: Some((spring, millimetres(10.0))),
///     top_out: None,
///     bottoming: None,
///     air: None,
///     gas: None,
///     stroke: millimetres(120.0),
/// };
/// // 900 N on two legs of 9 N/mm squeeze each by 50 mm: 38 mm of sag and 12 mm of preload.
/// let preload = preload_under([&leg, &leg], force(900.0), millimetres(38.0)).unwrap();
/// assert!((preload.value - 0.012).abs() < 1e-9);
/// ```
pub fn preload_under(legs: [&Leg; 2], load_of_both: Force, wanted: Length) -> Result<Length, OutOfRange> {
    if legs.iter().all(|leg| leg.spring.is_none()) {
        return Err(OutOfRange::Unreachable { why: "no leg has a spring that is preloaded" });
    }
    let push = |preload: f64| -> Result<f64, OutOfRange> {
        let of = |leg: &Leg| set(leg, None, length(preload)).force_at(wanted, SLOW);
        Ok((of(legs[0])? + of(legs[1])?).value)
    };
    let (mut low, mut high) = (0.0, MOST_PRELOAD);
    if push(low)? > load_of_both.value {
        return Err(OutOfRange::Unreachable { why: "too stiff: it sags less without any preload" });
    }
    if push(high)? < load_of_both.value {
        return Err(OutOfRange::Unreachable { why: "too soft: 60 mm of preload do not hold it" });
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if push(middle)? >= load_of_both.value { high = middle } else { low = middle }
    }
    Ok(length(high))
}

/// A leg with another spring, where one is named, and another preload. A leg without a spring gets none.
fn set(leg: &Leg, spring: Option<&Spring>, preload: Length) -> Leg {
    let fitted = leg.spring.as_ref().map(|(own, _)| (spring.unwrap_or(own).clone(), preload));
    Leg { spring: fitted, ..leg.clone() }
}

/// How a spring carries a machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carries {
    /// The preload that brings the sag with rider that is wanted.
    pub preload: Length,
    /// The sag of the machine alone with that preload.
    pub alone: Length,
}

/// How a spring, in each leg that has one, carries a machine alone and with its rider.
///
/// `loads` are those of both legs together, along them: alone, then with rider. `wanted` is the sag with rider. Range:
/// as [`preload_under`] and [`sag`].
///
/// ```
/// use benchleaf::bench::choose::carries;
/// use benchleaf::bench::leg::Leg;
/// use benchleaf::bench::spring::Spring;
/// use benchleaf::bench::units::{force, millimetres, newtons_per_millimetre};
///
/// let spring = |rate| Spring::linear(newtons_per_millimetre(rate)).unwrap();
/// let leg = Leg {
///     spring: Some((spring(9.0), millimetres(10.0))),
///     top_out: None,
///     bottoming: None,
///     air: None,
///     gas: None,
///     stroke: millimetres(120.0),
/// };
/// let loads = [force(600.0), force(900.0)];
/// // 9 N/mm: 12 mm of preload for 38 mm; alone 600/18 − 12 = 21.3 mm.
/// let softer = carries([&leg, &leg], &spring(9.0), loads, millimetres(38.0)).unwrap();
/// assert!((softer.alone.value - 0.021_333).abs() < 1e-6);
/// // A stiffer one takes less preload, and the machine alone sags more.
/// let stiffer = carries([&leg, &leg], &spring(10.0), loads, millimetres(38.0)).unwrap();
/// assert!(stiffer.preload < softer.preload && stiffer.alone > softer.alone);
/// ```
pub fn carries(
    legs: [&Leg; 2],
    spring: &Spring,
    loads: [Force; 2],
    wanted: Length,
) -> Result<Carries, OutOfRange> {
    let with = |preload: Length| legs.map(|leg| set(leg, Some(spring), preload));
    let [left, right] = with(length(0.0));
    let preload = preload_under([&left, &right], loads[1], wanted)?;
    let [left, right] = with(preload);
    Ok(Carries { preload, alone: sag(&left, &right, loads[0])? })
}

/// The load that both legs carry at a sag that was read, along them: what their springs and air push there.
///
/// Range: the sag within the stroke.
///
/// ```
/// use benchleaf::bench::choose::load_at;
/// use benchleaf::bench::leg::Leg;
/// use benchleaf::bench::spring::Spring;
/// use benchleaf::bench::units::{millimetres, newtons_per_millimetre};
///
/// let spring = Spring::linear(newtons_per_millimetre(9.0)).unwrap();
/// let leg = Leg {
///     spring: Some((spring, millimetres(12.0))),
///     top_out: None,
///     bottoming: None,
///     air: None,
///     gas: None,
///     stroke: millimetres(120.0),
/// };
/// assert!((load_at([&leg, &leg], millimetres(38.0)).unwrap().value - 900.0).abs() < 1e-9);
/// ```
pub fn load_at(legs: [&Leg; 2], sag: Length) -> Result<Force, OutOfRange> {
    let pushes = legs[0].force_at(sag, SLOW)? + legs[1].force_at(sag, SLOW)?;
    Ok(force(pushes.value.max(0.0)))
}
