//! What is said where a condition does not hold.

use super::condition_words::quoted;
use super::proof::Proof;
use crate::diagnostic::{Finding, rules};
use crate::plan::{Bits, Change, Miss, Plan, Planned, Vocabulary, effect};
use crate::record::{Procedure, Text};
use crate::resolve::Side;

/// A finding on a condition that does not hold where it must: before a procedure, or at hand-back.
pub(super) fn missed(
    vocabulary: &Vocabulary<'_>,
    proof: &Proof<'_>,
    miss: &Miss,
    mended: Option<String>,
) -> Finding {
    let plan = proof.plan;
    let conditions = conditions(vocabulary, miss);
    let what = in_words(vocabulary, proof, miss, &conditions);
    let why = why(vocabulary, proof, miss, conditions.len() > 1);
    let bench = conditions.iter().find_map(|(at, _)| vocabulary.conditions[*at].otherwise.clone());
    let bench = bench.unwrap_or_else(|| "the leg is not in the state this work is written for".to_owned());
    let declared = |names: &[Text]| {
        let missing =
            |name: &&Text| conditions.iter().any(|(at, _)| vocabulary.conditions[*at].id.text == name.text);
        names.iter().find(missing).map(|name| name.span)
    };
    let mut finding = match plan.items.get(miss.at) {
        Some(item) => {
            let id = &item.procedure.id.text;
            let finding = rules::CONDITION_NOT_MET.at(item.named.span, format!("`{id}` needs {what}, {why}"));
            match declared(&item.procedure.needs) {
                Some(span) => finding.also(span, format!("`{id}` needs it")),
                None => finding,
            }
        }
        None => {
            let service = plan.service;
            let finding =
                rules::HAND_BACK_NOT_MET.at(service.id.span, format!("at hand-back must hold {what}, {why}"));
            match declared(&service.hand_back) {
                Some(span) => finding.also(span, "it must hold at hand-back"),
                None => finding,
            }
        }
    };
    if let Some(at) = miss.ended_by {
        finding = finding.also(plan.items[at].named.span, "ended here");
    }
    let unmended = || "put the work that brings it about before this, or narrow what is needed".to_owned();
    finding.bench(bench).instead(mended.unwrap_or_else(unmended))
}

/// A condition by its place in the vocabulary, and the leg on which it is missing; no leg where it is both.
type Missing = (usize, Option<Side>);

/// The conditions that are missing.
fn conditions(vocabulary: &Vocabulary<'_>, miss: &Miss) -> Vec<Missing> {
    let mut conditions: Vec<Missing> = Vec::new();
    for slot in &miss.slots {
        let side = vocabulary.side(*slot);
        match conditions.iter_mut().find(|(at, _)| *at == slot / 2) {
            Some((_, leg)) => *leg = None,
            None => conditions.push((slot / 2, side)),
        }
    }
    conditions
}

/// The missing conditions as a mechanic says them. A leg is named where the condition means something on both.
fn in_words(vocabulary: &Vocabulary<'_>, proof: &Proof<'_>, miss: &Miss, conditions: &[Missing]) -> String {
    let legs = proof.plan.items.get(miss.at).map_or([true; 2], |item| item.legs);
    let words = conditions.iter().map(|(at, side)| {
        let condition = &vocabulary.conditions[*at];
        let other = |n: usize| proof.meant.has(at * 2 + 1 - n) && legs[1 - n];
        match side {
            Some(Side::Left) if other(0) => format!("{} on the left leg", quoted(condition)),
            Some(Side::Right) if other(1) => format!("{} on the right leg", quoted(condition)),
            _ => quoted(condition),
        }
    });
    words.collect::<Vec<_>>().join(" and ")
}

/// Why they do not hold.
fn why(vocabulary: &Vocabulary<'_>, proof: &Proof<'_>, miss: &Miss, several: bool) -> String {
    let (which, them) = if several { ("all of which", "them") } else { ("which", "it") };
    if let Some(at) = miss.ended_by {
        return format!("{which} `{}` has ended", proof.plan.items[at].procedure.id.text);
    }
    match later(vocabulary, proof.plan, miss, &proof.meant) {
        Some(procedure) => format!("{which} `{}` brings about only later", procedure.id.text),
        None if miss.at < proof.plan.items.len() => format!("and nothing before it brings {them} about"),
        None => format!("and nothing in this service brings {them} about"),
    }
}

/// The procedure further on that brings about what is missing.
fn later<'p>(
    vocabulary: &Vocabulary<'_>,
    plan: &Plan<'p>,
    miss: &Miss,
    meant: &Bits,
) -> Option<&'p Procedure> {
    let brings = |item: &&Planned<'p>| {
        let effect = effect(vocabulary, item.procedure, item.legs, meant);
        miss.slots.iter().all(|slot| effect.brings.has(*slot))
    };
    plan.items.iter().skip(miss.at).find(brings).map(|item| item.procedure)
}

/// A change in words.
pub(super) fn change_in_words(plan: &Plan<'_>, spare: &[&Procedure], change: Change) -> String {
    let id = |at: usize| plan.items.get(at).map(|item| item.procedure.id.text.as_str());
    let before_or_last = |before: usize| match (id(before), before.checked_sub(1).and_then(id)) {
        (Some(next), _) => format!("just before `{next}`"),
        (None, Some(last)) => format!("after `{last}`"),
        (None, None) => "as the only one".to_owned(),
    };
    match change {
        // Said from the side it comes to rest against, which is the one that matters.
        Change::Move { from, before } if before > from => {
            let (moved, last) = (id(from).unwrap_or(""), id(before - 1).unwrap_or(""));
            format!("move `{moved}` to just after `{last}`")
        }
        Change::Move { from, before } => {
            format!("move `{}` to {}", id(from).unwrap_or(""), before_or_last(before))
        }
        Change::Insert { candidate, before } => {
            format!("put `{}` in {}", spare[candidate].id.text, before_or_last(before))
        }
    }
}
