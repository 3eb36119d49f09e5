//! The oil of a job.

use super::otherwise::all_filled_otherwise;
use crate::catalogue::key;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::judge::{Machines, following};
use crate::record::{Job, JobLine};
use crate::resolve::Shop;

/// job-oil: the oil that went in is the record's. Where no job of the fork was filled with what the record asks for, it
/// is the record that is asked about.
pub(super) fn another(fork: &CheckedFork, jobs: &[&Job], findings: &mut Vec<Finding>) {
    let oils = fork.resolved.oils();
    if oils.is_empty() || all_filled_otherwise(fork, jobs).is_some() {
        return;
    }
    let filled = jobs.iter().filter_map(|job| job.oil_id());
    findings.extend(filled.filter(|oil| !oils.contains(&oil.text.as_str())).map(|oil| {
        rules::JOB_OIL
            .at(oil.span, format!("`{}` went in, and the record asks for `{}`", oil.text, oils[0]))
            .bench("rebound and compression clicks mean something else on another oil")
            .instead("say in the notes why this oil was taken, and hold its viscosity at 40 °C against the record’s")
    }));
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
