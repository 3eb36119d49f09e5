//! Rules on jobs: what the bench read against what the record asks, and one job against the machine's others. A job
//! is no source of a number, so none of them stops publishing, but where a record was changed away from all its jobs.

mod card;
mod desk;
mod history;
mod left_out;
mod machines;
mod oil;
mod otherwise;
mod personal;
mod readings;
mod refers;
mod torque;
mod wrench;

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use self::desk::Desk;
pub use self::left_out::{Lacks, lacks};
use super::{CheckedFork, Keys, Said};
use crate::date::AsOf;
use crate::diagnostic::Finding;
use crate::plan::Plans;
use crate::record::Job;
use crate::resolve::Shop;

/// A rule on one job.
type JobRule = fn(&Desk<'_>, &Job, &mut Vec<Finding>);

const JOB_RULES: &[JobRule] = &[
    card::card,
    card::targets,
    history::dates,
    personal::texts,
    left_out::readings,
    readings::outside,
    readings::typed,
    readings::unticked_steps,
    refers::nowhere,
    wrench::unsaid,
    wrench::wrenches,
];

/// What the rules say of every job. Those on one job read the job, its fork, the released cards, the day, and of the
/// shop what is no fork and no job.
pub(super) fn rules(
    shop: &Shop,
    forks: &[CheckedFork],
    plans: &Plans<'_>,
    day: Option<AsOf>,
    (said, keys): (&Said, &Keys),
    findings: &mut Vec<Finding>,
) {
    if shop.jobs.is_empty() {
        return;
    }
    let desk = Desk::new(shop, forks, plans, day);
    let judge = |job: &Job| {
        let mut findings = Vec::new();
        for rule in JOB_RULES {
            rule(&desk, job, &mut findings);
        }
        findings.into()
    };
    let of_jobs: Vec<Arc<[Finding]>> = shop
        .jobs
        .par_iter()
        .enumerate()
        .map(|(at, job)| said.jobs.or_make(keys.jobs.get(at).copied(), || judge(job)))
        .collect();
    findings.extend(of_jobs.iter().flat_map(|found| found.iter().cloned()));
    let mut of_fork: BTreeMap<&str, Vec<&Job>> = BTreeMap::new();
    for job in &shop.jobs {
        of_fork.entry(&job.fork.text).or_default().push(job);
    }
    for fork in forks {
        let Some(jobs) = of_fork.get(fork.id.as_str()) else { continue };
        oil::another(fork, jobs, findings);
        otherwise::otherwise(&desk, fork, jobs, findings);
    }
    let machines = crate::judge::machines(&shop.jobs);
    history::distances(&machines, findings);
    history::exchanged(shop, &machines, findings);
    oil::drained(shop, &machines, findings);
    machines::frames(&machines, findings);
    machines::twice(&machines, findings);
    torque::not_tightened(&desk, &machines, findings);
}
