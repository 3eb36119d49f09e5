//! The whole leg: spring, top-out spring, bottoming stop and air against travel; the load on it, and its sag.
//!
//! Travel is counted from the leg pulled fully out. Assumptions: no friction (a real leg hangs a few
//! millimetres either side of the figure, "stiction"), the springs do not sway.

use super::air::{AirSpring, Band, FAST, SLOW};
use super::range::{self, DEGREE, MM, NEWTON, OutOfRange};
use super::spring::{EndSpring, Spring};
use super::units::{Angle, Force, Length, SpringRate, force, length, spring_rate};

/// One leg's springs. A leg that only damps has none of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// The main spring and its preload in the extended leg.
    pub spring: Option<(Spring, Length)>,
    /// The top-out spring, which pulls the leg in near full extension.
    pub top_out: Option<EndSpring>,
    /// The bottoming stop, which pushes near full travel.
    pub bottoming: Option<EndSpring>,
    /// The air.
    pub air: Option<AirSpring>,
    /// What a cartridge's gas pushes on its rod, over the whole travel.
    pub gas: Option<Force>,
    /// The stroke.
    pub stroke: Length,
}

impl Leg {
    /// The force with which the leg pushes out at a travel, for a gas exponent n.
    ///
    /// Formula: F = F_spring(preload + x) − F_topout(x) + F_bottoming(S − x) + F_air(x) + F_gas. Negative where
    /// the top-out spring is the stronger. Range: 0 ≤ x ≤ stroke; short of the lock.
    ///
    /// ```
    /// use benchleaf::bench::leg::Leg;
    /// use benchleaf::bench::spring::Spring;
    /// use benchleaf::bench::units::{millimetres, newtons_per_millimetre};
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
    /// assert!((leg.force_at(millimetres(20.0), 1.0).unwrap().value - 270.0).abs() < 1e-9);
    /// ```
    pub fn force_at(&self, travel: Length, n: f64) -> Result<Force, OutOfRange> {
        let at = self.at(travel)?;
        let spring = self.spring_at(at, 0.0)?;
        Ok(together(spring, self.beside_spring(at, n)?))
    }

    fn at(&self, travel: Length) -> Result<At, OutOfRange> {
        let stroke = range::positive("stroke", self.stroke.value, MM, 500.0)?;
        let x = range::not_negative("travel", travel.value, MM, stroke * 1000.0)?.min(stroke);
        Ok(At { stroke, x })
    }

    /// What the main spring pushes, with so much more preload, in metres; nothing in a leg that has none.
    fn spring_at(&self, at: At, more: f64) -> Result<Force, OutOfRange> {
        let Some((spring, preload)) = &self.spring else { return Ok(force(0.0)) };
        let preload = range::not_negative("preload", preload.value + more, MM, 600.0)?;
        spring.force_at(length(preload + at.x))
    }

    /// What top-out spring, bottoming stop, air and gas push: the same whatever the preload of the main spring.
    fn beside_spring(&self, at: At, n: f64) -> Result<[Force; 4], OutOfRange> {
        let mut beside = [force(0.0); 4];
        if let Some(top_out) = &self.top_out {
            beside[0] = -top_out.force_with(length(at.x))?;
        }
        if let Some(stop) = &self.bottoming {
            beside[1] = stop.force_with(length(at.stroke - at.x))?;
        }
        if let Some(air) = &self.air {
            beside[2] = air.force_at(length(at.x), n)?;
        }
        if let Some(gas) = self.gas {
            beside[3] = force(range::not_negative("force of the gas on its rod", gas.value, NEWTON, 5000.0)?);
        }
        Ok(beside)
    }

    /// [`Leg::force_at`] for slow and fast travel.
    pub(crate) fn force_band(&self, travel: Length) -> Result<Band<Force>, OutOfRange> {
        Ok(Band { slow: self.force_at(travel, SLOW)?, fast: self.force_at(travel, FAST)? })
    }
}

/// The force of the main spring and of all beside it.
fn together(spring: Force, beside: [Force; 4]) -> Force {
    beside.into_iter().fold(spring, |sum, one| sum + one)
}

/// A travel that was looked at, and the stroke it lies in, in metres.
#[derive(Debug, Clone, Copy)]
struct At {
    stroke: f64,
    x: f64,
}

