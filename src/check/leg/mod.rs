//! Rules on the arithmetic of one fork: where a leg would lock or push like a wall, where coils touch, where a torque
//! is more than its bolt carries, and what could not be judged.

mod air;
mod bushings;
mod cap_o_ring;
mod contradiction;
mod fit_and_bore;
mod joint;
mod mass_and_wire;
mod not_judged;
mod pressures;
pub(crate) mod rate_and_wire;
mod sag;
mod slope_and_bore;
mod spring;
mod spring_fit;
mod tube_wall;
mod warm_gap;

use crate::catalogue::Key;
use crate::check::look::on;
use crate::derive::Derived;
use crate::diagnostic::Finding;
use crate::resolve::{ResolvedFork, Shop, Side};

/// Every rule on one fork's arithmetic.
pub(crate) fn rules(shop: &Shop, fork: &ResolvedFork, derived: &Derived, findings: &mut Vec<Finding>) {
    for leg in &derived.legs {
        if let Some(air) = leg.air.value() {
            air::gap(shop, fork, leg.side, air, findings);
        }
        if let Some(outer) = leg.outer.value() {
            air::enclosed(shop, fork, leg.side, outer, findings);
        }
        spring::coil_bind(fork, leg, findings);
        spring::free_length(fork, leg.side, findings);
        bushings::bushings(fork, leg, findings);
        warm_gap::warm_gap(shop, fork, derived, leg, findings);
        let look = |key: Key| on(fork, leg.side, key);
        let told = findings.len();
        rate_and_wire::rate_and_wire(fork, leg, look, findings);
        // Wire that does not give the rate does not give the mass either: one mistake, one finding.
        if findings.len() == told {
            mass_and_wire::mass_and_wire(fork, look, findings);
        }
        slope_and_bore::slope_and_bore(leg, look, findings);
        fit_and_bore::fit_and_bore(look, findings);
        spring_fit::spring_fit(fork, leg.side, findings);
        tube_wall::tube_wall(fork, leg.side, findings);
        cap_o_ring::cap_o_ring(fork, leg.side, findings);
        pressures::rules(shop, fork, leg, findings);
        for joint in &leg.joints {
            joint::joint(shop, fork, leg.side, joint, findings);
        }
        contradiction::refusals(shop, fork, leg, findings);
    }
    for joint in &derived.joints {
        joint::joint(shop, fork, Side::Left, joint, findings);
    }
    sag::sag(fork, derived, findings);
    not_judged::not_judged(shop, fork, derived, findings);
}
