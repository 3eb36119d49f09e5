//! The wrench that was used for a torque.

use super::desk::Desk;
use crate::date::Date;
use crate::diagnostic::{Finding, rules};
use crate::record::{Job, JobLine, Tool};

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
    let torque = torques.filter(|torque| torque.dimension() == reads.dimension()).find(|torque| {
        torque.middle_si() < reads.least_si() - 1e-9 || torque.middle_si() > reads.greatest_si() + 1e-9
    })?;
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
    let months = u16::try_from(wrench.calibrate_months?).ok()?;
    let days = wrench.calibrated.iter().filter_map(|text| Date::read(&text.text));
    match days.filter(|calibrated| *calibrated <= day).max() {
        None => Some(format!("`{}` was not calibrated before {day}", wrench.id.text)),
        Some(last) => {
            let until = last.after_months(months);
            (until < day).then(|| {
                format!("`{}` was out of calibration: last on {last}, next due on {until}", wrench.id.text)
            })
        }
    }
}
