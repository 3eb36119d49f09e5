//! A machine's page: its jobs, its settings then and now, its wear over distance, and what is due.

use std::collections::BTreeMap;

use super::desk::{Entry, Ledger, sheet_path};
use super::html::{self, link, part, table};
use super::list;
use crate::bench::robust::rate;
use crate::book::springs::advice;
use crate::catalogue::{FieldId, Key, key};
use crate::judge::judge_job;
use crate::quantity::Dimension;
use crate::record::{Job, JobReading};
use crate::words::escape;

/// What wears, and is followed over distance.
const WEARS: [Key; 6] = [
    key::TUBES_STANCHION_LIMIT,
    key::TUBES_RUNOUT_LIMIT,
    key::BUSHINGS_INNER_WALL,
    key::BUSHINGS_OUTER_WALL,
    key::SPRING_FREE_LENGTH,
    key::TUBES_BEND_LIMIT,
];

pub(super) fn page(ledger: &Ledger<'_>, machine: &Entry<'_>) -> String {
    let title = machine.jobs.last().map(|job| job.machine.title()).unwrap_or_default();
    let fork = machine
        .fork
        .map(|fork| format!("<p>Fork: {}.</p>\n", escape(&fork.record.title())))
        .unwrap_or_default();
    let body = [
        fork,
        part("Next due", &due(machine)),
        part("Jobs", &jobs(machine)),
        part("Settings as left", &settings(ledger, machine)),
        part("Sag and spring", &sag(ledger, machine)),
        part("Wear", &wear(ledger, machine)),
    ];
    html::page(&title, "../", &body.concat())
}

fn due(machine: &Entry<'_>) -> String {
    let rows: Vec<Vec<String>> = machine
        .due
        .iter()
        .map(|next| {
            let likely = next.likely.map_or("not known".to_owned(), |day| day.to_string());
            vec![escape(&next.title), list::reading(next), likely, escape(&next.done)]
        })
        .collect();
    table(&["What", "Due at", "About", "Last done in"], &rows)
}

/// The reading of a machine's distance or hours.
pub(super) fn read(job: &Job) -> String {
    let quantities = [&job.distance, &job.hours];
    quantities.into_iter().flatten().map(|quantity| quantity.main().shown()).collect::<Vec<_>>().join(", ")
}

fn jobs(machine: &Entry<'_>) -> String {
    let rows: Vec<Vec<String>> = machine
        .jobs
        .iter()
        .rev()
        .map(|job| {
            vec![
                link(&format!("../{}", sheet_path(job)), &job.number.text),
                escape(&job.date.text),
                escape(&read(job)),
                escape(&job.service.text),
                job.complaint.as_ref().map(|text| escape(&text.text)).unwrap_or_default(),
            ]
        })
        .collect();
    table(&["Job", "Day", "Reading", "Service", "Complaint"], &rows)
}

/// `L 110 mm, R 111 mm`, or the one reading.
pub(super) fn on_legs(readings: &[JobReading]) -> String {
    let one = |reading: &JobReading| match reading.leg {
        Some(leg) => format!("{} {}", ["L", "R"][leg], reading.text.text),
        None => reading.text.text.clone(),
    };
    escape(&readings.iter().map(one).collect::<Vec<_>>().join(", "))
}

/// What was left, job by job; torques are told on the sheets.
fn settings(ledger: &Ledger<'_>, machine: &Entry<'_>) -> String {
    let mut rows: BTreeMap<FieldId, Vec<String>> = BTreeMap::new();
    for (at, job) in machine.jobs.iter().enumerate() {
        for line in &job.left {
            let field = ledger.checked.shop.catalogue.field(line.field);
            if field.group == "torque" {
                continue;
            }
            let row = rows.entry(line.field).or_insert_with(|| vec![String::new(); machine.jobs.len()]);
            row[at] = on_legs(&line.readings);
        }
    }
    let rows: Vec<Vec<String>> = rows
        .into_iter()
        .map(|(id, cells)| std::iter::once(escape(ledger.title(id))).chain(cells).collect())
        .collect();
    let mut heads = vec!["Setting"];
    heads.extend(machine.jobs.iter().map(|job| job.date.text.as_str()));
    table(&heads, &rows)
}

