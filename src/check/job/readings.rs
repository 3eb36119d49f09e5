//! Readings that need eyes.

use std::collections::HashSet;

use super::desk::Desk;
use crate::diagnostic::{Finding, rules};
use crate::judge::{JudgedLine, judge_job, unticked};
use crate::quantity::{Quantity, Value, read_value};
use crate::record::Job;
use crate::resolve::{Resolved, Side};
use crate::text::Span;

/// The most that one sentence names.
pub(super) const MOST_NAMED: usize = 3;

pub(super) fn some<S: AsRef<str>>(names: &[S]) -> String {
    let first = names.iter().take(MOST_NAMED).map(AsRef::as_ref).collect::<Vec<_>>().join("; ");
    match names.len().saturating_sub(MOST_NAMED) {
        0 => first,
        more => format!("{first}; and {more} more"),
    }
}

/// job-outside: what is set wrong, or is past its limit and went back in, says why. One finding for each job; what was
/// only found wrong, and set right, is told on the pages.
pub(super) fn outside(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let judged = judge_job(job, &desk.sheets);
    let open: Vec<_> =
        judged.iter().filter(|line| line.is_open() && !kept_to_its_card(desk, job, line)).collect();
    let Some(first) = open.first() else { return };
    let told: Vec<String> = open
        .iter()
        .map(|line| format!("{} reads {}: {}", line.name(), line.read, line.judged.words))
        .collect();
    let mut finding = rules::JOB_OUTSIDE
        .at(first.span, some(&told))
        .bench("the machine was handed back like this")
        .instead(
            "read it again and set it right; where it stays, say `why:` beside it, or `verdict: replace`",
        );
    for line in &open[1..] {
        finding = finding.also(line.span, format!("{}: {}", line.name(), line.judged.words));
    }
    findings.push(finding);
}

/// Whether a reading keeps to the target that was printed for it, where the record has had another one since.
fn kept_to_its_card(desk: &Desk<'_>, job: &Job, line: &JudgedLine) -> bool {
    let spec = desk.shop.catalogue.field(line.field).spec();
    let read = |text: &str| read_value(text, &spec).0.as_ref().and_then(Value::quantity).cloned();
    let (Some(printed), Some(reading)) = (read(&line.target), read(&line.read)) else { return false };
    let side = if line.leg == "right" { Side::Right } else { Side::Left };
    let fork = desk.fork(job);
    let Some(now) = fork.and_then(|fork| fork.resolved.on(side, line.field)).and_then(Resolved::quantity)
    else {
        return false;
    };
    let apart = |a: &Quantity, b: &Quantity| (a.middle_si() - b.middle_si()).abs();
    let slack = 1e-9 * printed.middle_si().abs().max(1e-9);
    let allowed = [&printed, now].map(|target| target.greatest_si() - target.middle_si());
    let allowed = allowed.into_iter().find(|half| half.is_finite() && *half > slack).unwrap_or(slack);
    apart(&printed, now) > slack && apart(&reading, &printed) <= allowed + slack
}

/// job-typed: what was typed on the page and is no value is kept, and told in the words of the page.
pub(super) fn typed(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let typed: HashSet<Span> = job
        .lines()
        .flat_map(|(_, line)| &line.readings)
        .filter(|reading| reading.typed)
        .map(|reading| reading.text.span)
        .collect();
    if typed.is_empty() {
        return;
    }
    for line in judge_job(job, &desk.sheets).iter().filter(|line| typed.contains(&line.span)) {
        let what = match line.judged.words.as_str() {
            "" => "which is no value",
            words => words,
        };
        findings.push(
            rules::JOB_TYPED
                .at(line.span, format!("{} was typed as `{}`: {what}", line.name(), line.read))
                .bench("nobody knows what was read")
                .instead("ask who did the job, and write the value with its unit in place of `typed:`"),
        );
    }
}

/// job-unticked: on the page each step is ticked, or skipped with a reason.
pub(super) fn unticked_steps(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let Some(told) = unticked(desk.shop, job) else { return };
    findings.push(
        rules::JOB_UNTICKED
            .at(job.service.span, told)
            .bench("nobody can tell a step that was forgotten from one that was done and not ticked")
            .instead("ask who did the job; what was not done goes under `skipped:` with its reason"),
    );
}
