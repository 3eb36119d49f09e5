//! Rules on reviews and on acceptances.

pub(crate) mod accept;
mod compared;
mod dates;
mod entries;
mod judged;
pub(crate) mod library;
mod released;
mod standings;
pub(crate) mod texts;
mod unreviewed;

use std::sync::Arc;

use rayon::prelude::*;

use self::judged::Judged;
use crate::check::{CheckedFamily, CheckedFork, CheckedOil, Keys, Said};
use crate::date::AsOf;
use crate::diagnostic::Finding;
use crate::resolve::Shop;
use crate::review::lines;

/// Runs them all. What was said of the reviews of a fork that rests on the same is taken again.
pub(crate) fn rules(
    shop: &Shop,
    (forks, families, oils): (&[CheckedFork], &[CheckedFamily], &[CheckedOil]),
    day: Option<AsOf>,
    (said, keys): (&Said, &Keys),
    findings: &mut Vec<Finding>,
) {
    released::released(shop, findings);
    for fork in forks {
        compared::maker(shop, fork, findings);
    }
    let compared = |(at, fork): (usize, &CheckedFork)| {
        said.compared.or_make(keys.fork(at), || {
            let mut findings = Vec::new();
            compared::compared(shop, fork, &mut findings);
            findings.into()
        })
    };
    let found: Vec<Arc<[Finding]>> = forks.par_iter().enumerate().map(compared).collect();
    findings.extend(found.iter().flat_map(|found| found.iter().cloned()));
    let mut records = shop.records();
    if records.all(|record| record.reviewed.is_empty()) {
        return;
    }
    let of_fork = |fork: &CheckedFork| {
        let mut of_fork_alone = Vec::new();
        let judged = Judged::of(shop, &fork.record, lines(fork).into_values(), &fork.review);
        entries::entries(&judged, day, &mut of_fork_alone);
        standings::standings(&judged, &mut of_fork_alone);
        unreviewed::unreviewed(&judged, &mut of_fork_alone);
        for finding in &mut of_fork_alone {
            finding.reaches = vec![fork.id.clone()];
        }
        of_fork_alone
    };
    let known =
        |(at, fork)| said.reviews.or_make(keys.fork_on_day(at), || Arc::<[Finding]>::from(of_fork(fork)));
    let of_forks: Vec<Arc<[Finding]>> = forks.par_iter().enumerate().map(known).collect();
    findings.extend(of_forks.iter().flat_map(|found| found.iter().cloned()));
    let alone = families
        .iter()
        .map(|family| (&family.record, &family.review))
        .chain(oils.iter().map(|oil| (&oil.record, &oil.review)));
    for (record, review) in alone {
        let judged =
            Judged::of(shop, record, record.values.iter().map(|line| (line, record.as_ref())), review);
        entries::entries(&judged, day, findings);
        standings::standings(&judged, findings);
    }
}