/// The load on one leg, along it, from the load on the front axle.
///
/// Formula: (axle load − unsprung)·cos(rake)/2. Range: axle load above zero, at most 20 kN; unsprung from
/// zero up to less than it; rake 0 to 60°. Assumption: on level ground, standing still, both legs share alike.
///
/// ```
/// use benchleaf::bench::leg::load_per_leg;
/// use benchleaf::bench::units::{degrees, force};
///
/// // Upright, each leg carries half.
/// let load = load_per_leg(force(1_100.0), force(200.0), degrees(0.0)).unwrap();
/// assert!((load.value - 450.0).abs() < 1e-9);
/// ```
pub fn load_per_leg(axle_load: Force, unsprung: Force, rake: Angle) -> Result<Force, OutOfRange> {
    let axle = range::positive("load on the front axle", axle_load.value, NEWTON, 20_000.0)?;
    let unsprung = range::not_negative("unsprung weight", unsprung.value, NEWTON, 20_000.0)?;
    if unsprung >= axle {
        return Err(OutOfRange::Contradiction { more: "load on the front axle", less: "unsprung weight" });
    }
    Ok(force((axle - unsprung) * libm::cos(rake_of(rake)?) / 2.0))
}

/// The rate of both legs at the axle, straight up and down.
///
/// Formula: (k_L + k_R)/cos²(rake). Range: rates zero or more (a leg that only damps has none), at most 400
/// N/mm, not both zero; rake 0 to 60°.
///
/// ```
/// use benchleaf::bench::leg::vertical_rate;
/// use benchleaf::bench::units::{degrees, newtons_per_millimetre};
///
/// let each = newtons_per_millimetre(9.0);
/// assert!(vertical_rate(each, each, degrees(24.0)).unwrap() > newtons_per_millimetre(18.0));
/// ```
pub fn vertical_rate(left: SpringRate, right: SpringRate, rake: Angle) -> Result<SpringRate, OutOfRange> {
    let left = range::not_negative("rate of the left leg", left.value, range::N_PER_MM, 400.0)?;
    let right = range::not_negative("rate of the right leg", right.value, range::N_PER_MM, 400.0)?;
    if left + right <= 0.0 {
        return Err(OutOfRange::NotPositive { what: "rate of both legs together" });
    }
    let cos = libm::cos(rake_of(rake)?);
    Ok(spring_rate((left + right) / (cos * cos)))
}

fn rake_of(rake: Angle) -> Result<f64, OutOfRange> {
    range::within("rake", rake.value, DEGREE, 0.0, 60.0)
}

/// How far the legs sink under a load, along them.
///
/// Solves F_left(x) + F_right(x) = load of both for x, at n = 1.0 (the air has had time to cool). Where the
/// top-out springs already carry the load at full extension the sag is zero. Range: load zero or more; the
/// legs must carry it within their stroke, else [`OutOfRange::Unreachable`].
///
/// ```
/// use benchleaf::bench::leg::{Leg, sag};
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
/// let sunk = sag(&leg, &leg, force(900.0)).unwrap();
/// assert!((sunk.value - 0.040).abs() < 1e-9);
/// ```
pub fn sag(left: &Leg, right: &Leg, load_of_both: Force) -> Result<Length, OutOfRange> {
    let load = range::not_negative("load on the legs", load_of_both.value, NEWTON, 20_000.0)?;
    let stroke = left.stroke.value.min(right.stroke.value);
    let push = |x: f64| -> Result<f64, OutOfRange> {
        Ok((left.force_at(length(x), SLOW)? + right.force_at(length(x), SLOW)?).value)
    };
    if push(0.0)? >= load {
        return Ok(length(0.0));
    }
    let (mut low, mut high) = (0.0, stroke);
    // A leg that locks carries any load there: its lock is as good an upper end as the stroke.
    let carries = |x: f64| match push(x) {
        Ok(f) => Ok(f >= load),
        Err(OutOfRange::Locked { .. }) => Ok(true),
        Err(other) => Err(other),
    };
    if !carries(high)? {
        return Err(OutOfRange::Unreachable { why: "the legs do not carry this load within their stroke" });
    }
    // Sixty halvings of half a metre end below the last bit of a double.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if carries(middle)? {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(length(high))
}

