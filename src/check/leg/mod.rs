//! Rules on the arithmetic of one fork: where a leg would lock or push like a wall, where coils touch, where a torque
//! is more than its bolt carries, and what could not be judged.

mod air;
mod bushings;
mod contradiction;
mod fit_and_bore;
mod joint;
mod not_judged;
mod pressures;
mod rate_and_wire;
mod slope_and_bore;
mod spring;
mod warm_gap;

use crate::check::look::on;
use crate::derive::Derived;
use crate::diagnostic::Finding;
use crate::resolve::{ResolvedFork, Shop, Side};

/// Every rule on one fork's arithmetic.
pub(crate) fn rules(shop: &Shop, fork: &ResolvedFork, derived: &Derived, found: &mut Vec<Finding>) {
    for leg in &derived.legs {
        if let Some(air) = leg.air.value() {
            air::gap(shop, fork, leg.side, air, found);
        }
        if let Some(outer) = leg.outer.value() {
            air::enclosed(shop, fork, leg.side, outer, found);
        }
        spring::coil_bind(shop, fork, leg, found);
        spring::free_length(shop, fork, leg.side, found);
        bushings::bushings(shop, fork, leg, found);
        warm_gap::warm_gap(shop, fork, derived, leg, found);
        let look = |key: &str| on(shop, fork, leg.side, key);
        rate_and_wire::rate_and_wire(leg, look, found);
        slope_and_bore::slope_and_bore(leg, look, found);
        fit_and_bore::fit_and_bore(look, found);
        pressures::rules(shop, fork, leg, found);
        for joint in &leg.joints {
            joint::joint(shop, fork, leg.side, joint, found);
        }
        contradiction::refusals(shop, fork, leg, found);
    }
    for joint in &derived.joints {
        joint::joint(shop, fork, Side::Left, joint, found);
    }
    not_judged::not_judged(shop, fork, derived, found);
}
