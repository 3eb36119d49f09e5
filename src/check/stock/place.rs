//! Where a finding on a build stands: what is wrong with the build alone is told at the build, and never puts a number of
//! its fork in doubt.

use std::collections::BTreeMap;

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Label};

/// Moves what was found of a build, stands in another record and was not found of its fork, to the build. `found` holds
/// what was found of each fork, in the order of the forks.
pub(crate) fn at_builds(forks: &[CheckedFork], found: &mut [Vec<Finding>]) {
    let places: BTreeMap<&str, usize> =
        forks.iter().enumerate().map(|(at, fork)| (fork.id.as_str(), at)).collect();
    for (at, fork) in forks.iter().enumerate() {
        let Some(build) = fork.record.build() else { continue };
        let of_fork =
            places.get(build.fork.text.as_str()).map(|over| found[*over].clone()).unwrap_or_default();
        for finding in &mut found[at] {
            let same = |other: &Finding| {
                (other.span, other.code(), &other.message) == (finding.span, finding.code(), &finding.message)
            };
            if finding.span.file == fork.record.file || of_fork.iter().any(same) {
                continue;
            }
            let there = std::mem::replace(&mut finding.span, build.fork.span);
            finding.instead = format!(
                "write the value that this build has; or, where the fork is wrong: {}",
                finding.instead
            );
            finding.also.push(Label { span: there, text: "said here of the fork".to_owned() });
        }
    }
}
