//! What the shop's jobs found, as a source of a value.

use crate::catalogue::{Field, Form};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Severity, rules};
use crate::judge::FEWEST_JOBS;
use crate::quantity::Dimension;
use crate::record::{RecordKind, SourceKind};
use crate::resolve::{Resolved, ResolvedFork, Shop};

/// bench-only: a torque, a pressure, a limit and what is read in a state rest on more than the shop's own jobs. A job
/// tells what was found or set, and not what holds.
pub(crate) fn only(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for resolved in fork.all().filter(|resolved| rests_on_jobs(resolved)) {
        let field = shop.catalogue.field(resolved.field);
        let Some(what) = wants_more(field, resolved) else { continue };
        findings.push(
            rules::BENCH_ONLY
                .graded(
                    if fork.record.draft { Severity::Warning } else { Severity::Error },
                    resolved.entry.span,
                    format!("`{}` is {what}, and rests on the shop's own jobs alone", field.key),
                )
                .bench("what was found on a few machines is taken for what the maker allows")
                .instead("name the maker's sheet, or what was measured for it, first under `source:`, and the jobs beside it"),
        );
    }
}

fn rests_on_jobs(resolved: &Resolved) -> bool {
    !resolved.sources.is_empty() && resolved.sources.iter().all(|source| source.kind == SourceKind::Bench)
}

/// Why jobs are not enough for a value.
fn wants_more(field: &Field, resolved: &Resolved) -> Option<&'static str> {
    let dimensions = field.kind.dimensions();
    if dimensions.contains(&Dimension::Torque) {
        Some("a torque")
    } else if dimensions.contains(&Dimension::Pressure) {
        Some("a pressure")
    } else if matches!(field.form, Form::Limit | Form::Difference) {
        Some("a limit")
    } else if !resolved.entry.state.is_empty() {
        Some("read in a state")
    } else {
        None
    }
}

/// bench-proof: a source that is the shop's jobs names at least five of them, and each is there. Where the jobs are kept
/// in another repository, and none is here, they are only counted.
pub(crate) fn proof(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    let records = shop.records();
    for source in records.flat_map(|record| &record.sources).filter(|one| one.kind == SourceKind::Bench) {
        let mut names: Vec<&str> = source.jobs.iter().map(|job| job.text.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        let there = |name: &str| shop.knows(RecordKind::Job, name);
        let lost = source.jobs.iter().find(|job| !shop.jobs.is_empty() && !there(&job.text));
        let (span, what) = match lost {
            Some(job) => (job.span, format!("there is no job `{}`", job.text)),
            None if names.len() < FEWEST_JOBS => (
                source.id.span,
                format!("`{}` names {} jobs, and {FEWEST_JOBS} are the fewest", source.id.text, names.len()),
            ),
            None => continue,
        };
        findings.push(
            rules::BENCH_PROOF
                .at(span, what)
                .bench("a figure that one wrong job made would be set on every machine")
                .instead("list under `jobs:` at least five jobs that read it, such as \"2026/0412\""),
        );
    }
}
