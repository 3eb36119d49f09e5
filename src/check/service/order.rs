//! The order of every service: what each procedure needs holds when it begins, and what must hold at hand-back
//! does.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::alike::alike;
use super::caution::cautions;
use super::missed::{change_in_words, missed};
use super::proof::Proof;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::{
    Change, Effect, Mend, Plan, Planned, Plans, Variant, Vocabulary, effect, ends, is_for, mend, on_legs,
    walk,
};
use crate::record::{Pick, Procedure, RecordKind, Service, Text};
use crate::resolve::{ResolvedFork, Shop};
use crate::syntax::Scheme;
use crate::text::Span;

/// condition-not-met, hand-back-not-met, procedure-changes-nothing, caution-not-given, no-procedure-fits, procedure-on-no-leg,
/// procedure-never-chosen, procedure-never-reached.
pub(crate) fn order(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, findings: &mut Vec<Finding>) {
    let vocabulary = Vocabulary::of(shop);
    let of_services: Vec<(Vec<Finding>, BTreeSet<Span>)> = shop
        .services
        .par_iter()
        .map(|service| of_service(shop, &vocabulary, service, forks, plans))
        .collect();
    let mut reached: BTreeSet<&str> = BTreeSet::new();
    let mut named: BTreeMap<&str, &Text> = BTreeMap::new();
    for ((listed, chosen), service) in of_services.into_iter().zip(&shop.services) {
        // A variant that is never chosen has been told where it stands.
        let has_a_finding = |text: &Text| {
            listed.iter().any(|f| f.rule == &rules::PROCEDURE_NEVER_CHOSEN && f.span == text.span)
        };
        for text in &service.procedures {
            named.entry(&text.text).or_insert(text);
            if chosen.contains(&text.span) || has_a_finding(text) {
                reached.insert(&text.text);
            }
        }
        findings.extend(listed);
    }
    // A fork that no service is for has been told; what it would have come to is not told again.
    let served = |fork: &CheckedFork| shop.services_for(&fork.choices).next().is_some();
    let all_read = !forks.is_empty() && all_settled(shop, forks) && forks.iter().all(served);
    for procedure in shop.procedures.iter().filter(|p| all_read && !reached.contains(p.id.text.as_str())) {
        let Some(text) = named.get(procedure.id.text.as_str()) else { continue };
        findings.push(
            rules::PROCEDURE_NEVER_REACHED
                .at(
                    procedure.id.span,
                    format!("services name `{}`, and no fork of theirs comes to it", procedure.id.text),
                )
                .bench("it looks like part of the work and is on no card")
                .instead("widen its `for:` or the service's, or remove it")
                .also(text.span, "named here"),
        );
    }
}

/// Whether a fork's choices are all made.
fn settled(fork: &ResolvedFork) -> bool {
    fork.open.is_empty() && !fork.family_lost
}

/// Whether every fork there is a file for could be read and has made its choices.
fn all_settled(shop: &Shop, forks: &[CheckedFork]) -> bool {
    let written =
        [RecordKind::Fork, RecordKind::Build].map(|kind| shop.known.get(&kind).map_or(0, BTreeSet::len));
    forks.len() == written[0] + written[1] && forks.iter().all(|fork| settled(fork))
}

