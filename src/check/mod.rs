//! The rules: they read everything that came before and only say what they find.
//!
//! A rule on a fork runs once for each fork; the same finding at the same place, which is what a
//! family's line gives, is said once with the models it reaches.

mod accept;
mod apart;
mod arithmetic;
mod bands;
mod conditions;
mod coverage;
mod crosschecks;
pub mod doubt;
mod families;
mod fork;
mod form;
mod grades;
mod legs;
mod links;
mod machines;
mod middle;
mod oils;
mod order;
pub mod pages;
mod placeholders;
mod pressures;
mod reviews;
mod room;
pub mod sample;
mod seals;
mod sequence;
mod services;
pub mod slips;
mod sources;
mod states;
mod subject;
mod unused;

pub use subject::{CheckedFamily, CheckedFork, CheckedOil};

use rayon::prelude::*;

use self::slips::Peers;
use crate::date::AsOf;
use crate::diagnostic::Finding;
use crate::plan::Plans;
use crate::resolve::{ResolvedFork, Shop};

/// A rule on one resolved fork.
type ForkRule = fn(&Shop, &ResolvedFork, &mut Vec<Finding>);

/// The rules on one fork, in no order that matters.
const FORK_RULES: [ForkRule; 14] = [
    fork::choices,
    fork::missing,
    fork::stray,
    fork::second_saying,
    fork::state,
    form::forms,
    states::differing,
    states::edges,
    states::unusual,
    legs::differences,
    legs::wrong_leg,
    seals::fits,
    sequence::twice,
    apart::rules,
];

/// A rule on the shop as a whole.
type ShopRule = fn(&Shop, &[CheckedFork], &mut Vec<Finding>);

const SHOP_RULES: [ShopRule; 22] = [
    bands::oils,
    conditions::contradictions,
    conditions::loops,
    conditions::names,
    conditions::unused,
    coverage::tools,
    families::families,
    links::records,
    links::procedures,
    links::renewals,
    links::parts,
    links::sizes,
    machines::claimed_twice,
    machines::without,
    oils::missing,
    placeholders::procedures,
    placeholders::records,
    services::services,
    services::repeated,
    sources::dates,
    sources::missing,
    unused::unused,
];

/// A rule on what the services do for each fork.
type PlanRule = fn(&Shop, &[CheckedFork], &Plans<'_>, &mut Vec<Finding>);

const PLAN_RULES: [PlanRule; 2] = [coverage::services, order::order];

/// A rule on a value among those of like forks.
type PeerRule = fn(&Shop, &[CheckedFork], &Peers<'_>, &mut Vec<Finding>);

const PEER_RULES: [PeerRule; 2] = [bands::forks, slips::peers];

/// Runs every rule and gives what they found, in no particular order.
/// `day` is that of the commit the sources are read at: what hangs on a day is judged by it, never by today.
pub fn check(
    shop: &Shop,
    forks: &[CheckedFork],
    families: &[CheckedFamily],
    oils: &[CheckedOil],
    day: Option<AsOf>,
) -> Vec<Finding> {
    let plans = Plans::new(shop, forks.iter().map(|fork| &fork.resolved));
    let of_forks: Vec<(Vec<Finding>, Vec<services::Lack<'_>>)> = forks
        .par_iter()
        .map(|fork| {
            let mut found = Vec::new();
            for rule in FORK_RULES {
                rule(shop, fork, &mut found);
            }
            arithmetic::rules(shop, fork, &fork.derived, &mut found);
            let lacks = services::needs(shop, fork, plans.of(fork), &mut found);
            for finding in &mut found {
                finding.reaches = vec![fork.id.clone()];
            }
            (found, lacks)
        })
        .collect();
    let (mut all, lacks): (Vec<_>, Vec<_>) = of_forks.into_iter().unzip();
    all.push(services::lacking(shop, forks, &plans, lacks.into_iter().flatten().collect()));
    let peers = Peers::of(shop, forks.iter().map(|fork| &fork.resolved));
    // Each rule has a list of its own, so that they run side by side.
    all.par_extend(SHOP_RULES.par_iter().map(|rule| told(|found| rule(shop, forks, found))));
    all.par_extend(PLAN_RULES.par_iter().map(|rule| told(|found| rule(shop, forks, &plans, found))));
    all.par_extend(PEER_RULES.par_iter().map(|rule| told(|found| rule(shop, forks, &peers, found))));
    let mut all: Vec<Finding> = all.into_iter().flatten().collect();
    for oil in oils {
        grades::rules(shop, &oil.record, &oil.derived, &mut all);
    }
    machines::ahead(shop, day, &mut all);
    reviews::rules(shop, (forks, families, oils), day, &mut all);
    accept::apply(shop, day, merge(shop, all))
}

/// What a rule finds.
fn told(rule: impl FnOnce(&mut Vec<Finding>)) -> Vec<Finding> {
    let mut found = Vec::new();
    rule(&mut found);
    found
}

/// Says the same finding once, with every model it reaches. A finding in a fork's own file reaches
/// that fork alone, which goes without saying.
fn merge(shop: &Shop, mut all: Vec<Finding>) -> Vec<Finding> {
    all.sort_by(|a, b| {
        (a.span, a.code(), &a.message, &a.also, &a.reaches).cmp(&(
            b.span,
            b.code(),
            &b.message,
            &b.also,
            &b.reaches,
        ))
    });
    let mut out: Vec<Finding> = Vec::with_capacity(all.len());
    for finding in all {
        match out.last_mut() {
            Some(last)
                if (last.span, last.code(), &last.message)
                    == (finding.span, finding.code(), &finding.message) =>
            {
                last.reaches.extend(finding.reaches);
                // Error outweighs warning: the fork that is published decides.
                last.severity = last.severity.min(finding.severity);
                for label in finding.also {
                    if !last.also.contains(&label) && last.also.len() < 4 {
                        last.also.push(label);
                    }
                }
            }
            _ => out.push(finding),
        }
    }
    for finding in &mut out {
        finding.reaches.sort();
        finding.reaches.dedup();
        let own = shop.forks.iter().any(|fork| fork.file == finding.span.file);
        if own {
            finding.reaches.clear();
        }
    }
    out
}
