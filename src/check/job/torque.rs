//! Torques that a job left out or left otherwise, with a reason.

use super::desk::Desk;
use super::left_out::lacked;
use super::readings::some;
use crate::catalogue::FieldId;
use crate::diagnostic::{Finding, rules};
use crate::judge::{Machines, Outcome, judge_job};
use crate::record::{Job, JobLine};
use crate::text::Span;

/// A torque that a joint does not have.
struct Loose {
    field: FieldId,
    leg: Option<usize>,
    span: Span,
    told: String,
}

/// job-not-tightened: a torque that was not set, or set otherwise, is told whatever the reason, until a later job of the
/// machine sets it.
pub(super) fn not_tightened(desk: &Desk<'_>, machines: &Machines<'_>, findings: &mut Vec<Finding>) {
    for job in &desk.shop.jobs {
        let mut loose = loose(desk, job);
        if loose.is_empty() {
            continue;
        }
        let of_machine = machines.get(&job.machine.key()).map_or(&[][..], Vec::as_slice);
        let later = of_machine.iter().skip_while(|other| other.number.text != job.number.text).skip(1);
        for after in later {
            loose.retain(|one| !sets(after, one));
        }
        let Some(first) = loose.first() else { continue };
        let told: Vec<&str> = loose.iter().map(|one| one.told.as_str()).collect();
        let mut finding = rules::JOB_NOT_TIGHTENED
            .at(first.span, some(&told))
            .bench("a joint that is not at its torque works loose on the road, and no reason holds it")
            .instead("tighten it before the machine is handed back and write the figure; a later job of this machine that tightens it ends this finding");
        for one in &loose[1..] {
            finding = finding.also(one.span, one.told.clone());
        }
        findings.push(finding);
    }
}

/// Whether a job set a torque that was open.
fn sets(job: &Job, open: &Loose) -> bool {
    let lines = job.left.iter().filter(|line| line.field == open.field);
    let read = |leg: usize| {
        lines.clone().any(|line: &JobLine| line.on(leg).is_some_and(|reading| reading.value.is_some()))
    };
    match open.leg {
        Some(leg) => read(leg),
        None => read(0) || read(1),
    }
}

/// The torques of a job that stand open with a reason. Those without one are told as left out or outside.
fn loose(desk: &Desk<'_>, job: &Job) -> Vec<Loose> {
    let is_torque = |field: FieldId| desk.shop.catalogue.field(field).group == "torque";
    let of_torques = || job.left.iter().filter(|line| is_torque(line.field));
    let reasons = of_torques().any(|line| line.readings.iter().any(|reading| reading.why.is_some()));
    if !reasons && job.skipped.is_empty() {
        return Vec::new();
    }
    let left_out = lacked(desk, job).map(|lacks| lacks.left_out).unwrap_or_default();
    let mut out: Vec<Loose> = left_out
        .iter()
        .filter(|one| one.as_left && is_torque(one.field))
        .filter_map(|one| {
            let why = one.why.as_ref()?;
            let name = one.name(desk.shop.catalogue.field(one.field));
            let told = format!("{name} was not tightened: \u{201c}{}\u{201d}", why.text);
            Some(Loose { field: one.field, leg: one.leg, span: why.span, told })
        })
        .collect();
    if !reasons {
        return out;
    }
    let judged = judge_job(job, &desk.sheets);
    out.extend(judged.iter().filter(|line| line.as_left && is_torque(line.field)).filter_map(|line| {
        let open = line.judged.outcome == Outcome::Outside && !line.why.is_empty();
        let told = || {
            format!(
                "{} was left at {}: {} (\u{201c}{}\u{201d})",
                line.name(),
                line.read,
                line.judged.words,
                line.why
            )
        };
        let leg = ["left", "right"].iter().position(|leg| *leg == line.leg);
        open.then(|| Loose { field: line.field, leg, span: line.span, told: told() })
    }));
    out
}