/// The findings on one service, and where it names the procedures that forks come to.
fn of_service(
    shop: &Shop,
    vocabulary: &Vocabulary<'_>,
    service: &Service,
    forks: &[CheckedFork],
    plans: &Plans<'_>,
) -> (Vec<Finding>, BTreeSet<Span>) {
    let mut findings = Vec::new();
    let mut proofs: BTreeMap<Variant<'_>, Proof<'_>> = BTreeMap::new();
    let mut chosen: BTreeSet<Span> = BTreeSet::new();
    let mut count = 0;
    // That a service has no work in it is told where it should stand.
    if service.entries.is_empty() {
        return (findings, chosen);
    }
    // A fork whose choices could not all be read chooses no variant: that has been told, and nothing is proved.
    for alike in alike(forks.iter().filter(|fork| settled(fork)), plans) {
        let fork = alike.first();
        let Some((_, plan)) = plans.one(fork, service) else { continue };
        count += alike.forks.len();
        chosen.extend(plan.items.iter().map(|item| item.named.span));
        for fork in &alike.forks {
            no_variant(fork, plan, &mut findings);
            on_no_leg(shop, fork, plan, &mut findings);
        }
        if !plan.unfilled.is_empty() {
            continue;
        }
        let meant = vocabulary.meant(fork);
        proofs
            .entry(plan.variant(&meant))
            .or_insert_with(|| Proof { plan, meant, forks: Vec::new() })
            .forks
            .extend(alike.forks.iter().map(|fork| fork.resolved.as_ref()));
    }
    if count > 0 && all_settled(shop, forks) {
        never_chosen(shop, service, &chosen, &mut findings);
    }
    if !vocabulary.conditions.is_empty() {
        prove_all(shop, vocabulary, proofs.values(), &mut findings);
    }
    (findings, chosen)
}

/// no-procedure-fits: one of the procedures offered is for the fork.
fn no_variant(fork: &ResolvedFork, plan: &Plan<'_>, findings: &mut Vec<Finding>) {
    for entry in &plan.unfilled {
        let names: Vec<String> = entry.options.iter().map(|id| format!("`{}`", id.text)).collect();
        let place = entry.options.first().map_or(plan.service.id.span, |id| id.span);
        let instead = "add the procedure for such a fork, widen a `for:`, or write `where_fitted:` where the work may be left out";
        findings.push(
            rules::NO_PROCEDURE_FITS
                .at(place, format!("none of {} is for `{}`", names.join(", "), fork.id))
                .bench("this work would be missing from its card without a word")
                .instead(instead)
                .reaches(vec![fork.id.clone()]),
        );
    }
}

/// procedure-on-no-leg: a procedure of the service is done on a leg. What is for no leg of this fork by its own head has
/// another finding, that it is not for the fork.
fn on_no_leg(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>, findings: &mut Vec<Finding>) {
    let idle = |item: &&Planned<'_>| item.legs == [false; 2] && is_for(shop, item.procedure, fork);
    for item in plan.items.iter().filter(idle) {
        let id = &item.procedure.id;
        let message =
            format!("`{}` is done on no leg here: its own `legs:` and the service's leave none", id.text);
        findings.push(
            rules::PROCEDURE_ON_NO_LEG
                .at(item.named.span, message)
                .bench("it stands on the card, and whoever does it does it to the wrong leg")
                .instead("take `legs:` out of the service, or name the procedure that is for this leg")
                .also(id.span, "this procedure")
                .reaches(vec![fork.id.clone()]),
        );
    }
}

/// procedure-never-chosen: each of the procedures offered is taken by a fork.
fn never_chosen(shop: &Shop, service: &Service, chosen: &BTreeSet<Span>, findings: &mut Vec<Finding>) {
    let offered = service.entries.iter().filter(|entry| entry.pick != Pick::This);
    for id in offered.flat_map(|entry| &entry.options) {
        if chosen.contains(&id.span) || shop.procedure(&id.text).is_none() {
            continue;
        }
        findings.push(
            rules::PROCEDURE_NEVER_CHOSEN
                .at(id.span, format!("no fork of this service takes `{}`", id.text))
                .bench("nobody would notice when its work is no longer right")
                .instead("leave it where a fork that is to come needs it; else remove it, or correct its `for:` and its place: the first that fits is taken"),
        );
    }
}

