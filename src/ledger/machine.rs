//! A machine's page: its jobs, its settings then and now, its wear over distance, and what is due.

use std::collections::BTreeMap;

use super::desk::{Entry, Ledger, sheet_path};
use super::html::{self, day, link, part, table};
use super::list;
use crate::book::springs::advice;
use crate::catalogue::{FieldId, Key, key};
use crate::judge::{self, Wear, judge_job};
use crate::record::{Job, JobReading};
use crate::words::escape;

pub(super) fn page(ledger: &Ledger<'_>, machine: &Entry<'_>) -> String {
    let title = machine.jobs.last().map(|job| job.machine.title()).unwrap_or_default();
    let fork = machine
        .fork
        .map(|fork| format!("<p>Fork: {}.</p>\n", escape(&fork.record.title())))
        .unwrap_or_default();
    let body = [
        fork,
        part("Next due", &due(ledger, machine)),
        part("Jobs", &jobs(ledger, machine)),
        part("Settings as left", &settings(ledger, machine)),
        part("Sag and spring", &sag(ledger, machine)),
        part("Wear", &wear(ledger, machine)),
    ];
    html::page(&title, "../", &body.concat())
}

fn due(ledger: &Ledger<'_>, machine: &Entry<'_>) -> String {
    let rows: Vec<Vec<String>> = machine
        .due
        .iter()
        .map(|next| {
            let about = list::about(next, ledger.checked.day.map(|day| day.date));
            vec![escape(&next.title), list::reading(next), about, escape(&next.done)]
        })
        .collect();
    table(&["What", "Due at", "About", "Last done in"], &rows)
}

/// The reading of a machine's distance or hours.
pub(super) fn read(job: &Job) -> String {
    let quantities = [&job.distance, &job.hours];
    quantities.into_iter().flatten().map(|quantity| quantity.main().shown()).collect::<Vec<_>>().join(", ")
}

/// What was done, as the pages call it.
pub(super) fn service<'l>(ledger: &'l Ledger<'_>, job: &'l Job) -> &'l str {
    let known = ledger.checked.shop.service(&job.service.text);
    known.map_or(job.service.text.as_str(), |service| &service.title)
}

fn jobs(ledger: &Ledger<'_>, machine: &Entry<'_>) -> String {
    let rows: Vec<Vec<String>> = machine
        .jobs
        .iter()
        .rev()
        .map(|job| {
            vec![
                link(&format!("../{}", sheet_path(job)), &job.number.text),
                day(&job.date.text),
                escape(&read(job)),
                escape(service(ledger, job)),
                job.complaint.as_ref().map(|text| escape(&text.text)).unwrap_or_default(),
            ]
        })
        .collect();
    table(&["Job", "Day", "Reading", "Service", "Complaint"], &rows)
}

/// `L 110 mm, R 111 mm`, or the one reading.
pub(super) fn on_legs(readings: &[JobReading]) -> String {
    let one = |reading: &JobReading| match reading.leg {
        Some(leg) => format!("{}\u{a0}{}", ["L", "R"][leg], figure(reading)),
        None => figure(reading),
    };
    readings.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// A reading as it was written, in one piece.
fn figure(reading: &JobReading) -> String {
    if !reading.is_read() {
        return "not\u{a0}read".to_owned();
    }
    escape(&reading.text.text).replace(' ', "\u{a0}")
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

/// Over how much a change is told.
fn far(per: &str) -> (f64, &'static str) {
    if per == "km" { (10_000.0, "10,000\u{a0}km") } else { (100.0, "100\u{a0}h") }
}

/// Each leg's readings over the distance, and how fast they change.
fn wear(ledger: &Ledger<'_>, machine: &Entry<'_>) -> String {
    let wears =
        machine.fork.map(|fork| judge::wear(&ledger.sheets, &fork.id, &machine.jobs)).unwrap_or_default();
    let due = machine.due.iter().filter_map(|next| next.reading).map(|(at, _)| at).reduce(f64::min);
    let row = |wear: &Wear<'_>| {
        let readings = wear.readings.iter().map(|reading| reading.map(figure).unwrap_or_default());
        let told = wear.pace.map(|(pace, unit)| {
            let (count, _) = far(wear.per);
            match format!("{:.3}", (pace * count).abs()).as_str() {
                "0.000" => "none".to_owned(),
                change => format!("{}{change}\u{a0}{unit}", if pace < 0.0 { "\u{2212}" } else { "+" }),
            }
        });
        let limit = wear.limit.map(|at| {
            let said = format!("about {at:.0}\u{a0}{}", wear.per);
            if due.is_some_and(|due| at <= due) {
                format!("<span class=\"mark\">{said}</span>")
            } else {
                said
            }
        });
        let head = [escape(&wear.title), ["L", "R"][wear.leg].to_owned()];
        head.into_iter()
            .chain(readings)
            .chain([told.unwrap_or_default(), limit.unwrap_or_default()])
            .collect()
    };
    let rows: Vec<Vec<String>> = wears.iter().map(row).collect();
    let mut heads = vec!["Read", "Leg"];
    heads.extend(machine.jobs.iter().map(|job| job.date.text.as_str()));
    let change = format!("Change in {}", far(wears.first().map_or("km", |wear| wear.per)).1);
    heads.extend([change.as_str(), "Limit reached"]);
    table(&heads, &rows)
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
        let told = if line.judged.words.is_empty() { String::new() } else { format!(", {}", line.judged.words) };
        escape(&format!("{}: {}{told}{verdict}{why}", line.name(), line.read))
    };
    lines.iter().filter(|line| wanted(line)).map(words).collect()
}
