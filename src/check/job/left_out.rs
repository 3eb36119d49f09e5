//! Readings that are not there: what the card asked for, or what today's asks for where the job's own is an earlier one.

use super::card::is_from_earlier;
use super::desk::Desk;
use super::readings::{MOST_NAMED, some};
use crate::catalogue::Catalogue;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Severity, rules};
use crate::judge::{LeftOut, ReadingBox, boxes, left_out};
use crate::plan::Plan;
use crate::record::{Job, JobReading, ReleasedCard};
use crate::resolve::{Shop, Side};
use crate::words::count;

/// What of a service's readings a job lacks.
#[derive(Debug, Clone, PartialEq)]
pub struct Lacks {
    /// What is not there.
    pub left_out: Vec<LeftOut>,
    /// The job was worked from an earlier card: whether that one asked for these is not known.
    pub earlier: bool,
}

/// What a job lacks of what its service asks for on its fork today.
pub fn lacks(shop: &Shop, fork: &CheckedFork, plan: &Plan<'_>, job: &Job) -> Lacks {
    let of_it =
        |card: &&ReleasedCard| (&card.fork.text, &card.service.text) == (&job.fork.text, &job.service.text);
    let cards: Vec<&ReleasedCard> = shop.released.cards.iter().filter(of_it).collect();
    of(&shop.catalogue, (&boxes(&shop.catalogue, &fork.resolved, plan), plan), &cards, job)
}

fn of(
    catalogue: &Catalogue,
    (boxes, plan): (&[ReadingBox], &Plan<'_>),
    cards: &[&ReleasedCard],
    job: &Job,
) -> Lacks {
    Lacks { left_out: left_out(catalogue, boxes, plan, job), earlier: is_from_earlier(cards, job) }
}

/// What a job lacks; `None` where there is no such fork or service.
pub(super) fn lacked(desk: &Desk<'_>, job: &Job) -> Option<Lacks> {
    let plan = desk.plan(desk.fork(job)?, &job.service.text)?;
    let cards = desk.cards(&job.fork.text, &job.service.text);
    Some(of(&desk.shop.catalogue, (desk.boxes(job), plan), cards, job))
}

/// job-left-out: every reading that the service asks for is there, or is skipped with a reason.
pub(super) fn readings(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let Some(lacks) = lacked(desk, job) else { return };
    let hurts = |one: &LeftOut| one.can_hurt(desk.shop.catalogue.field(one.field));
    let mut missing: Vec<&LeftOut> = lacks.left_out.iter().filter(|one| one.why.is_none()).collect();
    // What an earlier card may not have asked for is told where it can hurt somebody alone.
    missing.retain(|one| !lacks.earlier || hurts(one));
    if missing.is_empty() {
        return;
    }
    let hurting = missing.iter().any(|one| hurts(one));
    let grave = hurting && !lacks.earlier;
    let told = told(desk, job, &missing);
    let (severity, told) = match (lacks.earlier, grave) {
        (true, _) => (
            Severity::Note,
            format!(
                "{told}; today\u{2019}s card asks for them, and this job was worked from an earlier one: whether that one asked for them is not judged"
            ),
        ),
        (false, true) => (Severity::Warning, told),
        (false, false) => (Severity::Note, told),
    };
    let bench = if hurting {
        "a joint that nobody tightened and a leg that nobody filled look the same here as ones that were"
    } else {
        "the next job cannot tell what was not done from what was fine"
    };
    let finding = rules::JOB_LEFT_OUT
        .graded(severity, job.service.span, told)
        .bench(bench)
        .instead("add what the card says; what was not read goes under `skipped:` with its reason");
    // Where the sentence does not name all of it, the lines to be filled in do.
    let all = if missing.len() > MOST_NAMED { lines(desk, &missing) } else { Vec::new() };
    findings.push(finding.lines(all));
}

/// The lines of the job that are not there, to be filled in: those as found, then those as left.
fn lines(desk: &Desk<'_>, missing: &[&LeftOut]) -> Vec<String> {
    let mut out = Vec::new();
    for (as_left, head) in [(false, "found:"), (true, "left:")] {
        let mut below: Vec<String> = Vec::new();
        for one in missing.iter().filter(|one| one.as_left == as_left) {
            let key = &desk.shop.catalogue.field(one.field).key;
            let line = match one.leg {
                None => format!("  {key}: …"),
                Some(leg) => format!("  {key}: {{{}: …}}", Side::BOTH[leg].word()),
            };
            if !below.contains(&line) {
                below.push(line);
            }
        }
        if !below.is_empty() {
            out.push(head.to_owned());
            out.extend(below);
        }
    }
    out
}

/// What is not there in the words of the page to work from, then what is there on one leg alone, then, where not all of
/// it is named, what of it can hurt: `none of the 12 torques; Air gap`.
fn told(desk: &Desk<'_>, job: &Job, missing: &[&LeftOut]) -> String {
    let field = |one: &LeftOut| desk.shop.catalogue.field(one.field);
    let is_read = |one: &LeftOut| {
        let mut lines = job.lines().filter(|(_, line)| line.field == one.field);
        lines.any(|(_, line)| line.readings.iter().any(JobReading::is_read))
    };
    let (part, whole): (Vec<&LeftOut>, Vec<&LeftOut>) = missing.iter().partition(|one| is_read(one));
    let mut names: Vec<&str> = Vec::new();
    for name in whole.iter().map(|one| field(one).read_as()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let mut parts = Vec::new();
    if !names.is_empty() {
        parts.push(format!(
            "{} not there: {}",
            count(names.len(), "reading is", "readings are"),
            some(&names)
        ));
    }
    if !part.is_empty() {
        let when = |one: &&LeftOut| match one.leg {
            None => format!("{} {}", one.name(field(one)), if one.as_left { "as left" } else { "as found" }),
            Some(_) => one.name(field(one)),
        };
        parts.push(format!("not there in part: {}", some(&part.iter().map(when).collect::<Vec<_>>())));
    }
    if names.len().max(part.len()) > MOST_NAMED {
        parts.extend(grave(desk, job, missing));
    }
    parts.join("; ")
}

/// What of it can hurt somebody.
fn grave(desk: &Desk<'_>, job: &Job, missing: &[&LeftOut]) -> Option<String> {
    let field = |one: &LeftOut| desk.shop.catalogue.field(one.field);
    let is_torque = |id| desk.shop.catalogue.field(id).group == "torque";
    let asked = desk.boxes(job).iter().filter(|asked| asked.as_left && is_torque(asked.field)).count();
    let whole = |one: &&&LeftOut| is_torque(one.field) && one.leg.is_none();
    let none = asked > 1 && missing.iter().filter(whole).count() == asked;
    let mut names: Vec<String> = Vec::new();
    if none {
        names.push(format!("all of the {asked} torques"));
    }
    let hurting = missing.iter().filter(|one| one.can_hurt(field(one)) && !(none && is_torque(one.field)));
    names.extend(hurting.map(|one| one.name(field(one))));
    (!names.is_empty()).then(|| format!("what can hurt among them: {}", some(&names)))
}
