//! A condition that names its evidence: whoever brings it about links it.

use std::collections::BTreeMap;

use super::condition_words::{otherwise, quoted};
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::plan::{Planned, Plans};
use crate::quantity::Value;
use crate::record::{Condition, Procedure, Text};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::words::lower_first;

/// The values that conditions name, with the conditions.
fn named(shop: &Shop) -> impl Iterator<Item = (&Condition, &Text)> {
    shop.conditions.list.iter().flat_map(|condition| {
        condition
            .evidence
            .iter()
            .chain(&condition.only_then)
            .chain(&condition.not_then)
            .map(move |key| (condition, key))
    })
}

/// dangling-reference, evidence-nowhere: the values that conditions name are there, and some fork has each.
pub(crate) fn values(shop: &Shop, forks: &[CheckedFork], findings: &mut Vec<Finding>) {
    for (condition, key) in named(shop) {
        let Some(field) = shop.catalogue.find(&key.text) else {
            if shop.catalogue.incomplete {
                continue;
            }
            let keys = shop.catalogue.iter().map(|(_, field)| field.key.as_str());
            let look = || "see the field reference for what a fork record can hold".to_owned();
            findings.push(
                rules::DANGLING_REFERENCE
                    .at(key.span, format!("there is no value `{}`", key.text))
                    .bench("the condition would be brought about on a word, with no figure behind it")
                    .instead(did_you_mean(&key.text, keys, look)),
            );
            continue;
        };
        let meant = |fork: &&CheckedFork| condition.applies.holds(&fork.choices);
        let has = |fork: &CheckedFork| Side::BOTH.iter().any(|side| gives(fork, *side, field));
        // Where a fork is not yet told apart, or there is none, nobody can say that none has it.
        let all_known = forks.iter().all(|fork| fork.open.is_empty() && !fork.family_lost);
        if forks.is_empty() || !all_known || forks.iter().filter(meant).any(has) {
            continue;
        }
        findings.push(
            rules::EVIDENCE_NOWHERE
                .at(
                    key.span,
                    format!("no fork for which {} means anything has `{}`", quoted(condition), key.text),
                )
                .bench("the condition would be brought about on a word, with no figure behind it")
                .instead("name a value that these forks have, or take it out"),
        );
    }
}

/// Whether a leg has this value, and its part.
fn gives(fork: &ResolvedFork, side: Side, field: FieldId) -> bool {
    fork.on(side, field).is_some_and(|value| !matches!(value.value(), Some(Value::NotFitted)))
}

/// evidence-not-given: a procedure that brings a condition about links the evidence that the fork has for it.
pub(crate) fn evidence(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, findings: &mut Vec<Finding>) {
    let mut missing: BTreeMap<(&str, &str, &str), Finding> = BTreeMap::new();
    if shop.conditions.list.iter().all(|condition| condition.evidence.is_empty()) {
        return;
    }
    for fork in forks {
        for item in plans.of(fork).iter().flat_map(|plan| &plan.items) {
            for (condition, brings, key) in unlinked(shop, fork, item) {
                let id = &item.procedure.id.text;
                let finding = missing
                    .entry((id, &brings.text, &key.text))
                    .or_insert_with(|| not_given(shop, id, condition, brings, key));
                if !finding.reaches.contains(&fork.id) {
                    finding.reaches.push(fork.id.clone());
                }
            }
        }
    }
    findings.extend(missing.into_values());
}

