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

use rayon::prelude::*;

use self::judged::Judged;
use crate::check::{CheckedFamily, CheckedFork, CheckedOil};
use crate::date::AsOf;
use crate::diagnostic::Finding;
use crate::resolve::Shop;
use crate::review::lines;

/// Runs them all.
pub(crate) fn rules(
    shop: &Shop,
    (forks, families, oils): (&[CheckedFork], &[CheckedFamily], &[CheckedOil]),
    day: Option<AsOf>,
    findings: &mut Vec<Finding>,
) {
    released::released(shop, findings);
    for fork in forks {
        compared::compared(shop, fork, findings);
        compared::maker(shop, fork, findings);
    }
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
    let of_forks: Vec<Vec<Finding>> = forks.par_iter().map(of_fork).collect();
    findings.extend(of_forks.into_iter().flatten());
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
