//! `benchleaf job`

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use clap::Subcommand;

use super::print;
use super::recorded::text_of;
use super::shop::{Format, Stop, checked, tell};
use crate::diagnostic::{Finding, Severity, rules};
use crate::judge::{Sheets, judge_job};
use crate::output::make_files;
use crate::pipeline::{Checked, check_shop_on};
use crate::record::{Job, RecordKind};
use crate::text::{Added, Folder, Revision, first_with, ordinary, visible_line};

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

/// The most that a job's file holds, in bytes.
const LARGEST_JOB: u64 = 256 * 1024;

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    match &arguments.what {
        What::Take { files } => take(&arguments.shop, files),
        What::Show { number, json } => show(&checked(&arguments.shop)?, number, *json),
    }
}

fn refuse(why: &str) -> Result<ExitCode, Stop> {
    writeln!(print::err(), "benchleaf: nothing was taken: {why}")?;
    Ok(ExitCode::from(1))
}

/// A file that came from a tablet, with the place it is to have.
struct Taken {
    from: String,
    path: String,
    text: String,
}

fn take(shop: &Path, files: &[PathBuf]) -> Result<ExitCode, Stop> {
    let before = checked(shop)?;
    let mut next: BTreeMap<String, u32> = BTreeMap::new();
    let mut taken: Vec<Taken> = Vec::new();
    for file in files {
        let from = visible_line(&file.to_string_lossy()).into_owned();
        let bytes = match ordinary::read(file, LARGEST_JOB) {
            Ok(bytes) => bytes,
            Err(why) => return refuse(&format!("`{from}` cannot be read: {why}")),
        };
        let Ok(text) = String::from_utf8(bytes) else {
            return refuse(&format!("`{from}` is not UTF-8 text"));
        };
        let job = match alone(&before, &text) {
            Ok(job) => job,
            Err(why) => return refuse(&format!("`{from}`: {why}")),
        };
        if let Some(there) = the_same(&before, &text) {
            // A run that was killed at its end may have left something beside it, which this clears away.
            let done = make_files(shop, &[(shop.join(there), text.clone().into_bytes())]);
            let why = done.err().map(|why| why.to_string()).unwrap_or_default();
            return refuse(&format!("`{from}` is there already, as `{there}` ({why})"));
        }
        if let Some(why) = not_ours(&before, &job).or_else(|| twice(&before, &taken, &job, &text)) {
            return refuse(&format!("`{from}`: {why}"));
        }
        let Some(day) = job.day() else {
            return refuse(&format!("`{from}`: it says no day as year, month and day"));
        };
        let year = day.to_string()[..4].to_owned();
        let number = next.entry(year.clone()).or_insert_with(|| free_number(&before, &year));
        taken.push(Taken { from, path: RecordKind::Job.path(&format!("{year}/{number:04}")), text });
        *number += 1;
    }
    let added: Vec<(String, String)> = taken.iter().map(|one| (one.path.clone(), one.text.clone())).collect();
    let after =
        check_shop_on(&Added { source: &Folder { root: shop.to_path_buf() }, files: &added }, before.day);
    let wrong: Vec<Finding> =
        of_files(&after, &added).filter(|finding| finding.severity == Severity::Error).collect();
    if !wrong.is_empty() {
        tell(&wrong, &after.files, Format::Full, shop)?;
        return refuse("what is told above stands in the way");
    }
    let mut confirmed = Vec::new();
    for (one, file) in taken.iter().zip(&added) {
        match targets(shop, &after, one, file) {
            Ok(words) => confirmed.push(words),
            Err(why) => return refuse(&format!("`{}`: {why}", one.from)),
        }
    }
    let new: Vec<(PathBuf, Vec<u8>)> =
        added.iter().map(|(path, text)| (shop.join(path), text.as_bytes().to_vec())).collect();
    make_files(shop, &new).map_err(|error| Stop::Said(error.to_string()))?;
    for (one, words) in taken.iter().zip(confirmed) {
        writeln!(print::out(), "{}: taken from {}; {words}", one.path, one.from)?;
    }
    let told: Vec<Finding> = of_files(&after, &added).collect();
    tell(&told, &after.files, Format::Full, shop)?;
    Ok(ExitCode::SUCCESS)
}

/// Reads a text as a job, in a shop of its own: what has not the shape of one is refused before anything else.
fn alone(shop: &Checked, text: &str) -> Result<Job, String> {
    const PLACE: &str = "specs/jobs/2000/0001.yaml";
    const SHOP: &str = "specs/shop.yaml";
    // The shop's own fields may be read too.
    let own = text_of(shop, SHOP).map(|own| (SHOP, own));
    let memory = crate::text::Memory::new(own.into_iter().chain([(PLACE, text)]));
    let read = check_shop_on(&memory, None);
    let shape = read.findings.iter().find(|finding| {
        finding.severity == Severity::Error && read.files.get(finding.span.file).path == PLACE
    });
    if let Some(finding) = shape {
        let text = read.files.get(finding.span.file).text.as_bytes();
        let line = text.iter().take(finding.span.start as usize).filter(|byte| **byte == b'\n').count() + 1;
        return Err(format!("line {line}: {}", finding.message));
    }
    read.shop.jobs.first().map(|job| Job::clone(job)).ok_or_else(|| "it holds no job".to_owned())
}

