//! The arithmetic applied to a resolved fork, once: each result is a value with its assumptions, or the keys
//! that are missing. Rules, pages, cards and commands only read it.

mod air;
mod amounts;
mod answer;
mod chambers;
mod drawn_in;
mod held;
mod joints;
#[cfg(test)]
#[path = "../../tests/common/made_up.rs"]
pub(crate) mod made_up;
mod oils;
mod preload;
mod spring;
mod surface;
#[cfg(test)]
mod tests;

pub use air::{Air, AtGap, Corrections, WarmGap};
pub use amounts::{Fill, Gauge};
pub use answer::{Answer, Known};
pub use chambers::Enclosed;
pub use drawn_in::DrawnIn;
pub use held::{Held, TOOL_STROKE_MM};
pub use joints::Joint;
pub(crate) use oils::serves;
pub use oils::{DerivedOil, Serves, StandIn};
pub(crate) use oils::{derive_oil, out_of_place, stand_ins};
pub use preload::{Preload, SetPreload};
pub use spring::Nut;
pub(crate) use spring::{INNER_BUSHING, OUTER_BUSHING};

use self::spring::Chambers;
use crate::bench::air::Chamber;
use crate::bench::fits::Clearance;
use crate::bench::leg::{Leg as LegForces, load_per_leg, sag, vertical_rate};
use crate::bench::oil::Surface;
use crate::bench::spring::{CoilBind, Spring};
use crate::bench::units::{Force, Length, MassDensity, SpringRate, Volume, length, spring_rate};
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{Key, key};
use crate::quantity::Quantity;
use crate::resolve::{ResolvedFork, Shop, Side};

/// One leg, computed.
#[derive(Debug, Clone)]
pub struct DerivedLeg {
    /// Left or right.
    pub side: Side,
    /// What its oil is set to, the gap or the level; `None` where it is set by an amount.
    pub height: Option<Key>,
    /// The oil's surface near the gap or level.
    pub surface: Answer<Surface>,
    /// The surface from the edge down as bore and rod give it.
    pub drawn: Answer<Surface>,
    /// What stands in the oil from the edge down while its height is read: each as a length and the volume of what it
    /// is made of.
    pub parts: Answer<Vec<(Length, Volume)>>,
    /// What to draw off or add for readings about the gap or level.
    pub corrections: Answer<Corrections>,
    /// What temperature does to the gap or level.
    pub warm_gap: Answer<WarmGap>,
    /// Everything put in after the gap was set.
    pub inserted: Answer<Volume>,
    /// The air above the oil of a leg set by a gap or a level.
    pub air: Answer<Air>,
    /// The outer chamber, round a closed cartridge or an air unit.
    pub outer: Answer<Enclosed>,
    /// The main chamber of an air spring.
    pub main_chamber: Answer<Enclosed>,
    /// The balance chamber of an air spring.
    pub balance_chamber: Answer<Chamber>,
    /// What the cartridge's gas pushes on its rod.
    pub gas: Answer<Force>,
    /// What the assist air pushes on the cap, at its limit, else at its pressure on record.
    pub assist: Answer<Force>,
    /// The amounts of oil with their weights.
    pub fills: Vec<Fill>,
    /// The pressures at other temperatures.
    pub gauges: Vec<Gauge>,
    /// The spring.
    pub spring: Answer<Spring>,
    /// How far it is squeezed in the extended leg.
    pub preload: Answer<Preload>,
    /// Whether its coils touch before full travel.
    pub coil_bind: Answer<CoilBind>,
    /// The force behind a cap that holds the spring.
    pub cap_force: Answer<Held>,
    /// The force a tool holds during work on the rod nut.
    pub tool_force: Answer<Held>,
    /// The rod nut.
    pub nut: Answer<Nut>,
    /// The play of the outer bushing.
    pub outer_bushing: Answer<Clearance>,
    /// The play of the inner bushing.
    pub inner_bushing: Answer<Clearance>,
    /// The leg's own joints.
    pub joints: Vec<Joint>,
    /// The leg's force against travel, at the bench.
    pub forces: Answer<LegForces>,
}