/// Proves each variant; procedure-changes-nothing: a procedure changes something for one of them.
fn prove_all<'p, 's: 'p>(
    shop: &'s Shop,
    vocabulary: &Vocabulary<'_>,
    proofs: impl Iterator<Item = &'p Proof<'s>>,
    findings: &mut Vec<Finding>,
) {
    let (mut idle, mut busy) = (BTreeSet::new(), BTreeSet::new());
    for proof in proofs {
        prove(shop, vocabulary, proof, findings, &mut idle, &mut busy);
    }
    for (span, id) in idle.into_iter().filter(|(span, _)| !busy.contains(span)) {
        findings.push(
            rules::PROCEDURE_CHANGES_NOTHING
                .at(span, format!("`{id}` changes nothing here and records nothing"))
                .bench("the apprentice does it for nothing, or it stands at the wrong place")
                .instead(
                    "remove it, move it to where it is needed, or say under `brings:` what it is good for",
                ),
        );
    }
}

/// Walks one variant in its order.
fn prove<'s>(
    shop: &'s Shop,
    vocabulary: &Vocabulary<'_>,
    proof: &Proof<'s>,
    findings: &mut Vec<Finding>,
    idle: &mut BTreeSet<(Span, &'s str)>,
    busy: &mut BTreeSet<Span>,
) {
    let Proof { plan, meant, .. } = proof;
    let (start, hand_back) = ends(shop, vocabulary, plan.service, meant);
    let effects = plan.effects(vocabulary, meant);
    let walk = walk(vocabulary, &start, &effects, &hand_back);
    let idles: BTreeSet<usize> = walk.idle.iter().copied().collect();
    for (at, item) in plan.items.iter().enumerate() {
        // Where the order is broken, nobody can say what a procedure would have changed.
        if !walk.misses.is_empty() || !idles.contains(&at) || records(item.procedure) {
            busy.insert(item.named.span);
        } else {
            idle.insert((item.named.span, &item.procedure.id.text));
        }
    }
    cautions(vocabulary, plan, &walk, findings);
    if walk.misses.is_empty() {
        return;
    }
    // A list that could not be read in full proves nothing.
    if plan.service.procedures.iter().any(|id| shop.procedure(&id.text).is_none()) {
        return;
    }
    let fork = proof.forks[0];
    let spare: Vec<&Procedure> = shop.procedures.iter().filter(|p| is_for(shop, p, fork)).collect();
    let candidates: Vec<Effect> =
        spare.iter().map(|p| effect(vocabulary, p, on_legs(shop, p, None, fork), meant)).collect();
    let task = Mend {
        start: &start,
        hand_back: &hand_back,
        effects: &effects,
        walk: &walk,
        candidates: &candidates,
    };
    // Misses that one change mends are one mistake.
    let mut findings_by_change: Vec<(Option<Change>, Finding)> = Vec::new();
    for (n, miss) in walk.misses.iter().enumerate() {
        let change = mend(&task, n);
        let finding =
            missed(vocabulary, proof, miss, change.map(|change| change_in_words(plan, &spare, change)));
        match findings_by_change.iter_mut().find(|(earlier, _)| change.is_some() && same(*earlier, change)) {
            Some((_, first)) if first.also.len() < 6 => first.also.extend(finding.also.into_iter().take(1)),
            Some(_) => {}
            None => findings_by_change.push((change, finding)),
        }
    }
    let reaches: Vec<String> = proof.forks.iter().map(|fork| fork.id.clone()).collect();
    findings.extend(findings_by_change.into_iter().map(|(_, finding)| finding.reaches(reaches.clone())));
}

/// Whether two changes give the same order: moving one of two neighbours is moving the other.
fn same(first: Option<Change>, second: Option<Change>) -> bool {
    let step = |change: Option<Change>| match change {
        Some(Change::Move { from, before }) if before == from + 2 => {
            Some(Change::Move { from: from + 1, before: from })
        }
        _ => change,
    };
    step(first) == step(second)
}

/// Whether a procedure has a box to write in.
fn records(procedure: &Procedure) -> bool {
    procedure.body.references.iter().any(|reference| reference.scheme == Scheme::Reading)
}
