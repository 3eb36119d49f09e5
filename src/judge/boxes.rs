//! The boxes that a service has for readings on a fork: what is read, when, and on which legs.

use crate::catalogue::{Catalogue, FieldId};
use crate::plan::Plan;
use crate::record::Phase;
use crate::resolve::{Resolved, ResolvedFork, Side};
use crate::syntax::Scheme;

use super::asked::is_apart;

/// One box, or one for each leg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReadingBox {
    /// What is read.
    pub field: FieldId,
    /// Whether it is read as left.
    pub as_left: bool,
    /// Whether left and right are written apart.
    pub apart: bool,
    /// The legs that have it and on which it is read.
    pub legs: [bool; 2],
}

/// The boxes of a service on a fork, in the order of its steps.
pub fn boxes(catalogue: &Catalogue, fork: &ResolvedFork, plan: &Plan<'_>) -> Vec<ReadingBox> {
    let mut out: Vec<ReadingBox> = Vec::new();
    for item in &plan.items {
        let as_left = !item.procedure.phase.is_some_and(Phase::is_as_found);
        let references = item.procedure.body.references.iter();
        for reference in references.filter(|reference| reference.scheme == Scheme::Reading) {
            let Some(id) = catalogue.find(&reference.target) else { continue };
            let field = catalogue.field(id);
            let holds = |side: Side| {
                fork.leg(side).work.holds(field.works) && !fork.on(side, id).is_some_and(Resolved::not_fitted)
            };
            let apart = is_apart(field);
            let legs = [0, 1].map(|leg| !apart || item.legs[leg] && holds(Side::BOTH[leg]));
            if legs == [false; 2] || !apart && fork.any(id).is_some_and(Resolved::not_fitted) {
                continue;
            }
            match out.iter_mut().find(|done| done.field == id && done.as_left == as_left) {
                Some(done) => (0..2).for_each(|leg| done.legs[leg] |= legs[leg]),
                None => out.push(ReadingBox { field: id, as_left, apart, legs }),
            }
        }
    }
    out
}