/// A fork, computed.
#[derive(Debug, Clone)]
pub struct Derived {
    /// Left and right.
    pub legs: [DerivedLeg; 2],
    /// The joints of the fork as a whole.
    pub joints: Vec<Joint>,
    /// How far it draws itself in while the main chamber is empty and the balance chamber is not.
    pub drawn_in: Answer<DrawnIn>,
    /// Load on each leg along it, machine alone.
    pub load: Answer<Force>,
    /// Load on each leg along it, with rider.
    pub load_rider: Answer<Force>,
    /// Sag along the legs, machine alone.
    pub sag: Answer<Length>,
    /// Sag along the legs, with rider.
    pub sag_rider: Answer<Length>,
    /// The springs' rate at the axle, straight up and down, at the start of travel.
    pub vertical_rate: Answer<SpringRate>,
}

impl DerivedLeg {
    /// What a person calls the height of its oil.
    pub fn height_word(&self) -> &'static str {
        self.height.map_or("gap", OilSetBy::word_of)
    }
}

impl Derived {
    /// A leg.
    pub(crate) fn leg(&self, side: Side) -> &DerivedLeg {
        match side {
            Side::Left => &self.legs[0],
            Side::Right => &self.legs[1],
        }
    }
}

/// Computes one fork.
pub(crate) fn derive(shop: &Shop, fork: &ResolvedFork) -> Derived {
    let left = derive_leg(shop, fork, Side::Left);
    // Most forks have two legs alike, and what holds for one holds for the other.
    let right = if alike(fork) {
        DerivedLeg { side: Side::Right, ..left.clone() }
    } else {
        derive_leg(shop, fork, Side::Right)
    };
    let legs = [left, right];
    let ask = answer::Ask::new(shop, fork, Side::Left);
    let load = load_of(&ask, key::SETUP_FRONT_LOAD);
    let load_rider = load_of(&ask, key::SETUP_FRONT_LOAD_RIDER);
    let sag = sag_under(&ask, &legs, &load);
    let sag_rider = sag_under(&ask, &legs, &load_rider);
    let vertical_rate = rate_at_axle(&ask, &legs);
    let pulls = legs.each_ref().map(|leg| drawn_in::Pulls {
        side: leg.side,
        balance_chamber: &leg.balance_chamber,
        outer: &leg.outer,
        gas: &leg.gas,
    });
    let drawn_in = drawn_in::drawn_in(&ask, &pulls);
    Derived {
        joints: joints::joints(&ask, true),
        legs,
        drawn_in,
        load,
        load_rider,
        sag,
        sag_rider,
        vertical_rate,
    }
}

/// Whether both legs hold the very same entries and do the same work.
fn alike(fork: &ResolvedFork) -> bool {
    let [left, right] = &fork.legs;
    left.work == right.work
        && left.values.keys().eq(right.values.keys())
        && left
            .values
            .iter()
            .zip(right.values.iter())
            .all(|((a, left), (b, right))| a == b && std::sync::Arc::ptr_eq(&left.entry, &right.entry))
}

