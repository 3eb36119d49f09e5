//! The oil of a job.

use super::card::is_from_earlier;
use super::desk::Desk;
use super::otherwise::all_filled_otherwise;
use crate::catalogue::key;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::judge::{Machines, following};
use crate::plan::Plan;
use crate::quantity::Value;
use crate::record::{Job, JobLine};
use crate::resolve::{Resolved, Shop, Side};
use crate::syntax::Scheme;

/// job-oil: the oil that went in is the record's. Where no job of the fork was filled with what the record asks for, it
/// is the record that is asked about.
pub(super) fn another(fork: &CheckedFork, jobs: &[&Job], findings: &mut Vec<Finding>) {
    let oils = fork.resolved.oils();
    if oils.is_empty() || all_filled_otherwise(fork, jobs).is_some() {
        return;
    }
    let filled = jobs.iter().flat_map(|job| job.oils()).map(|oil| &oil.oil);
    findings.extend(filled.filter(|oil| !oils.contains(&oil.text.as_str())).map(|oil| {
        rules::JOB_OIL
            .at(oil.span, format!("`{}` went in, and the record asks for `{}`", oil.text, oils[0]))
            .bench("rebound and compression clicks mean something else on another oil")
            .instead("say in the notes why this oil was taken, and hold its viscosity at 40 °C against the record’s")
    }));
}

/// job-batch: each oil that the service pours is named, with its batch.
pub(super) fn batches(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let title = |id: &str| desk.shop.oil(id).map_or(id.to_owned(), |oil| oil.title());
    let told = |finding: Finding| {
        finding
            .bench("when a batch is found to be wrong, nobody knows which machines it is in")
            .instead("write the oil with the batch on its bottle, the first under `oil:`, any other under `other_oils:`")
    };
    for oil in job.oils().filter(|oil| oil.batch.as_ref().is_none_or(|batch| batch.text.is_empty())) {
        let what = format!("the batch of {} is not there", title(&oil.oil.text));
        findings.push(told(rules::JOB_BATCH.at(oil.oil.span, what)));
    }
    let Some((fork, plan)) =
        desk.fork(job).and_then(|fork| Some((fork, desk.plan(fork, &job.service.text)?)))
    else {
        return;
    };
    if is_from_earlier(desk.cards(&job.fork.text, &job.service.text), job) {
        return;
    }
    let poured = poured(desk, fork, plan, job);
    let lacking: Vec<String> =
        poured.iter().filter(|id| !job.oils().any(|oil| oil.oil.text == **id)).map(|id| title(id)).collect();
    // A job with another oil is told of as such, and not as one without any.
    if lacking.is_empty() || job.oils().count() >= poured.len() {
        return;
    }
    let what = format!("the service pours {} too, and the job does not name it", lacking.join(" and "));
    let what = if job.oil_id().is_some() { what } else { what.replace(" too,", ",") };
    findings.push(told(rules::JOB_BATCH.at(job.service.span, what)));
}

/// The oils that a service pours into a fork, each once: those that a step names which was not skipped.
fn poured<'f>(desk: &Desk<'_>, fork: &'f CheckedFork, plan: &Plan<'_>, job: &Job) -> Vec<&'f str> {
    let done = plan.items.iter().filter(|item| !job.skips(&item.procedure.id.text));
    let links =
        done.flat_map(|item| &item.procedure.body.references).filter(|link| link.scheme == Scheme::Spec);
    let mut out: Vec<&str> = Vec::new();
    for id in links.filter_map(|link| desk.shop.catalogue.find(&link.target)) {
        for side in Side::BOTH {
            let Some(Value::Reference(oil)) = fork.resolved.on(side, id).and_then(Resolved::value) else {
                continue;
            };
            if desk.shop.oil(oil).is_some() && !out.contains(&oil.as_str()) {
                out.push(oil);
            }
        }
    }
    out
}

/// Below this part of what was filled, what is drained says that the leg lost oil or was never filled. Common
/// practice, no source.
const MUCH_LESS: f64 = 0.85;

/// job-drained: what is drained is about what the job before filled.
pub(super) fn drained(shop: &Shop, machines: &Machines<'_>, findings: &mut Vec<Finding>) {
    let line = |lines: &'_ [JobLine], key: crate::catalogue::Key| {
        lines.iter().position(|line| line.field == key.id())
    };
    for [before, after] in following(machines) {
        let Some(at) = line(&after.found, key::OIL_DRAINED) else { continue };
        let fill = [key::OIL_DRY_FILL, key::OIL_REFILL].into_iter().find_map(|key| line(&before.left, key));
        let Some(fill) = fill.map(|at| &before.left[at]) else { continue };
        for reading in &after.found[at].readings {
            let amount =
                |reading: &crate::record::JobReading| Some(reading.value.as_ref()?.quantity()?.middle_si());
            let filled = fill.on(reading.leg.unwrap_or(0)).and_then(amount);
            let (Some(out), Some(filled)) = (amount(reading), filled) else { continue };
            if out >= filled * MUCH_LESS || reading.why.is_some() {
                continue;
            }
            let title = &shop.catalogue.field(after.found[at].field).title;
            findings.push(
                rules::JOB_DRAINED
                    .at(
                        reading.text.span,
                        format!(
                            "{title}: {} came out, and {} went in on {}",
                            reading.text.text,
                            fill_text(fill, reading.leg),
                            before.date.text
                        ),
                    )
                    .bench("the leg lost oil past a seal, or was filled too low")
                    .instead("look where it went; say `why:` beside it when it is known")
                    .also(before.number.span, "the job that filled it"),
            );
        }
    }
}

fn fill_text(fill: &JobLine, leg: Option<usize>) -> &str {
    fill.on(leg.unwrap_or(0)).map_or("", |reading| reading.text.text.as_str())
}
