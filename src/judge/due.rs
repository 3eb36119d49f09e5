//! When what a job renewed is due again: by distance, by hours, by the calendar, whichever is first.

use std::collections::BTreeMap;

use crate::catalogue::{Catalogue, FieldId, Owner};
use crate::date::Date;
use crate::plan::Plan;
use crate::quantity::{Dimension, Kind, Quantity, Value};
use crate::record::Job;
use crate::resolve::ResolvedFork;

/// One thing of a machine that is due again.
#[derive(Debug, Clone, PartialEq)]
pub struct NextDue {
    /// What: `Oil change`.
    pub title: String,
    /// The job that did it last.
    pub done: String,
    /// The reading it is due at, with its unit; none where it goes by the calendar alone.
    pub reading: Option<(f64, &'static str)>,
    /// The day it is due by the calendar; none where it goes by distance or hours alone.
    pub day: Option<Date>,
    /// The day it is likely to be due: by the calendar, or by distance or hours at the machine's own pace between its
    /// first job and its last, whichever is first. None where neither can be told.
    pub likely: Option<Date>,
}

/// What is due next on a machine, soonest first; what has no day stands last.
pub fn next_due(
    catalogue: &Catalogue,
    fork: &ResolvedFork,
    plans: &[Plan<'_>],
    jobs: &[&Job],
) -> Vec<NextDue> {
    let mut last: BTreeMap<FieldId, &Job> = BTreeMap::new();
    for job in jobs.iter().filter(|job| job.fork.text == fork.id) {
        let Some(plan) = plans.iter().find(|plan| plan.service.id.text == job.service.text) else { continue };
        for key in plan.renewed() {
            last.extend(catalogue.find(key).map(|id| (id, *job)));
        }
    }
    let mut out: Vec<NextDue> = Vec::new();
    for (id, field) in catalogue.of(Owner::Fork).filter(|(_, field)| field.kind == Kind::Interval) {
        let Some(job) = last.get(&id) else { continue };
        let Some(value) = fork.any(id).and_then(|resolved| resolved.value()) else { continue };
        let mut next = NextDue {
            title: field.title.clone(),
            done: job.number.text.clone(),
            reading: None,
            day: None,
            likely: None,
        };
        for part in value.parts() {
            add(&mut next, &part, job, jobs);
        }
        if next.reading.is_some() || next.day.is_some() {
            out.push(next);
        }
    }
    in_order(&mut out);
    out
}

/// Soonest first; what has no day stands last.
pub fn in_order(due: &mut [NextDue]) {
    due.sort_by_key(|next| (next.likely.is_none(), next.likely));
}

fn add(next: &mut NextDue, part: &Value, job: &Job, jobs: &[&Job]) {
    let Some(interval) = part.quantity() else { return };
    let sooner = |a: Option<Date>, b: Option<Date>| a.into_iter().chain(b).min();
    if interval.dimension() == Dimension::Calendar {
        let day = job.day().and_then(|day| Some(day.after_months(months(interval)?)));
        next.day = sooner(next.day, day);
        next.likely = sooner(next.likely, day);
        return;
    }
    let read =
        |job: &Job| read_of(job, interval.dimension()).map(|read| interval.unit().from_si(read.middle_si()));
    let Some(from) = read(job) else { return };
    let to = from + interval.unit().from_si(interval.middle_si());
    next.reading = Some((to, interval.unit().symbol));
    let points: Vec<(Date, f64)> = jobs.iter().filter_map(|job| Some((job.day()?, read(job)?))).collect();
    next.likely = sooner(next.likely, reached(&points, to));
}

fn read_of(job: &Job, dimension: Dimension) -> Option<&Quantity> {
    match dimension {
        Dimension::Distance => job.distance.as_ref(),
        Dimension::Time => job.hours.as_ref(),
        _ => None,
    }
}

fn months(interval: &Quantity) -> Option<u16> {
    let unit = crate::quantity::unit("months")?;
    let count = unit.from_si(interval.middle_si()).round();
    (1.0..=1200.0).contains(&count).then_some(count as u16)
}

/// The day a reading is reached, at the pace between the first and the last of several days.
pub(super) fn reached(points: &[(Date, f64)], to: f64) -> Option<Date> {
    let ((first, from), (last, now)) = (*points.first()?, *points.last()?);
    let days = f64::from(last.number().checked_sub(first.number())?);
    let pace = (now - from) / days;
    let ahead = (to - now) / pace;
    // Not a day: a machine that stood still, or one that was counted backwards.
    (pace > 0.0 && ahead.abs() < 36_500.0).then(|| last.moved(ahead.floor() as i64))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Date {
        Date::read(text).expect("a day")
    }

    #[test]
    fn a_reading_is_reached_at_the_machines_own_pace() {
        // 10 km a day: 4000 km more take 400 days.
        let points = [(day("2024-01-01"), 1000.0), (day("2024-04-10"), 2000.0)];
        assert_eq!(reached(&points, 6000.0), Some(day("2025-05-15")));
        // One job says nothing of a pace, and a machine that stood is due by the calendar alone.
        assert_eq!(reached(&points[..1], 6000.0), None);
        assert_eq!(reached(&[(day("2024-01-01"), 1000.0), (day("2024-04-10"), 1000.0)], 6000.0), None);
        // What was passed already lies behind the last job.
        assert_eq!(reached(&points, 1500.0), Some(day("2024-02-20")));
    }
}
