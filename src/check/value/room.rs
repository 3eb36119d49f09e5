//! The room a record's other values leave for one: its tuning range, its limit, what it cannot be above or
//! below. It judges nothing; it keeps what is offered instead of a wrong figure to what this fork can take.

use std::sync::Arc;

use crate::catalogue::FieldId;
use crate::derive::{Derived, Joint};
use crate::record::Entry;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use Stands::{Inside, NotAbove, NotBelow};

/// How a value stands to another of the same record.
#[derive(Clone, Copy)]
enum Stands {
    /// Inside its range.
    Inside,
    /// Not above it.
    NotAbove,
    /// Not below it.
    NotBelow,
}

/// A value, how it stands, to which other.
const STANDS: [(&str, Stands, &str); 22] = [
    ("oil.air_gap", Inside, "oil.air_gap_range"),
    ("oil.outer_volume", Inside, "oil.outer_volume_range"),
    ("oil.refill", NotAbove, "oil.dry_fill"),
    ("oil.dry_fill", NotBelow, "oil.refill"),
    ("air.main_pressure", Inside, "air.main_pressure_range"),
    ("air.main_pressure", NotAbove, "air.main_pressure_limit"),
    // The chambers of one leg are made for one greatest pressure (common practice, no source).
    ("air.balance_pressure", NotAbove, "air.main_pressure_limit"),
    ("air.outer_pressure", NotAbove, "air.main_pressure_limit"),
    ("air.assist_pressure", NotAbove, "air.assist_limit"),
    ("spring.fitted_length", NotAbove, "spring.free_length"),
    ("spring.fitted_length", NotBelow, "spring.solid_length"),
    ("spring.solid_length", NotAbove, "spring.fitted_length"),
    ("spring.free_length", NotBelow, "spring.fitted_length"),
    ("spring.free_length_limit", NotAbove, "spring.free_length"),
    ("tubes.stanchion_limit", NotAbove, "tubes.stanchion_diameter"),
    // The whole swing of the needle is twice the bend.
    ("tubes.runout_limit", NotBelow, "tubes.bend_limit"),
    ("tubes.bend_limit", NotAbove, "tubes.runout_limit"),
    ("setup.sag_static", NotAbove, "setup.sag_rider"),
    ("setup.sag_rider", NotBelow, "setup.sag_static"),
    ("setup.sag_rider", NotAbove, "tubes.stroke"),
    ("setup.front_load", NotAbove, "setup.front_load_rider"),
    ("setup.front_load_rider", NotBelow, "setup.front_load"),
];

/// Least and greatest that the record's other values leave, SI; infinite where nothing limits it.
pub(crate) fn left_by(shop: &Shop, fork: &ResolvedFork, field: FieldId, entry: &Arc<Entry>) -> (f64, f64) {
    let key = shop.catalogue.field(field).key.as_str();
    let side = side_of(fork, field, entry);
    let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
    for (_, stands, other) in STANDS.iter().filter(|(of, ..)| *of == key) {
        let other = shop.catalogue.find(other).and_then(|id| fork.on(side, id)).and_then(Resolved::quantity);
        let Some(other) = other else { continue };
        let (least, most) = (other.least_si(), other.greatest_si());
        match stands {
            Inside => (from, to) = (from.max(least), to.min(most)),
            NotAbove => to = to.min(most),
            NotBelow => from = from.max(least),
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

/// The same for one joint. Preload goes with the torque, by the short formula.
pub(crate) fn carried_by(joint: &Joint) -> Option<f64> {
    let strain = joint.strain.value()?;
    Some(joint.applied * strain.proof.value / strain.preload.least.value).filter(|most| most.is_finite())
}
