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
mod summed;
pub mod value;
pub(crate) mod waiting;
mod weigh;

pub use draft::told_once;
pub use job::{Lacks, lacks};
pub use reach::Reach;
pub use said::{Keys, Said};
pub use subject::{CheckedFamily, CheckedFork, CheckedOil};

use std::sync::Arc;

use rayon::prelude::*;

use self::merge::merge;
use self::summed::Asked;
use self::value::slips::Peers;
use crate::date::AsOf;
use crate::diagnostic::Finding;
use crate::plan::{Plan, Plans};
use crate::record::SpecRecord;
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
    let asked = Asked::new(forks, (said, keys));
    let of_forks: Vec<(Vec<Finding>, Vec<service::needs_value::Lack<'_>>)> = forks
        .par_iter()
        .enumerate()
        .map(|(at, fork)| {
            let plans = plans.of(fork);
            let alone = said.forks.or_make(keys.fork(at), || of_fork(shop, fork, plans));
            let (mut findings, mut lacks) = (Vec::new(), Vec::new());
            if !asked.is_quiet(at, NEEDS) {
                lacks = service::needs_value::needs(shop, fork, plans, &mut findings);
                if lacks.is_empty() && findings.is_empty() {
                    asked.quiet(at, NEEDS);
                }
            }
            reaching(fork, &mut findings);
            findings.extend_from_slice(&alone);
            (findings, lacks)
        })
        .collect();
    let (mut all, lacks): (Vec<_>, Vec<_>) = of_forks.into_iter().unzip();
    stock::place::at_builds(forks, &mut all);
    all.push(service::needs_value::lacking(shop, forks, &plans, lacks.into_iter().flatten().collect()));
    // A build is no model of its maker's: it is held against none of the others.
    let is_model = |at: &usize| forks[*at].record.build().is_none();
    let models: Vec<CheckedFork> = (0..forks.len()).filter(is_model).map(|at| forks[at].clone()).collect();
    // Each rule has a list of its own, so that they run side by side.
    let rooms = [service::SHOP_RULES, shop::SHOP_RULES, stock::SHOP_RULES];
    let shop_rules = rooms.par_iter().flat_map(|room| room.par_iter());
    all.par_extend(shop_rules.map(|rule| listed(|findings| rule(shop, &models, findings))));
    all.par_extend(
        service::PLAN_RULES.par_iter().map(|rule| listed(|findings| rule(shop, forks, &plans, findings))),
    );
    all.par_extend(service::SUMMED_RULES.par_iter().enumerate().map(|(number, rule)| {
        asked.of(number, |forks| listed(|findings| rule(shop, forks, &plans, findings)))
    }));
    asked.keep((said, keys));
    all.extend(of_records(shop, (said, keys)));
    all.extend(of_likes(shop, forks, (said, keys)));
    let of_texts = || listed(|findings| text_rules(shop, texts, findings)).into();
    all.push(said.texts.or_make(keys.texts, of_texts).to_vec());
    let mut all: Vec<Finding> = all.into_iter().flatten().collect();
    of_oils_and_days(shop, oils, day, &mut all);
    review::rules(shop, (forks, alone, oils), day, (said, keys), &mut all);
    let of_reviews = || listed(|findings| review::texts::texts(shop, texts, day, findings)).into();
    all.extend_from_slice(&said.text_reviews.or_make(keys.texts_on_day(), of_reviews));
    job::rules(shop, forks, &plans, day, (said, keys), &mut all);
    weigh::weigh(shop, &mut all);
    // Before they are merged: what one fork lets stand may still be said of another.
    merge(shop, review::accept::apply(shop, day, all))
}

/// The number of the rule on what procedures need of a fork, behind those that sum up.
const NEEDS: usize = 63;
const _: () = assert!(service::SUMMED_RULES.len() <= NEEDS);

/// What the rules on one record say of each.
fn of_records(shop: &Shop, (said, keys): (&Said, &Keys)) -> Vec<Vec<Finding>> {
    let of_record = |record: &SpecRecord| {
        listed(|findings| {
            let rules = [value::RECORD_RULES, shop::RECORD_RULES];
            rules.iter().copied().flatten().for_each(|rule| rule(shop, record, findings));
        })
    };
    let known = |(at, record): (usize, &Arc<SpecRecord>)| {
        said.records.or_make(keys.fork(at), || Arc::from(of_record(record))).to_vec()
    };
    let of_forks = shop.forks.par_iter().enumerate().map(known);
    let others: Vec<&Arc<SpecRecord>> = shop.records().skip(shop.forks.len()).collect();
    of_forks.chain(others.par_iter().map(|record| of_record(record))).collect()
}

/// What the rules on values among those of like forks say of each group of them.
fn of_likes(shop: &Shop, forks: &[CheckedFork], (said, keys): (&Said, &Keys)) -> Vec<Vec<Finding>> {
    let of_group = |group: &[usize]| {
        let likes: Vec<CheckedFork> = group.iter().map(|at| forks[*at].clone()).collect();
        let peers = Peers::of(shop, likes.iter().map(|fork| fork.resolved.as_ref()));
        listed(|findings| value::PEER_RULES.iter().for_each(|rule| rule(shop, &likes, &peers, findings)))
    };
    let known =
        |group: &Vec<usize>| said.likes.or_make(keys.several(group), || Arc::from(of_group(group))).to_vec();
    Peers::places(forks).par_iter().map(known).collect()
}

/// What the rules on oils and those that hang on the day say.
fn of_oils_and_days(shop: &Shop, oils: &[CheckedOil], day: Option<AsOf>, all: &mut Vec<Finding>) {
    for oil in oils {
        shop::grades::rules(&oil.record, &oil.derived, all);
    }
    shop::instruments::calibrated(shop, day, all);
    shop::machines::ahead(shop, day, all);
    shop::sources::ahead(shop, day, all);
    stock::instruments::calibrations(shop, day, all);
}

/// What is said of the shop's texts, whatever its forks.
fn text_rules(shop: &Shop, texts: &TextReviews, findings: &mut Vec<Finding>) {
    let rooms = [value::TEXT_RULES, service::TEXT_RULES, shop::TEXT_RULES];
    rooms.iter().copied().flatten().for_each(|rule| rule(shop, findings));
    review::library::library(shop, texts, findings);
}

/// What the rules on one fork say of it. They read the fork and its services, and of the shop what is no fork, no job and
/// no card.
fn of_fork(shop: &Shop, fork: &CheckedFork, plans: &[Plan<'_>]) -> Arc<[Finding]> {
    let mut findings = Vec::new();
    for rule in service::FORK_PLAN_RULES {
        rule(shop, fork, plans, &mut findings);
    }
    for rule in value::FORK_RULES.iter().chain(shop::FORK_RULES) {
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
