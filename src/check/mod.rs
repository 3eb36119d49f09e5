//! The rules: they read everything that came before and only say what they find.
//!
//! A rule on a fork runs once for each fork; the same finding at the same place, which is what a
//! family's line gives, is said once with the models it reaches.

pub mod doubt;
mod draft;
mod job;
mod kinds;
mod leg;
mod look;
mod merge;
pub mod pages;
mod reach;
mod review;
mod said;
pub mod sample;
mod service;
mod shop;
mod stock;
mod subject;
pub mod value;
pub(crate) mod waiting;
mod weigh;

pub use draft::told_once;
pub use reach::Reach;
pub use said::{Keys, Said};
pub use subject::{CheckedFamily, CheckedFork, CheckedOil};

use std::sync::Arc;

use rayon::prelude::*;

use self::merge::merge;
use self::value::slips::Peers;
use crate::date::AsOf;
use crate::diagnostic::Finding;
use crate::plan::{Plan, Plans};
use crate::resolve::Shop;
use crate::review::TextReviews;

/// Runs every rule and gives what they found, in no particular order.
/// `alone` are the families and the springs. `day` is that of the commit the sources are read at: what hangs on a day is judged by it, never by today. What was
/// `said` of a fork or a job that rests on the same, by its key, is taken again.
pub fn check(
    shop: &Shop,
    (forks, alone, oils): (&[CheckedFork], &[CheckedFamily], &[CheckedOil]),
    texts: &TextReviews,
    day: Option<AsOf>,
    (said, keys): (&Said, &Keys),
) -> Vec<Finding> {
    let plans = Plans::new(shop, forks.iter().map(|fork| fork.resolved.as_ref()));
    let of_forks: Vec<(Vec<Finding>, Vec<service::needs_value::Lack<'_>>)> = forks
        .par_iter()
        .enumerate()
        .map(|(at, fork)| {
            let plans = plans.of(fork);
            let alone = said.forks.or_make(keys.forks.get(at).copied(), || of_fork(shop, fork, plans));
            let mut findings = Vec::new();
            let lacks = service::needs_value::needs(shop, fork, plans, &mut findings);
            reaching(fork, &mut findings);
            findings.extend_from_slice(&alone);
            (findings, lacks)
        })
        .collect();
    let (mut all, lacks): (Vec<_>, Vec<_>) = of_forks.into_iter().unzip();
    stock::place::at_builds(forks, &mut all);
    all.push(service::needs_value::lacking(shop, forks, &plans, lacks.into_iter().flatten().collect()));
    // A build is no model of its maker's: it is held against none of the others.
    let models: Vec<CheckedFork> =
        forks.iter().filter(|fork| fork.record.build().is_none()).cloned().collect();
    let peers = Peers::of(shop, models.iter().map(|fork| fork.resolved.as_ref()));
    // Each rule has a list of its own, so that they run side by side.
    let rooms = [value::SHOP_RULES, service::SHOP_RULES, shop::SHOP_RULES, stock::SHOP_RULES];
    let shop_rules = rooms.par_iter().flat_map(|room| room.par_iter());
    all.par_extend(shop_rules.map(|rule| listed(|findings| rule(shop, &models, findings))));
    all.par_extend(
        service::PLAN_RULES.par_iter().map(|rule| listed(|findings| rule(shop, forks, &plans, findings))),
    );
    all.par_extend(
        value::PEER_RULES.par_iter().map(|rule| listed(|findings| rule(shop, &models, &peers, findings))),
    );
    let mut all: Vec<Finding> = all.into_iter().flatten().collect();
    for oil in oils {
        shop::grades::rules(&oil.record, &oil.derived, &mut all);
    }
    shop::instruments::calibrated(shop, day, &mut all);
    shop::machines::ahead(shop, day, &mut all);
    shop::sources::ahead(shop, day, &mut all);
    stock::instruments::calibrations(shop, day, &mut all);
    review::rules(shop, (forks, alone, oils), day, &mut all);
    review::texts::texts(shop, texts, day, &mut all);
    review::library::library(shop, texts, &mut all);
    job::rules(shop, forks, &plans, day, (said, keys), &mut all);
    weigh::weigh(shop, &mut all);
    // Before they are merged: what one fork lets stand may still be said of another.
    merge(shop, review::accept::apply(shop, day, all))
}

/// What the rules on one fork say of it. They read the fork and its services, and of the shop what is no fork, no job and
/// no card.
fn of_fork(shop: &Shop, fork: &CheckedFork, plans: &[Plan<'_>]) -> Arc<[Finding]> {
    let mut findings = Vec::new();
    for rule in service::FORK_PLAN_RULES {
        rule(shop, fork, plans, &mut findings);
    }
    for rule in value::FORK_RULES {
        rule(shop, fork, &mut findings);
    }
    leg::rules(shop, fork, &fork.derived, &mut findings);
    reaching(fork, &mut findings);
    findings.into()
}

fn reaching(fork: &CheckedFork, findings: &mut [Finding]) {
    for finding in findings {
        finding.reaches = vec![fork.id.clone()];
    }
}

/// What a rule finds.
fn listed(rule: impl FnOnce(&mut Vec<Finding>)) -> Vec<Finding> {
    let mut findings = Vec::new();
    rule(&mut findings);
    findings
}