/// The evidence that a procedure should link for a fork and does not: the condition, where the procedure says that it
/// brings it about, and the value.
fn unlinked<'s>(
    shop: &'s Shop,
    fork: &'s ResolvedFork,
    item: &'s Planned<'s>,
) -> impl Iterator<Item = (&'s Condition, &'s Text, &'s Text)> {
    let procedure = item.procedure;
    let linked = |key: &Text| {
        let links = procedure.body.references.iter();
        links
            .clone()
            .any(|link| matches!(link.scheme, Scheme::Spec | Scheme::Reading) && link.target == key.text)
    };
    let has = move |key: &Text| {
        let field = shop.catalogue.find(&key.text);
        let legs = Side::BOTH.into_iter().zip(item.legs).filter(|(_, on)| *on);
        field.is_some_and(|field| legs.clone().any(|(side, _)| gives(fork, side, field)))
    };
    procedure.brings.iter().flat_map(move |brings| {
        let condition = shop.conditions.list.iter().find(|condition| condition.id.text == brings.text);
        let meant = condition.filter(|condition| condition.applies.holds(&fork.choices));
        meant.into_iter().flat_map(move |condition| {
            let keys = condition.evidence.iter().filter(move |key| has(key) && !linked(key));
            keys.map(move |key| (condition, brings, key))
        })
    })
}

/// What it does where the condition itself does not say.
const NOT_DONE: &str = "the work is done and counts as not done, and nothing that hangs on it is held back";

/// condition-not-brought: a procedure that sets what is a condition's evidence and has it written brings the condition
/// about, where another one of its phase does.
pub(crate) fn not_brought(shop: &Shop, findings: &mut Vec<Finding>) {
    for condition in shop.conditions.list.iter().filter(|condition| !condition.evidence.is_empty()) {
        let brings = |procedure: &Procedure| procedure.brings.iter().any(|id| leads_to(shop, id, condition));
        let (does, does_not): (Vec<&Procedure>, Vec<&Procedure>) =
            shop.procedures.iter().partition(|procedure| brings(procedure));
        for procedure in does_not.into_iter().filter(|procedure| sets_all(procedure, &condition.evidence)) {
            let Some(other) = does.iter().find(|other| other.phase == procedure.phase) else { continue };
            let id = &procedure.id.text;
            findings.push(
                rules::CONDITION_NOT_BROUGHT
                    .at(
                        procedure.id.span,
                        format!(
                            "`{id}` sets `{}` and has it written, and does not bring about {}, which `{}` does",
                            condition.evidence[0].text,
                            quoted(condition),
                            other.id.text
                        ),
                    )
                    .bench(otherwise(shop, &condition.id.text).unwrap_or_else(|| NOT_DONE.to_owned()))
                    .instead(format!("add `{}` to its `brings:`", condition.id.text)),
            );
        }
    }
}

/// Whether a condition is this one or implies it.
fn leads_to(shop: &Shop, id: &Text, condition: &Condition) -> bool {
    let implied = || shop.conditions.list.iter().find(|one| one.id.text == id.text);
    id.text == condition.id.text
        || implied().is_some_and(|one| one.implies.iter().any(|other| other.text == condition.id.text))
}

/// Whether a procedure links all these values and has a box for each.
fn sets_all(procedure: &Procedure, keys: &[Text]) -> bool {
    let has = |scheme: Scheme, key: &Text| {
        procedure.body.references.iter().any(|link| link.scheme == scheme && link.target == key.text)
    };
    keys.iter().all(|key| has(Scheme::Spec, key) && has(Scheme::Reading, key))
}

fn not_given(shop: &Shop, procedure: &str, condition: &Condition, brings: &Text, key: &Text) -> Finding {
    let field = shop.catalogue.find(&key.text).map(|id| shop.catalogue.field(id));
    let title = field.map_or_else(|| key.text.clone(), |field| lower_first(&field.title));
    let wrong = field.map(|field| lower_first(&field.wrong)).filter(|wrong| !wrong.is_empty());
    rules::EVIDENCE_NOT_GIVEN
        .at(
            brings.span,
            format!(
                "`{procedure}` brings about {} and links no `{}`, which is its evidence",
                quoted(condition),
                key.text
            ),
        )
        .bench(wrong.unwrap_or_else(|| "the work is ticked as done without its figure".to_owned()))
        .instead(format!(
            "link [{title}](spec:{}) in the step that does it, or do not bring it about here",
            key.text
        ))
        .also(key.span, "asked for here")
}
