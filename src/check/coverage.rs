//! What a service leaves out: values that no step sets or records, parts that none measures, torques
//! out of their order, tools that are used and not laid out.

use std::collections::BTreeSet;

use super::fork::lower_first;
use crate::catalogue::{FieldId, Form, Owner, Role};
use crate::diagnostic::Finding;
use crate::plan::{Plan, plans};
use crate::quantity::Value;
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::source::markdown::Reference;

/// Amounts of which a service needs one: after a strip the dry fill, at an oil change the refill.
const INSTEAD: [[&str; 2]; 1] = [["oil.dry_fill", "oil.refill"]];

/// value-not-recorded, value-not-set, part-not-measured, difference-not-compared, torque-out-of-order:
/// what each service does for each of its forks.
pub(super) fn services(shop: &Shop, forks: &[ResolvedFork], found: &mut Vec<Finding>) {
    // A draft lacks values by right.
    for fork in
        forks.iter().filter(|fork| !fork.record(shop).draft && fork.open.is_empty() && !fork.family_lost)
    {
        for plan in plans(shop, fork) {
            // A procedure that could not be read may hold what seems to be left out.
            if plan.service.procedures.iter().all(|id| shop.procedure(&id.text).is_some())
                && plan.unfilled.is_empty()
            {
                let before = found.len();
                one(shop, fork, &plan, found);
                found[before..].iter_mut().for_each(|finding| finding.reaches = vec![fork.id.clone()]);
            }
        }
    }
}

fn one(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>, found: &mut Vec<Finding>) {
    let of = |scheme: &'static str| plan.references().filter(move |reference| reference.scheme == scheme);
    let named: BTreeSet<&str> = of("spec").map(|r| r.target.as_str()).collect();
    let boxes: BTreeSet<&str> = of("reading").map(|r| r.target.as_str()).collect();
    let fitted = |id: FieldId| {
        Side::BOTH
            .iter()
            .filter_map(|side| fork.on(*side, id))
            .any(|value| value.value().is_some() && !value.not_fitted())
    };
    let service = &plan.service.id;
    torques(shop, fork, plan, found);
    if !plan.service.whole {
        return;
    }
    let mut said: BTreeSet<&str> = BTreeSet::new();
    for reference in of("spec") {
        let Some(id) = shop.catalogue.find(&reference.target) else { continue };
        let field = shop.catalogue.field(id);
        let set = field.role == Role::Set && field.safety && field.form == Form::Target && fitted(id);
        if set && !boxes.contains(field.key.as_str()) && said.insert(&reference.target) {
            found.push(
                Finding::warning(
                    "value-not-recorded",
                    reference.span,
                    format!(
                        "a step sets {} (`{}`), and `{}` has no box to write it in",
                        lower_first(&field.title),
                        field.key,
                        service.text
                    ),
                )
                .bench("nobody can see afterwards whether it was set, and to what")
                .instead(format!("add `<reading:{}>` to the step", field.key))
                .also(service.span, "this service"),
            );
        }
    }
    // A difference between legs counts where the value it is about is there.
    let limits = |key: &str| {
        shop.catalogue
            .of(Owner::Fork)
            .any(|(id, field)| field.difference.as_deref() == Some(key) && fitted(id))
    };
    let instead = |key: &str| {
        INSTEAD.iter().any(|pair| pair.contains(&key) && pair.iter().any(|other| named.contains(other)))
    };
    for (_, field) in shop.catalogue.of(Owner::Fork).filter(|(id, _)| fitted(*id)) {
        let key = field.key.as_str();
        let told = |code, what: &str, bench: &str, instead: String| {
            Finding::warning(
                code,
                service.span,
                format!(
                    "`{}` answers for the whole fork, and no step {what} {} (`{key}`)",
                    service.text,
                    lower_first(&field.title)
                ),
            )
            .bench(bench.to_owned())
            .instead(instead)
        };
        match (field.role, field.form) {
            (_, Form::Difference) if !named.contains(key) && limits(key) => found.push(told(
                "difference-not-compared",
                "holds the legs against",
                "both legs can be inside their tolerance and too far apart",
                format!(
                    "compare left and right with `[difference](spec:{key})` in the step that sets the value"
                ),
            )),
            (Role::Set, Form::Target) if field.safety && !named.contains(key) && !instead(key) => {
                found.push(told(
                    "value-not-set",
                    "sets",
                    &lower_first(&field.wrong),
                    format!(
                        "name it where it is set, `[{}](spec:{key})`, or leave `covers:` out",
                        lower_first(&field.title)
                    ),
                ))
            }
            (Role::Inspected, Form::Limit) if !named.contains(key) => found.push(told(
                "part-not-measured",
                "measures against",
                &lower_first(&field.wrong),
                format!("measure it, write it, and compare it with `[limit](spec:{key})`"),
            )),
            _ => {}
        }
    }
}

/// Torques that say their place in the order are applied in it.
fn torques(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>, found: &mut Vec<Finding>) {
    let mut last: Option<(&Reference, u32)> = None;
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    for reference in plan.references().filter(|reference| reference.scheme == "spec") {
        let Some(id) = shop.catalogue.find(&reference.target) else { continue };
        let place = Side::BOTH.iter().filter_map(|side| fork.on(*side, id)).find_map(|value| {
            match value.entry.attributes.get("sequence")?.value.as_ref()? {
                Value::Count(count) => Some(*count),
                _ => None,
            }
        });
        // Where a figure is named again, to be checked, its place has been kept already.
        let Some(place) = place.filter(|_| seen.insert(&reference.target)) else { continue };
        match last {
            Some((before, after)) if after > place => found.push(
                Finding::warning(
                    "torque-out-of-order",
                    reference.span,
                    format!(
                        "`{}` is tightened after `{}`, and its place in the order is before it",
                        reference.target, before.target
                    ),
                )
                .bench("a joint that is tightened too early is strained or loosened by the next one")
                .instead("put the steps into the order of `sequence:`, or correct the figure")
                .also(before.span, format!("number {after} in the order")),
            ),
            _ => last = Some((reference, place)),
        }
    }
}

/// tool-not-listed: what a step picks up is laid out before the job.
pub(super) fn tools(shop: &Shop, _: &[ResolvedFork], found: &mut Vec<Finding>) {
    for procedure in &shop.procedures {
        let listed: BTreeSet<&str> =
            procedure.tools.iter().chain(&procedure.consumables).map(|id| id.text.as_str()).collect();
        let used = procedure.body.references.iter().filter(|reference| reference.scheme == "tool");
        for reference in
            used.filter(|r| !listed.contains(r.target.as_str()) && shop.tool(&r.target).is_some())
        {
            let list = if shop.tool(&reference.target).is_some_and(|tool| tool.consumable) {
                "consumables"
            } else {
                "tools"
            };
            found.push(
                Finding::warning(
                    "tool-not-listed",
                    reference.span,
                    format!("`{}` is used in a step and not listed", reference.target),
                )
                .bench("it is missing from what is laid out before the job")
                .instead(format!("add it to `{list}:` in the head")),
            );
        }
    }
}
