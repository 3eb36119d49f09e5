//! The as-left sheet for the rider: one side.

use super::desk::{Entry, Ledger};
use super::html::{self, day, list, part, table};
use super::lacks;
use super::machine::{on_legs, read, service, told};
use crate::judge::{NextDue, Outcome};
use crate::quantity::{Kind, Value};
use crate::record::{Job, JobLine, JobOil, Verdict};
use crate::resolve::Side;
use crate::words::escape;

pub(super) fn page(ledger: &Ledger<'_>, machine: &Entry<'_>, job: &Job) -> String {
    let shop = &ledger.checked.shop;
    let fork = ledger.checked.fork(&job.fork.text).map_or(job.fork.text.clone(), |fork| fork.record.title());
    let reading = read(job);
    let at = if reading.is_empty() { String::new() } else { format!(", at {}", escape(&reading)) };
    let head = format!(
        "<p><strong>{}</strong><br>{}, {}{at}. Job {}, {}.</p>\n",
        escape(&job.machine.title()),
        escape(&fork),
        day(&job.date.text),
        escape(&job.number.text),
        escape(&shop.settings.name)
    );
    let found = told(ledger, job, |line| {
        !line.as_left && (line.judged.outcome >= Outcome::Outside || line.verdict.is_some())
    });
    let parts: Vec<String> = job.parts.iter().map(|part| fitted(ledger, part)).collect();
    let due: Vec<String> = machine.due.iter().map(next_due).collect();
    let last = machine.jobs.last().is_some_and(|last| last.number.text == job.number.text);
    let body = [
        head,
        lacks::not_ready(ledger, job),
        lacks::not_written(ledger, job),
        part("What was found", &list(&found)),
        part("Parts fitted", &list(&parts)),
        part("Settings as left", &settings(ledger, job)),
        part("Oil", &oil(ledger, job)),
        lacks::not_done(ledger, job),
        if last { part("Next due", &list(&due)) } else { String::new() },
        part("On the first ride", &list(&first_ride(ledger, job))),
        signs(job),
        "<p class=\"manual\">The maker’s manual and the local rules override this sheet.</p>\n".to_owned(),
    ];
    html::page(&format!("{}: as left", service(ledger, job)), "../", &body.concat())
}

/// What is due at which reading and day; a day that is worked out is said to be.
fn next_due(next: &NextDue) -> String {
    let likely = next.likely.filter(|likely| Some(*likely) != next.day);
    let likely = likely.map(|likely| format!(", about {} at the pace so far", day(&likely.to_string())));
    format!("{}: {}{}", escape(&next.title), super::list::reading(next), likely.unwrap_or_default())
}

fn fitted(ledger: &Ledger<'_>, part: &crate::record::JobPart) -> String {
    let title = ledger.checked.shop.tool(&part.part.text).map_or(part.part.text.as_str(), |tool| &tool.title);
    let more: Vec<&str> =
        [&part.size, &part.number].into_iter().flatten().map(|text| text.text.as_str()).collect();
    let more = if more.is_empty() { String::new() } else { format!(", {}", more.join(", ")) };
    escape(&format!("{title}{more}"))
}

/// Adjusters, heights and sag: what a rider can look after, with how it is counted.
fn settings(ledger: &Ledger<'_>, job: &Job) -> String {
    let shown = |line: &&JobLine| {
        let group = ledger.checked.shop.catalogue.field(line.field).group.as_str();
        matches!(group, "adjusters" | "setup" | "air")
    };
    let rows: Vec<Vec<String>> = job
        .left
        .iter()
        .filter(shown)
        .map(|line| {
            vec![escape(ledger.title(line.field)), on_legs(&line.readings), counted(ledger, job, line)]
        })
        .collect();
    table(&["Setting", "As left", "Counted"], &rows)
}

/// How an adjuster is counted, in the words of its record; empty for what is measured and not counted.
fn counted(ledger: &Ledger<'_>, job: &Job, line: &JobLine) -> String {
    if ledger.checked.shop.catalogue.field(line.field).kind != Kind::Setting {
        return String::new();
    }
    let Some(fork) = ledger.checked.fork(&job.fork.text) else { return String::new() };
    let said = Side::BOTH
        .into_iter()
        .filter_map(|side| fork.on(side, line.field))
        .find_map(|resolved| resolved.entry.attributes.get("counted")?.value.as_ref());
    match said {
        Some(Value::Choice(way)) => match way.as_str() {
            "from-closed" => "clicks out from fully closed; never force it".to_owned(),
            "from-open" => "in from fully open".to_owned(),
            "from-slack" => "from fully slack".to_owned(),
            other => escape(other),
        },
        _ => "the fork’s record does not say from where: ask the shop before turning it".to_owned(),
    }
}

/// Each oil with its batch.
fn oil(ledger: &Ledger<'_>, job: &Job) -> String {
    let one = |oil: &JobOil| {
        let id = &oil.oil.text;
        let title = ledger.checked.shop.oil(id).map_or(id.clone(), |oil| oil.title());
        let batch = oil.batch.as_ref().filter(|batch| !batch.text.is_empty());
        escape(&match batch {
            Some(batch) => format!("{title}, batch {}", batch.text),
            None => format!("{title}, batch not written down"),
        })
    };
    let all: Vec<String> = job.oils().map(one).collect();
    if all.is_empty() { String::new() } else { format!("<p>{}</p>\n", all.join("<br>")) }
}

/// What to look at: what the bench watches, and what every fork is looked at for. Common practice, no source.
fn first_ride(ledger: &Ledger<'_>, job: &Job) -> Vec<String> {
    let mut out = told(ledger, job, |line| line.verdict == Some(Verdict::Watch));
    out.push("Pump the brake lever until it is firm, before the wheel turns.".to_owned());
    out.push("Ride slowly at first. After it, look for oil on both legs and at the brakes; with oil on a brake, do not ride on.".to_owned());
    out
}

fn signs(job: &Job) -> String {
    let sign = |what: &str, who: &Option<crate::record::Text>| {
        who.as_ref().map(|who| format!("{what} {}. ", escape(&who.text))).unwrap_or_default()
    };
    format!(
        "<p>{}{}</p>\n",
        sign("Done by", &job.done_by),
        sign("Every number read back by", &job.read_back_by)
    )
}
