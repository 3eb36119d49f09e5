//! The thread of a joint is brought into the state its torque was found in.

use std::collections::BTreeMap;

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Severity, rules};
use crate::plan::{Planned, Plans};
use crate::quantity::Value;
use crate::record::Procedure;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::syntax::markdown::{Piece, Reference, Step};

/// What a step says of a thread that it brings into a state; any of the words is enough.
const WORDS: [(&str, &[&str]); 4] = [
    ("dry", &["dry", "degrease", "wipe"]),
    ("oiled", &["oil"]),
    ("anti-seize", &["anti-seize"]),
    ("locking-compound", &["locking compound"]),
];

/// A step for forks whose sheets ask for different states sends to the one that stands beside the torque.
const AS_STANDS: &str = "beside";

/// thread-state-unmade: where a torque is written down, that step or one before it in the same procedure says what is
/// done to the thread.
pub(crate) fn threads(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, findings: &mut Vec<Finding>) {
    let mut told: BTreeMap<(&str, &str), Finding> = BTreeMap::new();
    for fork in forks {
        for item in plans.of(fork).iter().flat_map(|plan| &plan.items) {
            for (reference, state) in unmade(shop, fork, item) {
                let finding = told
                    .entry((&item.procedure.id.text, &reference.target))
                    .or_insert_with(|| finding(reference, state));
                if !fork.record.draft {
                    finding.severity = Severity::Error;
                }
                if !finding.reaches.contains(&fork.id) {
                    finding.reaches.push(fork.id.clone());
                }
            }
        }
    }
    findings.extend(told.into_values());
}

/// The torques that a procedure has written down without a word on their thread, with the state on record.
fn unmade<'s>(shop: &Shop, fork: &'s ResolvedFork, item: &Planned<'s>) -> Vec<(&'s Reference, &'s str)> {
    let written =
        item.procedure.body.references.iter().filter(|reference| reference.scheme == Scheme::Reading);
    let states =
        written.filter_map(|reference| Some((reference, state(shop, fork, item, &reference.target)?)));
    states.filter(|(reference, state)| !is_made(item.procedure, &reference.target, state)).collect()
}

/// The state of the thread on record, on a leg on which the work is done.
fn state<'s>(shop: &Shop, fork: &'s ResolvedFork, item: &Planned<'_>, key: &str) -> Option<&'s str> {
    let id = shop.catalogue.find(key)?;
    let on = Side::BOTH.into_iter().zip(item.legs).filter(|(_, on)| *on);
    on.filter_map(|(side, _)| fork.on(side, id)).find_map(of_thread)
}

fn of_thread(resolved: &Resolved) -> Option<&str> {
    match resolved.entry.attributes.get("thread_state")?.value.as_ref()? {
        Value::Choice(state) => Some(state),
        _ => None,
    }
}

/// Whether a step, no later than the one that writes the torque down, says what is done to the thread.
fn is_made(procedure: &Procedure, key: &str, state: &str) -> bool {
    let steps: Vec<&Step> = procedure.body.steps().collect();
    let Some(last) = steps.iter().rposition(|step| writes(step, key)) else { return true };
    // What was put on the thread last counts.
    let said = steps[..=last].iter().rev().map(|step| step.action.plain(|reference| reference.text.clone()));
    let said =
        said.map(|text| text.to_lowercase()).find(|text| text.contains("thread") && speaks_of_a_state(text));
    said.is_some_and(|text| text.contains(AS_STANDS) || makes(&text, state))
}

/// Whether a step says what is done to a thread.
fn speaks_of_a_state(text: &str) -> bool {
    text.contains(AS_STANDS) || WORDS.iter().any(|(_, words)| words.iter().any(|word| text.contains(word)))
}

/// Whether a step brings a thread into a state. Dry is what nothing else was put on.
fn makes(text: &str, state: &str) -> bool {
    let says = |known: &str| {
        let mut words = WORDS.iter().filter(|(name, _)| *name == known).flat_map(|(_, words)| words.iter());
        words.any(|word| text.contains(word))
    };
    says(state) && !(state == "dry" && ["locking-compound", "anti-seize"].into_iter().any(says))
}

fn writes(step: &Step, key: &str) -> bool {
    step.action.pieces.iter().any(|piece| {
        matches!(piece, Piece::Reference(reference) if reference.scheme == Scheme::Reading && reference.target == key)
    })
}

fn finding(reference: &Reference, state: &str) -> Finding {
    let thread = match state {
        "dry" => "a dry thread".to_owned(),
        "oiled" => "an oiled thread".to_owned(),
        other => format!("a thread with {}", other.replace("locking-compound", "locking compound")),
    };
    let key = &reference.target;
    rules::THREAD_STATE_UNMADE
        .graded(
            Severity::Warning,
            reference.span,
            format!("`{key}` is the torque of {thread}, and no step up to here makes it one"),
        )
        .bench("at the same reading a thread in another state is drawn far tighter, or stays loose")
        .instead(
            "say in this step, or in one before it, what is done to the thread: as stands beside its torque",
        )
}
