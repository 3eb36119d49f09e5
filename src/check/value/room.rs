//! The room a record's other values leave for one: its tuning range, its limit, what it cannot be above or
//! below. It judges nothing; it keeps what is offered instead of a wrong figure to what this fork can take.

use std::sync::Arc;

use crate::catalogue::{Bound, FieldId};
use crate::derive::{Derived, Joint};
use crate::quantity::Quantity;
use crate::record::Entry;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};

/// Least and greatest that the record's other values leave, SI; infinite where nothing limits it.
pub(crate) fn left_by(shop: &Shop, fork: &ResolvedFork, field: FieldId, entry: &Arc<Entry>) -> (f64, f64) {
    let side = side_of(fork, field, entry);
    let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
    let other = |field: FieldId| fork.on(side, field).and_then(Resolved::quantity);
    for bound in shop.catalogue.relations().bounds(field) {
        match *bound {
            Bound::Inside(range) => {
                let Some(range) = other(range) else { continue };
                (from, to) = (from.max(range.least_si()), to.min(range.greatest_si()));
            }
            Bound::NotAbove(most) => to = to.min(other(most).map_or(to, Quantity::greatest_si)),
            Bound::NotBelow(least) => from = from.max(other(least).map_or(from, Quantity::least_si)),
        }
    }
    (from, to)
}

fn side_of(fork: &ResolvedFork, field: FieldId, entry: &Arc<Entry>) -> Side {
    let right = fork.legs[1].values.get(&field);
    let left = fork.legs[0].values.get(&field);
    match (left, right) {
        (Some(left), Some(_)) if Arc::ptr_eq(&left.entry, entry) => Side::Left,
        (_, Some(_)) => Side::Right,
        _ => Side::Left,
    }
}

/// The greatest torque, N·m, at which a bolt of a declared class is not certainly stretched.
pub(crate) fn carried(derived: &Derived, field: FieldId) -> Option<f64> {
    let legs = derived.legs.iter().flat_map(|leg| &leg.joints);
    derived
        .joints
        .iter()
        .chain(legs)
        .filter(|joint| joint.field == field)
        .filter_map(carried_by)
        .reduce(f64::min)
}

/// Below this share of what its bolt carries no joint is tightened (common practice, no source: half to three quarters).
const HARDLY_TIGHT: f64 = 0.3;

/// Between which torques, N·m, a figure is offered for a bolt that carries so much.
pub(crate) fn offered(most: f64) -> (f64, f64) {
    (HARDLY_TIGHT * most, most)
}

/// The same for one joint. Preload goes with the torque, by the short formula.
pub(crate) fn carried_by(joint: &Joint) -> Option<f64> {
    let strain = joint.strain.value()?;
    Some(joint.applied * strain.proof.value / strain.preload.least.value).filter(|most| most.is_finite())
}
