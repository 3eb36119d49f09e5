//! The machines that jobs are of, each with its jobs.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::record::Job;

/// The jobs of each machine, oldest first, by maker, model and frame.
pub type Machines<'s> = BTreeMap<(String, String, String), Vec<&'s Job>>;

/// Every two jobs of a machine that follow one another. A job of no day has no place among them.
pub fn following<'m, 's>(machines: &'m Machines<'s>) -> impl Iterator<Item = [&'s Job; 2]> + 'm {
    let dated = |jobs: &[&'s Job]| jobs.iter().copied().filter(|job| job.day().is_some()).collect::<Vec<_>>();
    machines.values().flat_map(move |jobs| {
        let dated = dated(jobs);
        (1..dated.len()).map(|at| [dated[at - 1], dated[at]]).collect::<Vec<_>>()
    })
}

/// The machines of these jobs.
pub fn machines(jobs: &[Arc<Job>]) -> Machines<'_> {
    let mut machines: Machines<'_> = BTreeMap::new();
    // A frame without a letter or a digit tells no machine from another.
    for (key, job) in jobs.iter().map(|job| (job.machine.key(), job)).filter(|(key, _)| !key.2.is_empty()) {
        machines.entry(key).or_default().push(job);
    }
    for jobs in machines.values_mut() {
        jobs.sort_by_key(|job| (job.day(), &job.number.text));
    }
    machines
}
