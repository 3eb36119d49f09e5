//! `benchleaf job`

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Subcommand;

use super::print;
use super::shop::{Format, Stop, checked, known as of_known_notation, read, tell};
use crate::date::Date;
use crate::intake::{Offered, Refusal, There, take as take_in};
use crate::judge::{Sheets, judge_job, unticked};
use crate::output::make_files;
use crate::pipeline::{Checked, Memory, check_again};
use crate::record::Job;
use crate::text::{ordinary, visible_line};

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(subcommand)]
    what: What,
    /// The shop's folder
    #[arg(long, default_value = ".", value_name = "DIR", global = true)]
    shop: PathBuf,
}

#[derive(Subcommand)]
enum What {
    /// Check job files that came from a tablet, give each its number and put it in its place: all of them, or none
    Take {
        /// The files
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
        /// The day they are taken; left out: each job's day is held against the day its file was written
        #[arg(long, value_name = "DAY", value_parser = day)]
        date: Option<Date>,
    },
    /// Judge every reading of a job
    Show {
        /// The job's number
        #[arg(value_name = "NUMBER", default_value = "")]
        number: String,
        /// As JSON, of every job where no number is given
        #[arg(long)]
        json: bool,
    },
}

/// A day as it is written.
fn day(text: &str) -> Result<Date, String> {
    Date::read(text).ok_or_else(|| "a day is written as year, month and day, 2026-05-04".to_owned())
}

/// The most that a job's file holds, in bytes.
const LARGEST_JOB: u64 = 256 * 1024;

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    match &arguments.what {
        What::Take { files, date } => take(&arguments.shop, files, *date),
        What::Show { number, json } => show(&checked(&arguments.shop)?, number, *json),
    }
}

/// The day a file was last written, by the disk and at Greenwich; `None` where it does not tell.
fn written(file: &Path) -> Option<Date> {
    let since = std::fs::metadata(file).ok()?.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?;
    Some(Date::of_unix_days(since.as_secs() / 86_400))
}

fn take(shop: &Path, files: &[PathBuf], on: Option<Date>) -> Result<ExitCode, Stop> {
    let mut known = Memory::default();
    let before = of_known_notation(check_again(read(shop)?, &mut known))?;
    let offer = |file: &PathBuf| Offered {
        name: visible_line(&file.to_string_lossy()).into_owned(),
        bytes: ordinary::read(file, LARGEST_JOB).map_err(|why| why.to_string()),
        written: written(file),
    };
    let taken = match take_in(shop, (&before, &mut known), files.iter().map(offer).collect(), on) {
        Ok(taken) => taken,
        Err(Refusal { findings, files }) => {
            tell(&findings, &files, Format::Full, shop)?;
            writeln!(print::err(), "benchleaf: nothing was taken: what is told above stands in the way")?;
            return Ok(ExitCode::from(1));
        }
    };
    let new: Vec<(PathBuf, Vec<u8>)> =
        taken.jobs.iter().map(|job| (shop.join(&job.path), job.text.as_bytes().to_vec())).collect();
    if !new.is_empty() {
        make_files(shop, &new).map_err(|error| Stop::Said(error.to_string()))?;
    }
    for There { name, path, text } in taken.there {
        // A run that was killed at its end may have left something beside it, which this clears away.
        let cleared = make_files(shop, &[(shop.join(&path), text.into_bytes())]);
        let why = cleared.err().map(|why| format!(" ({why})")).unwrap_or_default();
        writeln!(print::err(), "benchleaf: `{name}` is there already, as `{path}`{why}")?;
    }
    for job in &taken.jobs {
        writeln!(print::out(), "{}: taken from {}; {}", job.path, job.from, job.targets)?;
    }
    if new.is_empty() {
        writeln!(print::err(), "benchleaf: nothing was taken")?;
        return Ok(ExitCode::from(1));
    }
    tell(&taken.findings, &taken.files, Format::Full, shop)?;
    Ok(ExitCode::SUCCESS)
}

fn show(checked: &Checked, number: &str, json: bool) -> Result<ExitCode, Stop> {
    let asking = checked.forks.iter().map(|fork| (fork.resolved.as_ref(), fork.derived.as_ref()));
    let sheets = Sheets::of(&checked.shop, asking);
    let jobs: Vec<&Job> = checked
        .shop
        .jobs
        .iter()
        .map(AsRef::as_ref)
        .filter(|job: &&Job| number.is_empty() || job.number.text == number)
        .collect();
    if jobs.is_empty() {
        return Err(Stop::Said(format!("there is no job `{}`", visible_line(number))));
    }
    let mut list = Vec::new();
    for job in jobs {
        let lines = judge_job(job, &sheets);
        if json {
            list.extend(lines.iter().map(|line| {
                serde_json::json!({
                    "job": job.number.text, "key": checked.shop.catalogue.field(line.field).key,
                    "when": if line.as_left { "left" } else { "found" }, "leg": line.leg, "read": line.read,
                    "target": line.target, "outcome": line.judged.outcome.word(), "words": line.judged.words,
                    "verdict": line.verdict.map(crate::record::Verdict::word), "why": line.why,
                })
            }));
            list.extend(unticked(&checked.shop, job).map(|words| {
                serde_json::json!({"job": job.number.text, "when": "steps", "outcome": "open", "words": words})
            }));
            continue;
        }
        let out = &mut print::out();
        writeln!(
            out,
            "{}: {}, {} of {}",
            job.number.text,
            job.machine.title(),
            job.service.text,
            job.date.text
        )?;
        for line in &lines {
            let when = if line.as_left { "left " } else { "found" };
            let words = &line.judged.words;
            let words = if words.is_empty() { String::new() } else { format!(": {words}") };
            writeln!(out, "  {when}  {}: {}{words}", line.name(), line.read)?;
        }
        for skip in &job.skipped {
            writeln!(out, "  skipped  {}: {}", skip.what.text, skip.said())?;
        }
        if let Some(open) = unticked(&checked.shop, job) {
            writeln!(out, "  open     {open}")?;
        }
    }
    if json {
        writeln!(print::exactly(), "{}", serde_json::Value::Array(list))?;
    }
    Ok(ExitCode::SUCCESS)
}
