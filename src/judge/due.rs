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
    /// How much further that is than the machine's last reading, in the same unit: nothing or less where it is passed.
    /// None where there is no such reading.
    pub to_go: Option<f64>,
    /// What the job that did it does not say, and the count would begin from: `distance`, `hours`, `day`.
    pub lacking: Vec<&'static str>,
    /// The day it is due by the calendar; none where it goes by distance or hours alone.
    pub day: Option<Date>,
    /// The day it is likely to be due: by the calendar, or by distance or hours at the machine's own pace between its
    /// first job and its last, whichever is first. None where neither can be told.
    pub likely: Option<Date>,
}

/// What is due next on a machine, in the order of [`in_order`].
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
            to_go: None,
            lacking: Vec::new(),
            day: None,
            likely: None,
        };
        for part in value.parts() {
            add(&mut next, &part, job, jobs);
        }
        if next.reading.is_some() || next.day.is_some() || !next.lacking.is_empty() {
            out.push(next);
        }
    }
    in_order(&mut out);
    out
}

impl NextDue {
    /// Whether the machine's last reading has passed it already, whatever the day.
    pub fn is_passed(&self) -> bool {
        self.to_go.is_some_and(|to_go| to_go <= 0.0)
    }

    /// What stands first: what was passed already; then by the day; then, of what has no day, by how far it is to go;
    /// what nothing is known of stands last.
    pub fn order(&self) -> (u8, Option<Date>, &'static str, i64) {
        let unit = self.reading.map_or("", |(_, unit)| unit);
        let rank = match (self.is_passed(), self.likely, self.reading) {
            (true, _, _) => 0,
            (_, Some(_), _) => 1,
            (_, None, Some(_)) => 2,
            (_, None, None) => 3,
        };
        let to_go = self.to_go.map_or(i64::MAX, |to_go| (to_go * 10.0).round() as i64);
        (rank, self.likely, unit, to_go)
    }
}

/// What stands first comes first: see [`NextDue::order`].
pub fn in_order(due: &mut [NextDue]) {
    due.sort_by_key(NextDue::order);
}

fn add(next: &mut NextDue, part: &Value, job: &Job, jobs: &[&Job]) {
    let Some(interval) = part.quantity() else { return };
    let sooner = |a: Option<Date>, b: Option<Date>| a.into_iter().chain(b).min();
    if interval.dimension() == Dimension::Calendar {
        let Some(months) = months(interval) else { return };
        let day = job.day().map(|day| day.after_months(months));
        if day.is_none() {
            next.lacking.push("day");
        }
        next.day = sooner(next.day, day);
        next.likely = sooner(next.likely, day);
        return;
    }
    let read =
        |job: &Job| read_of(job, interval.dimension()).map(|read| interval.unit().from_si(read.middle_si()));
    let Some(from) = read(job) else {
        let what = if interval.dimension() == Dimension::Time { "hours" } else { "distance" };
        next.lacking.push(what);
        return;
    };
    let to = from + interval.unit().from_si(interval.middle_si());
    next.reading = Some((to, interval.unit().symbol));
    next.to_go = jobs.iter().rev().find_map(|job| read(job)).map(|now| to - now);
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

    fn at_reading(title: &str, to_go: f64, unit: &'static str) -> NextDue {
        NextDue {
            title: title.to_owned(),
            done: String::new(),
            reading: Some((100.0 + to_go, unit)),
            to_go: Some(to_go),
            lacking: Vec::new(),
            day: None,
            likely: None,
        }
    }

    /// For whoever plans the week: without a day the distance or the hours decide, and what is passed comes first.
    #[test]
    fn what_has_no_day_stands_by_what_is_to_go_and_what_is_passed_comes_first() {
        let nothing =
            NextDue { reading: None, to_go: None, lacking: vec!["hours"], ..at_reading("nothing", 0.0, "h") };
        let dated = NextDue { likely: Some(day("2027-01-02")), ..at_reading("dated", 500.0, "h") };
        let mut due = [
            nothing,
            at_reading("far", 40.0, "h"),
            at_reading("near", 9.5, "h"),
            dated,
            at_reading("passed", -2.0, "h"),
        ];
        in_order(&mut due);
        let titles: Vec<&str> = due.iter().map(|next| next.title.as_str()).collect();
        assert_eq!(titles, ["passed", "dated", "near", "far", "nothing"]);
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
