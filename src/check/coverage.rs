//! What a service leaves out: values that no step sets or records, parts that none measures, torques
//! out of their order, tools that are used and not laid out.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::CheckedFork;
use super::fork::lower_first;
use crate::catalogue::{FieldId, Form, Owner, Per, Role};
use crate::diagnostic::{Finding, Rule, rules};
use crate::plan::{Plan, Plans, legs_word};
use crate::quantity::{Dimension, Kind, Value};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::syntax::markdown::{Piece, Reference};

/// Amounts of which a service needs one: after a strip the dry fill, at an oil change the refill.
const INSTEAD: [[&str; 2]; 1] = [["oil.dry_fill", "oil.refill"]];

/// value-not-recorded, value-not-set, part-not-measured, difference-not-compared, torque-out-of-order,
/// torque-without-thread-state: what each service does for each of its forks.
pub(super) fn services(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, found: &mut Vec<Finding>) {
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

/// torque-without-thread-state: what a torque does to a bolt depends on whether its thread is dry.
fn thread_states(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>, found: &mut Vec<Finding>) {
    let mut said: BTreeSet<&str> = BTreeSet::new();
    for (reference, legs) in plan.references_on().filter(|(reference, _)| reference.scheme == "spec") {
        let Some(id) = shop.catalogue.find(&reference.target) else { continue };
        let field = shop.catalogue.field(id);
        let asks = field.attributes.iter().any(|key| key == "thread_state");
        if !asks || field.kind != Kind::Quantity(Dimension::Torque) || !said.insert(&reference.target) {
            continue;
        }
        for side in Side::BOTH.into_iter().zip(legs).filter(|(_, on)| *on).map(|(side, _)| side) {
            let Some(value) = fork.on(side, id).filter(|value| value.value().is_some()) else { continue };
            if value.not_fitted() || value.entry.attributes.contains_key("thread_state") {
                continue;
            }
            found.push(
                rules::TORQUE_WITHOUT_THREAD_STATE.at(value.entry.span,
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
                rules::TORQUE_OUT_OF_ORDER
                    .at(
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

/// tool-not-listed, tool-not-used: what a step picks up is laid out before the job, and nothing else is.
pub(super) fn tools(shop: &Shop, _: &[CheckedFork], found: &mut Vec<Finding>) {
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
                rules::TOOL_NOT_LISTED
                    .at(reference.span, format!("`{}` is used in a step and not listed", reference.target))
                    .bench("it is missing from what is laid out before the job")
                    .instead(format!("add it to `{list}:` in the head")),
            );
        }
        let steps = procedure.body.steps().map(|step| step.action.plain(|r| r.text.clone()).to_lowercase());
        let steps: Vec<String> = steps.collect();
        // Without steps, or in the wrong list: that has been told.
        let right = procedure.tools.iter().map(|id| (id, false));
        let right = right.chain(procedure.consumables.iter().map(|id| (id, true)));
        for (id, consumable) in right.filter(|_| !steps.is_empty()) {
            let fits = |tool: &&crate::record::Tool| !tool.worn && tool.consumable == consumable;
            let Some(tool) = shop.tool(&id.text).filter(fits) else { continue };
            let linked = procedure.body.steps().flat_map(|step| &step.action.pieces).any(
                |piece| matches!(piece, Piece::Reference(r) if r.scheme == "tool" && r.target == id.text),
            );
            let words =
                || std::iter::once(tool.title.as_str()).chain(tool.called.iter().map(|w| w.text.as_str()));
            if linked || words().any(|word| steps.iter().any(|step| speaks_of(step, &word.to_lowercase()))) {
                continue;
            }
            found.push(
                rules::TOOL_NOT_USED
                    .at(id.span, format!("`{}` is listed, and no step uses it", id.text))
                    .bench(
                        "it is fetched and laid out for nothing, or the step that needs it does not say so",
                    )
                    .instead(format!(
                        "say where it is used, `[{}](tool:{})`, or take it off the list",
                        lower_first(&tool.title),
                        id.text
                    )),
            );
        }
    }
}

/// Whether a text says a word or phrase, as it stands or with an s behind it. Both in small letters.
fn speaks_of(text: &str, word: &str) -> bool {
    let letter = |next: Option<char>| next.is_some_and(char::is_alphanumeric);
    text.match_indices(word).any(|(at, _)| {
        let rest = &text[at + word.len()..];
        let rest = rest.strip_prefix('s').unwrap_or(rest);
        !word.is_empty() && !letter(text[..at].chars().next_back()) && !letter(rest.chars().next())
    })
}
