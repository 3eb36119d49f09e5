//! A record beside what its own jobs were done with: who changed it, changed it away from what was on every card.

use super::desk::Desk;
use crate::catalogue::{FieldId, Key, key};
use crate::check::CheckedFork;
use crate::check::look::weight;
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::{Quantity, Value, read_value};
use crate::record::{Job, JobLine};
use crate::resolve::{Resolved, Side};
use crate::words::{count, lower_first};

/// How many jobs outweigh a record.
const FEWEST: usize = 2;
/// How far an amount may be from the one that was printed, as a share: what rounding to another unit does.
const ROUNDED: f64 = 0.02;
/// What an amount belongs to, where it is the same, so is the amount.
const HEIGHTS: [Key; 2] = [key::OIL_AIR_GAP, key::OIL_LEVEL];
/// The amounts that belong to such a height.
const AMOUNTS: [Key; 2] = [key::OIL_DRY_FILL, key::OIL_REFILL];

/// What else is held against the targets of earlier jobs, by group or key, and from which share of it on it is another
/// figure: what rounding to another unit does, and nothing where it is counted. Common practice, no source.
const HELD: [(&str, f64); 6] = [
    ("torque", ROUNDED),
    ("air", ROUNDED),
    ("oil.air_gap", ROUNDED),
    ("oil.level", ROUNDED),
    ("rod_nut.height", ROUNDED),
    ("adjusters", 1e-9),
];

/// jobs-otherwise: the oil is one that some job of the fork was filled with, and an amount is the one that was printed
/// with the same gap or level; any other value of the table is one that some earlier card asked for.
pub(super) fn otherwise(desk: &Desk<'_>, fork: &CheckedFork, jobs: &[&Job], findings: &mut Vec<Finding>) {
    if jobs.len() < FEWEST {
        return;
    }
    findings.extend(another_oil(desk, fork, jobs));
    let sides = AMOUNTS.into_iter().flat_map(|amount| Side::BOTH.map(|side| (amount, side)));
    findings.extend(sides.filter_map(|(amount, side)| another_amount(desk, fork, jobs, amount, side)));
    let mut set: Vec<FieldId> = jobs.iter().flat_map(|job| &job.left).map(|line| line.field).collect();
    set.sort_unstable();
    set.dedup();
    for id in set {
        let field = desk.shop.catalogue.field(id);
        let row = HELD.iter().find(|(name, _)| *name == field.key || *name == field.group);
        let Some((_, share)) = row else { continue };
        findings.extend(
            Side::BOTH.into_iter().filter_map(|side| another_value(desk, fork, jobs, (id, side, *share))),
        );
    }
}

/// A value that none of at least two jobs was set by.
fn another_value(
    desk: &Desk<'_>,
    fork: &CheckedFork,
    jobs: &[&Job],
    (id, side, share): (FieldId, Side, f64),
) -> Option<Finding> {
    let value = fork.resolved.on(side, id)?;
    let now = value.quantity()?;
    if side == Side::Right && fork.resolved.alike(id) {
        return None;
    }
    let printed: Vec<(&JobLine, Quantity)> =
        jobs.iter().filter_map(|job| printed(desk, job, id, side)).collect();
    let same = |(_, target): &(&JobLine, Quantity)| {
        target.dimension() == now.dimension() && apart(target, value).is_some_and(|apart| apart <= share)
    };
    if printed.len() < FEWEST || printed.iter().any(same) {
        return None;
    }
    let (line, _) = printed.last()?;
    let was = line.targets[usize::from(side == Side::Right)].as_ref()?;
    let field = desk.shop.catalogue.field(id);
    let mut finding = rules::JOBS_OTHERWISE
        .graded(
            Severity::Warning,
            value.entry.span,
            format!(
                "{} is {}, and the cards of {} all asked for something else, the last one for {}",
                lower_first(&field.title),
                now.main().text,
                count(printed.len(), "job", "jobs"),
                was.text
            ),
        )
        .bench(lower_first(&field.wrong))
        .instead(
            "read the sheet again; another figure than every card asked for wants an approver who knows why",
        )
        .also(was.span, "on the last of these cards");
    finding.reaches = vec![fork.id.clone()];
    Some(finding)
}

