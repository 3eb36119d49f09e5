//! Days and distances that run the wrong way, and legs that were exchanged.

use super::desk::Desk;
use crate::diagnostic::{Finding, rules};
use crate::judge::{Machines, following};
use crate::record::{Job, JobLine};
use crate::resolve::Shop;

/// So many days after the last commit nothing more is believed to be work that waits to be committed. Common practice, no
/// source.
const LONG: i64 = 31;

/// job-date: the day of a job is a day that there is, and not one that is still to come.
pub(super) fn dates(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let what = match (job.day(), desk.day) {
        (None, _) if job.date.text.is_empty() => return,
        (None, _) => format!("`{}` is no day", job.date.text),
        // What is not committed yet may be younger than the last commit.
        (Some(day), Some(as_of)) if as_of.settled && day > as_of.date.next() => {
            format!("{day} is still to come: these sources are of {}", as_of.date)
        }
        (Some(day), Some(as_of)) if day > as_of.date.moved(LONG) => {
            format!("{day} is more than a month after the last commit, which is of {}", as_of.date)
        }
        (Some(day), _) if !job.number.text.starts_with(&day.to_string()[..4]) => {
            let year = job.number.text.split('/').next().unwrap_or_default();
            format!("the job is of {day}, and it stands in the folder of {year}")
        }
        _ => return,
    };
    findings.push(
        rules::JOB_DATE
            .at(job.date.span, what)
            .bench("what is due next is counted from the wrong day")
            .instead(
                "write the day of the job as year, month and day, \"2026-04-12\", in the folder of its year",
            ),
    );
}

/// job-distance: a machine's distance and hours never run backwards.
pub(super) fn distances(machines: &Machines<'_>, findings: &mut Vec<Finding>) {
    for [before, after] in following(machines) {
        for (was, is, what) in [
            (&before.distance, &after.distance, "distance"),
            (&before.hours, &after.hours, "reading of hours"),
        ] {
            let (Some(was), Some(is)) = (was, is) else { continue };
            if is.middle_si() >= was.middle_si() {
                continue;
            }
            let (now, then) = (is.main().shown(), was.main().shown());
            findings.push(
                rules::JOB_DISTANCE
                    .at(after.date.span, format!("the {what} ran backwards: {now} here, {then} on {}", before.date.text))
                    .bench("wear over distance and what is due next are counted wrong")
                    .instead("read both again; where the instrument was replaced, add what the old one showed and say so in the notes")
                    .also(before.date.span, "the job before"),
            );
        }
    }
}

/// Readings of both legs as numbers.
fn both(line: &JobLine) -> Option<[f64; 2]> {
    let on = |leg: usize| line.readings.iter().find(|reading| reading.leg == Some(leg));
    let si = |leg: usize| Some(on(leg)?.value.as_ref()?.quantity()?.middle_si());
    Some([si(0)?, si(1)?])
}

/// Whether both legs were written alike: such a line says nothing of which is which, and most are.
fn alike(line: &JobLine) -> bool {
    matches!(line.readings.as_slice(), [left, right] if left.text.text == right.text.text)
}

/// job-legs-exchanged: what was left on the left leg is not found on the right.
pub(super) fn exchanged(shop: &Shop, machines: &Machines<'_>, findings: &mut Vec<Finding>) {
    for [before, after] in following(machines) {
        let mut crossed: Vec<&str> = Vec::new();
        let mut straight = false;
        for line in after.found.iter().filter(|line| !alike(line)) {
            // As left last time; where it was only read, as found then.
            let earlier =
                [&before.left, &before.found].into_iter().flatten().find(|was| was.field == line.field);
            let earlier = earlier.filter(|was| !alike(was));
            let (Some(was), Some(is)) = (earlier.and_then(both), both(line)) else { continue };
            let kept = (is[0] - was[0]).abs() + (is[1] - was[1]).abs();
            let swapped = (is[0] - was[1]).abs() + (is[1] - was[0]).abs();
            if swapped < kept * 0.5 {
                crossed.push(shop.catalogue.field(line.field).read_as());
            }
            straight = kept < swapped * 0.5;
            if straight {
                break;
            }
        }
        if crossed.len() < 2 || straight {
            continue;
        }
        let names = crossed.join(", ");
        findings.push(
            rules::JOB_LEGS_EXCHANGED
                .at(
                    after.number.span,
                    format!("left and right look exchanged against the job before: {names}"),
                )
                .bench("wear is followed on the wrong leg, and the wrong part is replaced")
                .instead("look at both legs again; left is the rider’s left, sitting on the machine")
                .also(before.number.span, "the job before"),
        );
    }
}