/// How much more the springs must be preloaded so that the legs sink by `wanted` where they sink by `found`: less
/// than nothing where it is taken back. Both adjusters are turned alike.
///
/// Solves F(preload + d, wanted) = F(preload, found), both legs together, for d, at n = 1.0: the load stays the same.
/// With one rate and no air it is the difference of the two. Range: both within the stroke; the preload stays zero or
/// more; a leg must have a spring.
///
/// ```
/// use benchleaf::bench::leg::{Leg, preload_for};
/// use benchleaf::bench::spring::Spring;
/// use benchleaf::bench::units::{millimetres, newtons_per_millimetre};
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
/// let more = preload_for(&leg, &leg, millimetres(44.0), millimetres(38.0)).unwrap();
/// assert!((more.value - 0.006).abs() < 1e-9);
/// ```
pub fn preload_for(left: &Leg, right: &Leg, found: Length, wanted: Length) -> Result<Length, OutOfRange> {
    let both = [left, right];
    let load: f64 = both.iter().try_fold(0.0, |sum, leg| Ok(sum + leg.force_at(found, SLOW)?.value))?;
    let preloads = both.iter().filter_map(|leg| leg.spring.as_ref().map(|(_, preload)| preload.value));
    let Some(least) = preloads.clone().reduce(f64::min) else {
        return Err(OutOfRange::Unreachable { why: "no leg has a spring that is preloaded" });
    };
    let push = push_at(both, wanted)?;
    let (mut low, mut high) = (-least, MOST_PRELOAD_CHANGE);
    if push(low)? > load || push(high)? < load {
        return Err(OutOfRange::Unreachable {
            why: "no preload brings the legs there: the spring is another",
        });
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if push(middle)? >= load {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(length(high))
}

/// What both legs push at a travel, by how much more preload they are given, in metres. Of all that pushes, preload
/// changes the main springs alone.
fn push_at(both: [&Leg; 2], travel: Length) -> Result<impl Fn(f64) -> Result<f64, OutOfRange>, OutOfRange> {
    let beside = |leg: &Leg| {
        let at = leg.at(travel)?;
        Ok((at, leg.beside_spring(at, SLOW)?))
    };
    let beside = [beside(both[0])?, beside(both[1])?];
    Ok(move |more: f64| {
        both.iter().zip(&beside).try_fold(0.0, |sum, (leg, (at, beside))| {
            Ok(sum + together(leg.spring_at(*at, more)?, *beside).value)
        })
    })
}

/// Whether [`preload_for`] would give less or more than these, in metres, without looking for how much: more preload
/// always pushes more. What cannot be told so is not beyond.
pub(crate) fn is_beyond(
    [left, right]: [&Leg; 2],
    (found, wanted): (Length, Length),
    [least, greatest]: [f64; 2],
) -> bool {
    let load = |leg: &Leg| leg.force_at(found, SLOW).map(|force| force.value);
    let (Ok(a), Ok(b), Ok(push)) = (load(left), load(right), push_at([left, right], wanted)) else {
        return false;
    };
    push(least).is_ok_and(|least| a + b < least) || push(greatest).is_ok_and(|greatest| a + b > greatest)
}

/// The most that preload is looked for beyond the one that is set, m.
const MOST_PRELOAD_CHANGE: f64 = 0.1;

/// The height the front drops when the legs sink by a sag along them.
///
/// Formula: sag·cos(rake). Range: sag 0 to 500 mm, rake 0 to 60°.
pub(crate) fn drop_of_front(sag: Length, rake: Angle) -> Result<Length, OutOfRange> {
    let sag = range::not_negative("sag", sag.value, MM, 500.0)?;
    Ok(length(sag * libm::cos(rake_of(rake)?)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::units::{millimetres, newtons_per_millimetre};
    use super::*;

    proptest! {
        /// Passed over is only what the search would put outside the room; and with one rate and no air, where what is
        /// asked for is the difference of the two sags, all that lies clearly outside is passed over.
        #[test]
        fn what_is_beyond_is_what_the_search_would_put_outside(
            rate in 4.0..14.0f64,
            preload in 0.0..20.0f64,
            found in 0.0..100.0f64,
            wanted in 10.0..60.0f64,
            least in -20.0..0.0f64,
            greatest in 0.0..20.0f64,
        ) {
            let spring = Spring::linear(newtons_per_millimetre(rate)).expect("a rate");
            let spring = Some((spring, millimetres(preload)));
            let (top_out, bottoming, air, gas) = (None, None, None, None);
            let leg = Leg { spring, top_out, bottoming, air, gas, stroke: millimetres(120.0) };
            let (found_at, wanted_at) = (millimetres(found), millimetres(wanted));
            let beyond = is_beyond([&leg, &leg], (found_at, wanted_at), [least / 1e3, greatest / 1e3]);
            let searched = preload_for(&leg, &leg, found_at, wanted_at).ok().map(|more| more.value * 1e3);
            let is_outside = |more: f64| more < least + 1e-6 || more > greatest - 1e-6;
            prop_assert!(!beyond || searched.is_none_or(is_outside), "{searched:?} in {least} to {greatest}");
            let due = found - wanted;
            // Less preload than there is cannot be told, and is not beyond.
            let told = least >= -preload;
            let outside = due < least - 1e-6 || due > greatest + 1e-6;
            prop_assert!(!(told && outside) || beyond, "{due} in {least} to {greatest}");
        }
    }
}