/// The oil of every job, where the record names none of them.
pub(super) fn all_filled_otherwise<'j>(fork: &CheckedFork, jobs: &[&'j Job]) -> Option<&'j Job> {
    let named: Vec<&str> = fork
        .resolved
        .all()
        .filter_map(|resolved| match resolved.value() {
            Some(Value::Reference(id)) => Some(id.as_str()),
            _ => None,
        })
        .collect();
    let filled: Vec<&Job> = jobs.iter().copied().filter(|job| job.oil_id().is_some()).collect();
    let none = !filled.iter().any(|job| job.oil_id().is_some_and(|oil| named.contains(&oil.text.as_str())));
    (filled.len() >= FEWEST && none && !named.is_empty()).then(|| filled.last().copied())?
}

fn another_oil(desk: &Desk<'_>, fork: &CheckedFork, jobs: &[&Job]) -> Option<Finding> {
    let last = all_filled_otherwise(fork, jobs)?;
    let oil = last.oil_id()?;
    let value =
        Side::BOTH.into_iter().find_map(|side| fork.resolved.on(side, FieldId::from(key::OIL_OIL)))?;
    let field = desk.shop.catalogue.field(value.field);
    let of = count(jobs.len(), "job", "jobs");
    let mut finding = rules::JOBS_OTHERWISE
        .graded(
            weight(&fork.resolved),
            value.entry.span,
            format!(
                "{} is `{}`, and none of the {of} of `{}` was filled with it: the last one was with `{}`",
                lower_first(&field.title),
                value.entry.text,
                fork.id,
                oil.text
            ),
        )
        .bench(lower_first(&field.wrong))
        .instead(format!("read the sheet again: `{}` was on its cards", oil.text))
        .also(oil.span, "the last job");
    finding.reaches = vec![fork.id.clone()];
    Some(finding)
}

/// An amount that is another one than was printed beside the same height.
fn another_amount(
    desk: &Desk<'_>,
    fork: &CheckedFork,
    jobs: &[&Job],
    amount: Key,
    side: Side,
) -> Option<Finding> {
    let value = fork.resolved.on(side, FieldId::from(amount))?;
    let now = value.quantity()?;
    if side == Side::Right && fork.resolved.alike(FieldId::from(amount)) {
        return None;
    }
    let (line, printed) = jobs.iter().rev().find_map(|job| {
        let height = |key: Key| Some((fork.resolved.on(side, FieldId::from(key))?, key));
        let (height, key) = HEIGHTS.into_iter().find_map(height)?;
        let same = apart(&printed(desk, job, key.id(), side)?.1, height)?;
        (same < 1e-9).then(|| printed(desk, job, amount.id(), side))?
    })?;
    if apart(&printed, value)? <= ROUNDED {
        return None;
    }
    let field = desk.shop.catalogue.field(value.field);
    let was = line.targets[usize::from(side == Side::Right)].as_ref()?;
    let mut finding = rules::JOBS_OTHERWISE
        .graded(
            weight(&fork.resolved),
            value.entry.span,
            format!(
                "{} is {}, and with the same height of oil the cards of earlier jobs asked for {}",
                lower_first(&field.title),
                now.main().text,
                was.text
            ),
        )
        .bench(lower_first(&field.wrong))
        .instead("read amount and height on the sheet again: one belongs to the other")
        .also(was.span, "on the last of these cards");
    finding.reaches = vec![fork.id.clone()];
    Some(finding)
}

/// How far two amounts are apart, as a share of the first.
fn apart(printed: &Quantity, now: &Resolved) -> Option<f64> {
    let now = now.quantity()?;
    Some((printed.middle_si() - now.middle_si()).abs() / printed.middle_si().abs().max(1e-12))
}

/// The target that stood on the card of a job.
fn printed<'j>(desk: &Desk<'_>, job: &'j Job, field: FieldId, side: Side) -> Option<(&'j JobLine, Quantity)> {
    let line = job.left.iter().find(|line| line.field == field)?;
    let text = line.targets[usize::from(side == Side::Right)].as_ref()?;
    let spec = desk.shop.catalogue.field(field).spec();
    let value = read_value(&text.text, &spec).0?;
    Some((line, value.quantity()?.clone()))
}
