//! What a service that answers for the whole fork leaves out.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::torques::{thread_states, torques};
use crate::catalogue::{FieldId, Form, Owner, Per, Role};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Rule, rules};
use crate::plan::{Plan, Plans, legs_word};
use crate::quantity::{Dimension, Kind};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// Amounts of which a service needs one: after a strip the dry fill, at an oil change the refill.
const INSTEAD: [[&str; 2]; 1] = [["oil.dry_fill", "oil.refill"]];

/// value-not-recorded, value-not-set, part-not-measured, difference-not-compared, torque-out-of-order,
/// torque-without-thread-state: what each service does for each of its forks.
pub(crate) fn services(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, found: &mut Vec<Finding>) {
    // A draft lacks values by right.
    let whole = |fork: &&CheckedFork| !fork.record.draft && fork.open.is_empty() && !fork.family_lost;
    let of_forks: Vec<Vec<Finding>> = forks
        .par_iter()
        .filter(whole)
        .map(|fork| {
            let mut found = Vec::new();
            for plan in plans.of(fork) {
                // A procedure that could not be read may hold what seems to be left out.
                if plan.service.procedures.iter().all(|id| shop.procedure(&id.text).is_some())
                    && plan.unfilled.is_empty()
                {
                    one(shop, fork, plan, &mut found);
                }
            }
            found.iter_mut().for_each(|finding| finding.reaches = vec![fork.id.clone()]);
            found
        })
        .collect();
    found.extend(of_forks.into_iter().flatten());
}

fn one(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>, found: &mut Vec<Finding>) {
    // Which legs each value is named on, and each box stands on.
    let mut named: BTreeMap<&str, [bool; 2]> = BTreeMap::new();
    let mut boxes: BTreeMap<&str, [bool; 2]> = BTreeMap::new();
    for (reference, legs) in plan.references_on() {
        let of = match reference.scheme.as_str() {
            "spec" => named.entry(&reference.target),
            "reading" => boxes.entry(&reference.target),
            _ => continue,
        };
        let on = of.or_default();
        (0..2).for_each(|n| on[n] |= legs[n]);
    }
    let fitted = |id: FieldId| {
        Side::BOTH
            .map(|side| fork.on(side, id).is_some_and(|value| value.value().is_some() && !value.not_fitted()))
    };
    // The legs on which a value is held and work does not come to it; none where it comes to all.
    let left_out = |id: FieldId, done: Option<&[bool; 2]>| -> Option<[bool; 2]> {
        let (on, done) = (fitted(id), done.copied().unwrap_or_default());
        let mut out = [on[0] && !done[0], on[1] && !done[1]];
        if shop.catalogue.field(id).per != Per::Leg && done != [false; 2] {
            out = [false; 2];
        }
        (out != [false; 2]).then_some(out)
    };
    // Said only where it is one leg of two.
    let leg = |id: FieldId, out: [bool; 2]| match (out == fitted(id), legs_word(out)) {
        (false, word) if !word.is_empty() => format!(" on the {word}"),
        _ => String::new(),
    };
    let service = &plan.service.id;
    torques(shop, fork, plan, found);
    thread_states(shop, fork, plan, found);
    if !plan.service.whole {
        return;
    }
    let mut said: BTreeSet<&str> = BTreeSet::new();
    for reference in plan.references().filter(|reference| reference.scheme == "spec") {
        let Some(id) = shop.catalogue.find(&reference.target) else { continue };
        let field = shop.catalogue.field(id);
        let set = field.role == Role::Set && field.safety && field.form == Form::Target;
        let Some(out) = left_out(id, boxes.get(field.key.as_str())).filter(|_| set) else { continue };
        // A leg on which it is not set either is told of below.
        let set_on = named.get(field.key.as_str()).copied().unwrap_or_default();
        let out = [out[0] && set_on[0], out[1] && set_on[1]];
        if out != [false; 2] && said.insert(&reference.target) {
            found.push(
                rules::VALUE_NOT_RECORDED
                    .at(
                        reference.span,
                        format!(
                            "a step sets {} (`{}`), and `{}` has no box to write it in{}",
                            lower_first(&field.title),
                            field.key,
                            service.text,
                            leg(id, out)
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
            .any(|(id, field)| field.difference.as_deref() == Some(key) && fitted(id) != [false; 2])
    };
    let done = |key: &str| {
        let others = INSTEAD.iter().filter(|pair| pair.contains(&key)).flatten();
        let mut out = named.get(key).copied().unwrap_or_default();
        for other in others.filter_map(|other| named.get(other)) {
            (0..2).for_each(|n| out[n] |= other[n]);
        }
        out
    };
    for (id, field) in shop.catalogue.of(Owner::Fork).filter(|(id, _)| fitted(*id) != [false; 2]) {
        let key = field.key.as_str();
        let told = |rule: &'static Rule, what: &str, on: String, bench: &str, instead: String| {
            rule.at(
                service.span,
                format!(
                    "`{}` answers for the whole fork, and no step {what} {} (`{key}`){on}",
                    service.text,
                    lower_first(&field.title)
                ),
            )
            .bench(bench.to_owned())
            .instead(instead)
        };
        let torque = field.kind == Kind::Quantity(Dimension::Torque);
        match (field.role, field.form) {
            (_, Form::Difference) if !named.contains_key(key) && limits(key) => found.push(told(
                &rules::DIFFERENCE_NOT_COMPARED,
                "holds the legs against",
                String::new(),
                "both legs can be inside their tolerance and too far apart",
                format!(
                    "compare left and right with `[difference](spec:{key})` in the step that sets the value"
                ),
            )),
            (Role::Set, Form::Target) if field.safety || torque => {
                if let Some(out) = left_out(id, Some(&done(key))) {
                    found.push(told(
                        &rules::VALUE_NOT_SET,
                        if torque { "tightens" } else { "sets" },
                        leg(id, out),
                        &lower_first(&field.wrong),
                        format!(
                            "name it where it is {}, `[{}](spec:{key})`, or leave `covers:` out",
                            if torque { "tightened" } else { "set" },
                            lower_first(&field.title)
                        ),
                    ));
                }
            }
            (Role::Inspected, Form::Limit) => {
                if let Some(out) = left_out(id, named.get(key)) {
                    found.push(told(
                        &rules::PART_NOT_MEASURED,
                        "measures against",
                        leg(id, out),
                        &lower_first(&field.wrong),
                        format!("measure it, write it, and compare it with `[limit](spec:{key})`"),
                    ));
                }
            }
            _ => {}
        }
    }
}
