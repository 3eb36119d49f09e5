//! What a service that answers for the whole fork leaves out.

use std::collections::{BTreeMap, BTreeSet};

use super::torques::{thread_states, torques};
use crate::catalogue::{Field, FieldId, Form, Owner, Per, Role};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Rule, Severity, rules};
use crate::plan::{Plan, legs_word};
use crate::quantity::{Dimension, Kind};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::words::lower_first;

/// value-not-recorded, value-not-set, part-not-measured, difference-not-compared, torque-out-of-order,
/// torque-without-thread-state: what each service does for a fork.
pub(crate) fn services(shop: &Shop, fork: &CheckedFork, plans: &[Plan<'_>], findings: &mut Vec<Finding>) {
    if !fork.open.is_empty() || fork.family_lost {
        return;
    }
    for plan in plans {
        // A procedure that could not be read may hold what seems to be left out.
        if plan.service.procedures.iter().all(|id| shop.procedure(&id.text).is_some())
            && plan.unfilled.is_empty()
        {
            of_plan(shop, fork, plan, findings);
        }
    }
}

/// What a service names on which leg of a fork.
struct Covered<'c> {
    shop: &'c Shop,
    fork: &'c ResolvedFork,
    plan: &'c Plan<'c>,
    /// The legs on which each value is named.
    named: BTreeMap<&'c str, [bool; 2]>,
    /// The legs on which each value has a box.
    boxes: BTreeMap<&'c str, [bool; 2]>,
}

impl<'c> Covered<'c> {
    fn of(shop: &'c Shop, fork: &'c ResolvedFork, plan: &'c Plan<'c>) -> Self {
        let (mut named, mut boxes) = (BTreeMap::new(), BTreeMap::new());
        for (reference, legs) in plan.references_on() {
            let of: &mut BTreeMap<&str, [bool; 2]> = match reference.scheme {
                Scheme::Spec => &mut named,
                Scheme::Reading => &mut boxes,
                _ => continue,
            };
            let on = of.entry(&reference.target).or_default();
            (0..2).for_each(|n| on[n] |= legs[n]);
        }
        Covered { shop, fork, plan, named, boxes }
    }

    /// The legs that have the part.
    fn fitted(&self, id: FieldId) -> [bool; 2] {
        Side::BOTH.map(|side| {
            self.fork.on(side, id).is_some_and(|value| value.value().is_some() && !value.not_fitted())
        })
    }

    /// The legs on which a value is held and work does not come to it; none where it comes to all.
    fn left_out(&self, id: FieldId, done: Option<&[bool; 2]>) -> Option<[bool; 2]> {
        let (on, done) = (self.fitted(id), done.copied().unwrap_or_default());
        let mut out = [on[0] && !done[0], on[1] && !done[1]];
        if self.shop.catalogue.field(id).per != Per::Leg && done != [false; 2] {
            out = [false; 2];
        }
        (out != [false; 2]).then_some(out)
    }

    /// The legs in words, said only where it is one leg of two.
    fn leg(&self, id: FieldId, out: [bool; 2]) -> String {
        match (out == self.fitted(id), legs_word(out)) {
            (false, word) if !word.is_empty() => format!(" on the {word}"),
            _ => String::new(),
        }
    }

    /// The legs on which a value is set, or the one that is set in its place.
    fn done(&self, id: FieldId) -> [bool; 2] {
        let catalogue = &self.shop.catalogue;
        // After a strip the dry fill is poured, at an oil change the refill: a service needs one of them.
        let others = catalogue.relations().instead(id).chain([id]).map(|id| catalogue.field(id).key.as_str());
        let mut out = [false; 2];
        for other in others.filter_map(|key| self.named.get(key)) {
            (0..2).for_each(|n| out[n] |= other[n]);
        }
        out
    }

    /// Whether a difference between the legs counts: the value it is about is there.
    fn limits(&self, key: &str) -> bool {
        self.shop
            .catalogue
            .of(Owner::Fork)
            .any(|(id, field)| field.difference.as_deref() == Some(key) && self.fitted(id) != [false; 2])
    }
}

