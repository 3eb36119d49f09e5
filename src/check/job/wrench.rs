//! The wrench that was used for a torque.

use super::desk::Desk;
use super::readings::some;
use crate::date::Date;
use crate::diagnostic::{Finding, rules};
use crate::judge::{out_of_calibration, reads_well};
use crate::record::{Job, JobLine, JobReading, Tool};
use crate::words::count;

/// job-wrench-unsaid: a torque says which wrench it was tightened with.
pub(super) fn unsaid(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    if !desk.shop.tools.iter().any(|tool| tool.torques.is_some()) {
        return;
    }
    let catalogue = &desk.shop.catalogue;
    let is_one = |line: &&JobLine| {
        catalogue.field(line.field).group == "torque"
            && line.wrench.is_none()
            && line.readings.iter().any(JobReading::is_read)
    };
    let without: Vec<&JobLine> = job.left.iter().filter(is_one).collect();
    let Some(first) = without.first() else { return };
    let names: Vec<&str> = without.iter().map(|line| catalogue.field(line.field).read_as()).collect();
    findings.push(
        rules::JOB_WRENCH_UNSAID
            .at(
                first.key_span,
                format!(
                    "{} not say with which wrench: {}",
                    count(names.len(), "torque does", "torques do"),
                    some(&names)
                ),
            )
            .bench("when a wrench is found to be out, nobody knows which joints it tightened")
            .instead("write the wrench\u{2019}s id beside the figure, `wrench: \u{2026}`"),
    );
}

/// job-wrench: a torque is read with a wrench that reads well there and was calibrated in time.
pub(super) fn wrenches(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let mut out_of_date: Vec<&str> = Vec::new();
    for line in &job.left {
        let Some(name) = &line.wrench else { continue };
        let Some(wrench) = desk.shop.tool(&name.text) else { continue };
        findings.extend(out_of_range(desk, line, wrench));
        if out_of_date.contains(&name.text.as_str()) {
            continue;
        }
        if let Some(what) = job.day().and_then(|day| past_calibration(wrench, day)) {
            out_of_date.push(&name.text);
            findings.push(
                rules::JOB_WRENCH
                    .at(name.span, what)
                    .bench("nobody knows what torque the joints really have")
                    .instead("have the wrench calibrated; tighten what holds wheel, brakes and bars again where it was far out"),
            );
        }
    }
}

fn out_of_range(desk: &Desk<'_>, line: &JobLine, wrench: &Tool) -> Option<Finding> {
    let reads = wrench.torques.as_ref()?;
    let name = line.wrench.as_ref()?;
    let torques = line.readings.iter().filter_map(|reading| reading.value.as_ref()?.quantity());
    let torque = torques.into_iter().find(|torque| reads_well(wrench, torque) == Some(false))?;
    let title = &desk.shop.catalogue.field(line.field).title;
    Some(
        rules::JOB_WRENCH
            .at(
                name.span,
                format!(
                    "{title}: {} with `{}`, which reads well at {}",
                    torque.main().shown(),
                    name.text,
                    reads.main().shown()
                ),
            )
            .bench("in the bottom fifth of its range a wrench says little about the torque")
            .instead("tighten it again with a wrench that reads well there"),
    )
}

/// Whether the last calibration before a day had run out by then, in words.
fn past_calibration(wrench: &Tool, day: Date) -> Option<String> {
    wrench.calibrate_months?;
    match out_of_calibration(wrench, Some(day)) {
        None => Some(format!("`{}` was not calibrated before {day}", wrench.id.text)),
        Some((until, words)) => (until < day).then_some(words),
    }
}