/// The path of the very same text among the shop's jobs.
fn the_same<'c>(shop: &'c Checked, text: &str) -> Option<&'c str> {
    let jobs = shop.files.iter().filter(|(_, file)| RecordKind::of(&file.path) == Some(RecordKind::Job));
    jobs.map(|(_, file)| file).find(|file| file.text == text).map(|file| file.path.as_str())
}

/// Why a job is none of this shop's.
fn not_ours(shop: &Checked, job: &Job) -> Option<String> {
    let Some(fork) = shop.fork(&job.fork.text) else {
        return Some(format!("there is no fork `{}` here", visible_line(&job.fork.text)));
    };
    let fits = shop.shop.services_for(&fork.choices).any(|service| service.id.text == job.service.text);
    (!fits).then(|| format!("there is no service `{}` for {}", visible_line(&job.service.text), fork.id))
}

/// Whether this very job is there already.
fn twice(shop: &Checked, taken: &[Taken], job: &Job, text: &str) -> Option<String> {
    if let Some(one) = taken.iter().find(|one| one.text == text) {
        return Some(format!("it is the same as `{}`", one.from));
    }
    let same = |other: &&Arc<Job>| {
        (other.machine.key(), &other.date.text, &other.service.text, &other.fork.text)
            == (job.machine.key(), &job.date.text, &job.service.text, &job.fork.text)
    };
    let there = shop.shop.jobs.iter().find(same)?;
    Some(format!("this machine’s job of that day is there already, as {}", there.number.text))
}

/// The first number of a year that is free, behind all that are taken.
fn free_number(shop: &Checked, year: &str) -> u32 {
    let numbers = shop.shop.known.get(&RecordKind::Job).into_iter().flatten();
    let of_year = numbers.filter_map(|id| id.strip_prefix(year)?.strip_prefix('/')?.parse::<u32>().ok());
    of_year.max().unwrap_or(0) + 1
}

/// The next free number of a year.
pub(super) fn next_number(shop: &Checked, year: &str) -> String {
    format!("{year}/{:04}", free_number(shop, year))
}

/// The findings in some files.
fn of_files<'c>(checked: &'c Checked, files: &'c [(String, String)]) -> impl Iterator<Item = Finding> + 'c {
    let here = |finding: &&Finding| {
        let path = &checked.files.get(finding.span.file).path;
        files.iter().any(|(file, _)| file == path)
    };
    checked.findings.iter().filter(here).cloned()
}

/// Works the targets out again, from the record as it was when the card's code was released: what to say of it, or
/// why the job is refused.
fn targets(shop: &Path, after: &Checked, one: &Taken, file: &(String, String)) -> Result<String, String> {
    let not = |why: &str| Ok(format!("targets not confirmed: {why}"));
    let number = RecordKind::Job.id_at(&one.path);
    let Some(code) = after.shop.jobs.find(number).and_then(|job| job.card.as_ref()) else {
        return not("it names no card");
    };
    let Some(code) = crate::review::code::typed(&code.text) else { return not("its card’s code is none") };
    let Some(revision) = first_with(shop, "specs/released.yaml", &code) else {
        return not("no revision of this shop released its card");
    };
    let Ok(opened) = Revision::open(shop, &revision) else { return not("the revision cannot be read") };
    let files = std::slice::from_ref(file);
    let then = check_shop_on(&Added { source: &opened, files }, opened.day);
    match of_files(&then, files).find(|finding| finding.rule == &rules::JOB_TARGET) {
        Some(finding) => Err(format!("{} (as the record was when {code} was released)", finding.message)),
        None => Ok(format!("targets confirmed with {}", &revision[..revision.len().min(10)])),
    }
}

fn show(checked: &Checked, number: &str, json: bool) -> Result<ExitCode, Stop> {
    let asking = checked.forks.iter().map(|fork| (fork.resolved.as_ref(), fork.derived.as_ref()));
    let sheets = Sheets::of(&checked.shop.catalogue, asking, &checked.shop.jobs);
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
            writeln!(out, "  {when}  {}: {}: {}", line.name(), line.read, line.judged.words)?;
        }
        for skip in &job.skipped {
            writeln!(out, "  skipped  {}: {}", skip.what.text, skip.said())?;
        }
    }
    if json {
        writeln!(print::exactly(), "{}", serde_json::Value::Array(list))?;
    }
    Ok(ExitCode::SUCCESS)
}
