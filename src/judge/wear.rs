//! How fast parts wear over distance or hours, and when one is at its limit.

use super::due::{NextDue, reached};
use super::job::Sheets;
use crate::bench::robust::rate;
use crate::catalogue::{FieldId, Key, key};
use crate::quantity::Dimension;
use crate::record::{Job, JobReading};

/// What wears, and is followed over distance.
const WEARS: [Key; 6] = [
    key::TUBES_STANCHION_LIMIT,
    key::TUBES_RUNOUT_LIMIT,
    key::BUSHINGS_INNER_WALL,
    key::BUSHINGS_OUTER_WALL,
    key::SPRING_FREE_LENGTH,
    key::TUBES_BEND_LIMIT,
];

/// A part on one leg, as one machine's jobs read it.
#[derive(Debug, Clone, PartialEq)]
pub struct Wear<'j> {
    /// What is read.
    pub title: String,
    /// 0 for the left leg, 1 for the right.
    pub leg: usize,
    /// The reading of each job, in their order; none where it was not read.
    pub readings: Vec<Option<&'j JobReading>>,
    /// The change for each kilometre or hour, and the unit of the reading; none of fewer than two readings.
    pub pace: Option<(f64, &'static str)>,
    /// `km` or `h`.
    pub per: &'static str,
    /// The distance or hours at which the limit is reached, to the hundred kilometres or the hour below; none where it
    /// does not come nearer by more than a reading can tell.
    pub limit: Option<f64>,
}

/// The wear of a machine's parts; `jobs` are oldest first.
pub fn wear<'j>(sheets: &Sheets, fork: &str, jobs: &[&'j Job]) -> Vec<Wear<'j>> {
    let all = WEARS.into_iter().flat_map(|key| [(key.id(), 0), (key.id(), 1)]);
    all.filter_map(|(id, leg)| of_part(sheets, fork, jobs, (id, leg))).collect()
}

fn of_part<'j>(
    sheets: &Sheets,
    fork: &str,
    jobs: &[&'j Job],
    (id, leg): (FieldId, usize),
) -> Option<Wear<'j>> {
    let asked = sheets.find(fork, id)?;
    let of_leg = asked.legs[leg].as_ref()?;
    let on = |job: &&'j Job| job.found.iter().find(|line| line.field == id).and_then(|line| line.on(leg));
    let readings: Vec<Option<&JobReading>> = jobs.iter().map(on).collect();
    if readings.iter().all(Option::is_none) {
        return None;
    }
    let per = jobs.iter().find_map(|job| over(job)).map_or("", |(_, unit)| unit);
    let point = |(job, reading): (&&Job, &Option<&JobReading>)| {
        let (at, unit) = over(job)?;
        let figure = of_leg.unit.from_si((*reading)?.value.as_ref()?.quantity()?.middle_si());
        (unit == per).then_some((at, figure))
    };
    let points: Vec<(f64, f64)> = jobs.iter().zip(&readings).filter_map(point).collect();
    let pace = rate(&points);
    let limit = of_leg.least.or(of_leg.greatest).filter(|_| of_leg.target.is_none());
    let limit = pace.zip(limit).and_then(|(pace, limit)| {
        let ((from, _), (at, now)) = (points.first()?, points.last()?);
        // A step of the last digit is no trend: two readings of one part may differ by it.
        let steps = 1.5 * 10f64.powi(-i32::from(of_leg.decimals));
        let more = (limit - now) / pace;
        let step = if per == "km" { 100.0 } else { 1.0 };
        let trend = ((at - from) * pace).abs() > steps && (0.0..1e6).contains(&more);
        trend.then(|| ((at + more) / step).floor() * step)
    });
    Some(Wear {
        title: asked.title.clone(),
        leg,
        readings,
        pace: pace.map(|pace| (pace, of_leg.unit.symbol)),
        per,
        limit,
    })
}

/// What is worn to its limit before anything of the machine is due: nobody would look at it in time.
pub fn worn_before(wears: &[Wear<'_>], due: &[NextDue], jobs: &[&Job]) -> Vec<NextDue> {
    let readings = due.iter().filter_map(|next| next.reading);
    let points: Vec<_> = jobs.iter().filter_map(|job| Some((job.day()?, over(job)?.0))).collect();
    let worn = wears.iter().filter_map(|wear| {
        let at = wear.limit?;
        let next =
            readings.clone().filter(|(_, unit)| *unit == wear.per).map(|(at, _)| at).reduce(f64::min)?;
        let read = wear.readings.iter().rposition(Option::is_some).and_then(|at| jobs.get(at))?;
        (at < next).then(|| NextDue {
            title: format!("{}, {}, at its limit", wear.title, ["left", "right"][wear.leg]),
            done: read.number.text.clone(),
            reading: Some((at, wear.per)),
            to_go: jobs.iter().rev().find_map(|job| over(job)).map(|(now, _)| at - now),
            lacking: Vec::new(),
            day: None,
            likely: reached(&points, at),
        })
    });
    worn.collect()
}

/// Distance in kilometres, else hours.
fn over(job: &Job) -> Option<(f64, &'static str)> {
    let distance = job.distance.as_ref().filter(|distance| distance.dimension() == Dimension::Distance);
    let hours = job.hours.as_ref().filter(|hours| hours.dimension() == Dimension::Time);
    distance
        .map(|distance| (distance.middle_si() / 1000.0, "km"))
        .or_else(|| hours.map(|hours| (hours.middle_si() / 3600.0, "h")))
}