/// What one service leaves out of one fork.
fn of_plan(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>, findings: &mut Vec<Finding>) {
    torques(shop, fork, plan, findings);
    thread_states(shop, fork, plan, findings);
    // A draft lacks values by right.
    if !plan.service.whole || fork.record.draft {
        return;
    }
    let covered = Covered::of(shop, fork, plan);
    not_recorded(&covered, findings);
    for (id, field) in shop.catalogue.of(Owner::Fork).filter(|(id, _)| covered.fitted(*id) != [false; 2]) {
        findings.extend(left_out(&covered, id, field));
    }
}

/// value-not-recorded: what is set is written down.
fn not_recorded(covered: &Covered<'_>, findings: &mut Vec<Finding>) {
    let Covered { shop, plan, .. } = covered;
    let service = &plan.service.id;
    let mut reported: BTreeSet<&str> = BTreeSet::new();
    for reference in plan.references().filter(|reference| reference.scheme == Scheme::Spec) {
        let Some(id) = shop.catalogue.find(&reference.target) else { continue };
        let field = shop.catalogue.field(id);
        let set = field.role == Role::Set && field.safety && field.form == Form::Target;
        let boxes = covered.boxes.get(field.key.as_str());
        let Some(out) = covered.left_out(id, boxes).filter(|_| set) else { continue };
        // A leg on which it is not set either has a finding of its own.
        let set_on = covered.named.get(field.key.as_str()).copied().unwrap_or_default();
        let out = [out[0] && set_on[0], out[1] && set_on[1]];
        if out == [false; 2] || !reported.insert(&reference.target) {
            continue;
        }
        let message = format!(
            "a step sets {} (`{}`), and `{}` has no box to write it in{}",
            lower_first(&field.title),
            field.key,
            service.text,
            covered.leg(id, out)
        );
        findings.push(
            // It is safety-critical, and its fork is published.
            rules::VALUE_NOT_RECORDED
                .at(reference.span, message)
                .bench("nobody can see afterwards whether it was set, and to what")
                .instead(format!("add `<reading:{}>` to the step", field.key))
                .also(service.span, "this service"),
        );
    }
}

/// difference-not-compared, value-not-set, part-not-measured: what no step of the service does with a value.
fn left_out(covered: &Covered<'_>, id: FieldId, field: &Field) -> Option<Finding> {
    let (key, title) = (field.key.as_str(), lower_first(&field.title));
    let service = &covered.plan.service.id;
    let finding = |rule: &'static Rule, what: &str, on: &str| {
        let message = format!(
            "`{}` answers for the whole fork, and no step {what} {title} (`{key}`){on}",
            service.text
        );
        let critical = field.safety && rule.severities.contains(&Severity::Error);
        let severity = if critical { Severity::Error } else { Severity::Warning };
        rule.graded(severity, service.span, message)
    };
    let value = Side::BOTH.into_iter().find_map(|side| covered.fork.on(side, id));
    let torque = field.kind == Kind::Quantity(Dimension::Torque);
    match (field.role, field.form) {
        (_, Form::Difference) if !covered.named.contains_key(key) && covered.limits(key) => Some(
            finding(&rules::DIFFERENCE_NOT_COMPARED, "holds the legs against", "")
                .bench("both legs can be inside their tolerance and too far apart")
                .instead(format!(
                    "compare left and right with `[difference](spec:{key})` in the step that sets the value"
                )),
        ),
        (Role::Set, Form::Target) if field.safety || torque => {
            let out = covered.left_out(id, Some(&covered.done(id)))?;
            let (does, done) = if torque { ("tightens", "tightened") } else { ("sets", "set") };
            Some(
                finding(&rules::VALUE_NOT_SET, does, &covered.leg(id, out))
                    .bench(lower_first(&field.wrong))
                    .instead(format!(
                        "name it where it is {done}, `[{title}](spec:{key})`, or leave `covers:` out"
                    ))
                    .also(value?.entry.span, "this value"),
            )
        }
        (Role::Inspected, Form::Limit) => {
            let out = covered.left_out(id, covered.named.get(key))?;
            Some(
                finding(&rules::PART_NOT_MEASURED, "measures against", &covered.leg(id, out))
                    .bench(lower_first(&field.wrong))
                    .instead(format!("measure it, write it, and compare it with `[limit](spec:{key})`")),
            )
        }
        _ => None,
    }
}