/// What the last pair of sags says of the spring; nothing where no job has both.
fn sag(ledger: &Ledger<'_>, machine: &Entry<'_>) -> String {
    let Some(fork) = machine.fork else { return String::new() };
    let read = |job: &Job, key: Key| {
        let lines = job.left.iter().chain(&job.found);
        let line = lines.into_iter().find(|line| line.field == key.id())?;
        line.on(0)?.value.as_ref()?.quantity()?.length()
    };
    let both = |job: &Job| Some((read(job, key::SETUP_SAG_STATIC)?, read(job, key::SETUP_SAG_RIDER)?));
    let last = machine.jobs.iter().rev().find_map(|job| Some((both(job)?, *job)));
    let Some(((alone, rider), job)) = last else { return String::new() };
    let at = format!(
        "In job {}, {:.0} mm alone and {:.0} mm with rider.",
        job.number.text,
        alone.value * 1e3,
        rider.value * 1e3
    );
    let said = match advice(&ledger.checked.shop, fork, alone, rider) {
        Err(why) => format!("What they say of the spring is not worked out: {why}."),
        Ok(found) => {
            let best = found.nearest().filter(|_| found.best > Some(0)).map(|(spring, word)| {
                let preload = spring.preload.as_ref().map_or(0.0, |preload| preload * 1e3);
                let spacer = if spring.spacer { " with another spacer" } else { "" };
                format!(
                    " Nearest to both: {}, {preload:.1} mm of preload{spacer}, {:.0} mm alone: {word}.",
                    spring.title,
                    spring.alone * 1e3
                )
            });
            format!("{}{} Worked out for the preload on record.", found.verdict(), best.unwrap_or_default())
        }
    };
    format!("<p>{}</p>\n<p>{}</p>\n", escape(&at), escape(&said))
}

/// Each leg's readings over the distance, and how fast they change.
fn wear(ledger: &Ledger<'_>, machine: &Entry<'_>) -> String {
    let mut rows = Vec::new();
    for id in WEARS.map(Key::id) {
        for leg in 0..2 {
            rows.extend(wear_of(ledger, machine, id, leg));
        }
    }
    let mut heads = vec!["Read", "Leg"];
    heads.extend(machine.jobs.iter().map(|job| job.date.text.as_str()));
    heads.extend(["Change", "Limit reached"]);
    table(&heads, &rows)
}

fn wear_of(ledger: &Ledger<'_>, machine: &Entry<'_>, id: FieldId, leg: usize) -> Option<Vec<String>> {
    let fork = machine.fork?;
    let asked = ledger.sheets.find(&fork.id, id)?;
    let of_leg = asked.legs[leg].as_ref()?;
    let mut cells = Vec::new();
    let mut points = Vec::new();
    for job in &machine.jobs {
        let line = job.found.iter().find(|line| line.field == id);
        let reading = line.and_then(|line| line.on(leg));
        cells.push(reading.map(|reading| escape(&reading.text.text)).unwrap_or_default());
        let figure = reading
            .and_then(|reading| Some(of_leg.unit.from_si(reading.value.as_ref()?.quantity()?.middle_si())));
        points.extend(figure.and_then(|figure| Some((over(job)?.0, figure))));
    }
    if cells.iter().all(String::is_empty) {
        return None;
    }
    let per = machine.jobs.iter().find_map(|job| over(job)).map_or("", |(_, unit)| unit);
    let pace = rate(&points);
    let told = pace.map(|pace| {
        let (count, word) = if per == "km" { (10_000.0, "10,000 km") } else { (100.0, "100 h") };
        format!("{:+.3} {} in {word}", pace * count, of_leg.unit.symbol)
    });
    let limit = of_leg.least.or(of_leg.greatest).filter(|_| of_leg.target.is_none());
    let reached = pace.zip(limit).zip(points.last()).and_then(|((pace, limit), (at, now))| {
        let more = (limit - now) / pace;
        (more.is_finite() && (0.0..1e6).contains(&more)).then(|| format!("about {:.0} {per}", at + more))
    });
    let mut row = vec![escape(&asked.title), ["L", "R"][leg].to_owned()];
    row.extend(cells);
    row.extend([told.unwrap_or_default(), reached.unwrap_or_default()]);
    Some(row)
}

/// Distance in kilometres, else hours.
fn over(job: &Job) -> Option<(f64, &'static str)> {
    let distance = job.distance.as_ref().filter(|distance| distance.dimension() == Dimension::Distance);
    let hours = job.hours.as_ref().filter(|hours| hours.dimension() == Dimension::Time);
    distance
        .map(|distance| (distance.middle_si() / 1000.0, "km"))
        .or_else(|| hours.map(|hours| (hours.middle_si() / 3600.0, "h")))
}

/// What needs eyes in a job: `Air gap, right: 62 mm, 48 mm too small`.
pub(super) fn told(
    ledger: &Ledger<'_>,
    job: &Job,
    wanted: impl Fn(&crate::judge::JudgedLine) -> bool,
) -> Vec<String> {
    let lines = judge_job(job, &ledger.sheets);
    let words = |line: &crate::judge::JudgedLine| {
        let why = if line.why.is_empty() { String::new() } else { format!(" ({})", line.why) };
        let verdict = line.verdict.map(|verdict| format!(" — {}", verdict.word())).unwrap_or_default();
        escape(&format!("{}: {}, {}{verdict}{why}", line.name(), line.read, line.judged.words))
    };
    lines.iter().filter(|line| wanted(line)).map(words).collect()
}