fn derive_leg(shop: &Shop, fork: &ResolvedFork, side: Side) -> DerivedLeg {
    let ask = answer::Ask::new(shop, fork, side);
    let surface = surface::surface(&ask);
    let inserted = surface::inserted(&ask);
    let above_oil = air::air_above_oil(&ask, &inserted);
    let outer = chambers::outer(&ask);
    let main_chamber = chambers::main_chamber(&ask);
    let balance_chamber = chambers::balance_chamber(&ask);
    let gas = chambers::gas(&ask);
    let assist = held::assist(&ask);
    let coil = spring::spring(&ask);
    let beside = held::Beside { gas: &gas, assist: &assist };
    DerivedLeg {
        side,
        height: surface::set_by(&ask),
        corrections: air::corrections(&ask, &surface),
        drawn: surface::drawn_surface(&ask),
        parts: surface::parts(&ask),
        warm_gap: air::warm_gap(&ask, &surface),
        fills: amounts::fills(&ask),
        gauges: amounts::gauges(&ask),
        preload: preload::preload_of(&ask),
        coil_bind: spring::bind(&ask),
        cap_force: held::cap_force(&ask, &coil, &beside),
        tool_force: held::tool_force(&ask, &coil, &beside),
        nut: spring::nut(&ask),
        outer_bushing: spring::bushing(&ask, spring::OUTER_BUSHING),
        inner_bushing: spring::bushing(&ask, spring::INNER_BUSHING),
        joints: joints::joints(&ask, false),
        forces: spring::leg(
            &ask,
            &coil,
            &above_oil,
            &Chambers { outer: &outer, main: &main_chamber, balance: &balance_chamber, gas: &gas },
        ),
        surface,
        inserted,
        air: above_oil,
        outer,
        main_chamber,
        balance_chamber,
        gas,
        assist,
        spring: coil,
    }
}

/// The load on each leg when this stands under the front wheel.
fn load_of(ask: &answer::Ask, mass: Key) -> Answer<Force> {
    let mut ask = ask.clone();
    let front = ask.quantity(mass).and_then(Quantity::mass);
    let unsprung = ask.quantity(key::SETUP_UNSPRUNG_MASS).and_then(Quantity::mass);
    let rake = ask.quantity(key::SETUP_RAKE).and_then(Quantity::angle);
    let (Some(front), Some(unsprung), Some(rake)) = (front, unsprung, rake) else { return ask.lacking() };
    ask.assume("on level ground, standing still, without friction");
    ask.answer(load_per_leg(answer::weight_of(front), answer::weight_of(unsprung), rake))
}

fn sag_under(ask: &answer::Ask, legs: &[DerivedLeg; 2], load: &Answer<Force>) -> Answer<Length> {
    let mut ask = ask.clone();
    let left = ask.take(&legs[0].forces);
    let right = ask.take(&legs[1].forces);
    let load = ask.take(load);
    let (Some(left), Some(right), Some(load)) = (left, right, load) else { return ask.lacking() };
    // A leg that only damps carries nothing, so both together carry both loads.
    ask.answer(sag(left, right, 2.0 * *load))
}

fn rate_at_axle(ask: &answer::Ask, legs: &[DerivedLeg; 2]) -> Answer<SpringRate> {
    let mut ask = ask.clone();
    let mut rates = [spring_rate(0.0); 2];
    let mut lacks = false;
    for (rate, leg) in rates.iter_mut().zip(legs) {
        if matches!(leg.spring, Answer::NotHere) {
            continue;
        }
        match ask.take(&leg.spring).map(|spring| spring.rate_at(length(0.0))) {
            Some(Ok(first)) => *rate = first,
            _ => lacks = true,
        }
    }
    if rates.iter().all(|rate| rate.value == 0.0) && !lacks {
        return Answer::NotHere;
    }
    let rake = ask.quantity(key::SETUP_RAKE).and_then(Quantity::angle);
    let Some(rake) = rake.filter(|_| !lacks) else { return ask.lacking() };
    ask.answer(vertical_rate(rates[0], rates[1], rake))
}

/// The key of the rod that stands in a leg's outer chamber; `None` where it has none.
pub(crate) fn outer_rod(shop: &Shop, fork: &ResolvedFork, side: Side) -> Option<Key> {
    chambers::rod_of_outer_chamber(&answer::Ask::new(shop, fork, side))
}

/// The density at 15 °C of the oil a leg is filled with, where its record gives one.
pub(crate) fn density_of(shop: &Shop, fork: &ResolvedFork, side: Side) -> Option<MassDensity> {
    let mut ask = answer::Ask::new(shop, fork, side);
    let oil = ask.oil(key::OIL_OIL)?;
    ask.of_oil(oil, key::GRADE_DENSITY_15).and_then(Quantity::density)
}
