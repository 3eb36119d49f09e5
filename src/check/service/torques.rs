//! Torques are applied in their order, on threads whose state is said.

use std::collections::BTreeSet;

use crate::check::look::weight;
use crate::diagnostic::{Finding, Severity, rules};
use crate::plan::Plan;
use crate::quantity::{Dimension, Kind, Value};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::syntax::markdown::Reference;

/// torque-without-thread-state: what a torque does to a bolt depends on whether its thread is dry.
pub(super) fn thread_states(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>, findings: &mut Vec<Finding>) {
    let mut reported: BTreeSet<&str> = BTreeSet::new();
    for (reference, legs) in plan.references_on().filter(|(reference, _)| reference.scheme == Scheme::Spec) {
        let Some(id) = shop.catalogue.find(&reference.target) else { continue };
        let field = shop.catalogue.field(id);
        let asks = field.attributes.iter().any(|key| key == "thread_state");
        if !asks || field.kind != Kind::Quantity(Dimension::Torque) || !reported.insert(&reference.target) {
            continue;
        }
        for side in Side::BOTH.into_iter().zip(legs).filter(|(_, on)| *on).map(|(side, _)| side) {
            let Some(value) = fork.on(side, id).filter(|value| value.value().is_some()) else { continue };
            if value.not_fitted() || value.is_unknown() || value.entry.attributes.contains_key("thread_state")
            {
                continue;
            }
            findings.push(
                rules::TORQUE_WITHOUT_THREAD_STATE.graded(
                    weight(fork),
                    value.entry.span,
                    format!("`{}` does not say whether its thread is dry, oiled or locked", field.key),
                )
                .bench(
                    "on an oiled thread the torque of a dry one stretches the bolt up to half as far again",
                )
                .instead("write it as a mapping: `{value: …, thread_state: dry}`")
                .also(reference.span, "applied here"),
            );
            break;
        }
    }
}

/// Torques that say their place in the order are applied in it.
pub(super) fn torques(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>, findings: &mut Vec<Finding>) {
    let mut last: Option<(&Reference, u32)> = None;
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    for reference in plan.references().filter(|reference| reference.scheme == Scheme::Spec) {
        let Some(id) = shop.catalogue.find(&reference.target) else { continue };
        let place = Side::BOTH.iter().filter_map(|side| fork.on(*side, id)).find_map(|value| {
            let written = value.entry.attributes.get("sequence")?;
            match written.value.as_ref()? {
                Value::Count(count) => Some((*count, written.text.span)),
                _ => None,
            }
        });
        // Where a figure is named again, to be checked, its place has been kept already.
        let Some((place, written)) = place.filter(|_| seen.insert(&reference.target)) else { continue };
        let critical = shop.catalogue.field(id).safety;
        match last {
            Some((before, after)) if after > place => findings.push(
                rules::TORQUE_OUT_OF_ORDER
                    .graded(
                        if critical { weight(fork) } else { Severity::Warning },
                        reference.span,
                        format!(
                            "`{}` is tightened after `{}`, and its place in the order is before it",
                            reference.target, before.target
                        ),
                    )
                    .bench("a joint that is tightened too early is strained or loosened by the next one")
                    .instead("put the steps into the order of `sequence:`, or correct the figure")
                    .also(before.span, format!("number {after} in the order"))
                    .also(written, format!("number {place} in the order")),
            ),
            _ => last = Some((reference, place)),
        }
    }
}
