//! Job files that came from a tablet, held against the shop: all of them are taken, or none. Each gets the next free number
//! of its year, and no byte of it changes. Files from a tablet are hostile input.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use crate::diagnostic::{Finding, Severity, rules};
use crate::pipeline::{Checked, Memory as Known, check_again, check_shop_on, read_shop};
use crate::record::{Job, RecordKind};
use crate::text::{Added, Folder, Memory, ReadProblem, Revision, Source, first_with, visible_line};

/// A file as it was handed over.
pub struct Offered {
    /// Its name, as a message prints it.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// A job with the place it is to have.
pub struct TakenJob {
    /// The file it came from.
    pub from: String,
    /// Its place in the shop.
    pub path: String,
    /// Its text, as it came.
    pub text: String,
    /// Whether its targets are those of the card it was worked from, in words.
    pub targets: String,
}

/// What may be written.
pub struct Taken {
    /// The jobs.
    pub jobs: Vec<TakenJob>,
    /// What is to be said of them.
    pub findings: Vec<Finding>,
    /// The shop with them.
    pub after: Checked,
}

/// Why nothing is taken.
pub enum Refusal {
    /// A sentence.
    Why(String),
    /// The very same file is there already.
    There {
        /// The file handed over.
        name: String,
        /// Where it is.
        path: String,
        /// Its text.
        text: String,
    },
    /// Errors in the files, with the shop as it would be.
    Findings(Vec<Finding>, Box<Checked>),
}

/// Holds the files against the shop, and what is `known` of it from the check before.
///
/// # Errors
/// Why none of them is taken.
pub fn take(
    shop: &Path,
    (before, known): (&Checked, &mut Known),
    files: Vec<Offered>,
) -> Result<Taken, Refusal> {
    let mut next: BTreeMap<String, u32> = BTreeMap::new();
    let mut jobs: Vec<TakenJob> = Vec::new();
    for Offered { name, bytes } in files {
        let (text, job) = readable(before, &name, bytes)?;
        if let Some(why) = not_ours(before, &job).or_else(|| twice(before, &jobs, &job, &text)) {
            return Err(Refusal::Why(format!("`{name}`: {why}")));
        }
        let Some(day) = job.day() else {
            return Err(Refusal::Why(format!("`{name}`: it says no day as year, month and day")));
        };
        let year = day.to_string()[..4].to_owned();
        let number = next.entry(year.clone()).or_insert_with(|| free_number(before, &year));
        let path = RecordKind::Job.path(&format!("{year}/{number:04}"));
        jobs.push(TakenJob { from: name, path, text, targets: String::new() });
        *number += 1;
    }
    let added: Vec<(String, String)> = jobs.iter().map(|job| (job.path.clone(), job.text.clone())).collect();
    let with = Added { source: &Folder { root: shop.to_path_buf() }, files: &added };
    let after = check_again(read_shop(&with, before.day), known);
    let findings: Vec<Finding> = of_files(&after, &added).collect();
    if findings.iter().any(|finding| finding.severity == Severity::Error) {
        let wrong = findings.into_iter().filter(|finding| finding.severity == Severity::Error);
        return Err(Refusal::Findings(wrong.collect(), Box::new(after)));
    }
    let mut cards = Cards::default();
    for (at, job) in jobs.iter_mut().enumerate() {
        job.targets = targets(shop, &after, (job, &added[at]), &mut cards)
            .map_err(|why| Refusal::Why(format!("`{}`: {why}", job.from)))?;
    }
    Ok(Taken { jobs, findings, after })
}

/// A file as text and as a job, where it is one and is not there yet.
fn readable(before: &Checked, name: &str, bytes: Vec<u8>) -> Result<(String, Job), Refusal> {
    let Ok(text) = String::from_utf8(bytes) else {
        return Err(Refusal::Why(format!("`{name}` is not UTF-8 text")));
    };
    let job = alone(before, &text).map_err(|why| Refusal::Why(format!("`{name}`: {why}")))?;
    match the_same(before, &text) {
        Some(path) => Err(Refusal::There { name: name.to_owned(), path: path.to_owned(), text }),
        None => Ok((text, job)),
    }
}

/// Reads a text as a job, in a shop of its own: what has not the shape of one is refused before anything else.
fn alone(shop: &Checked, text: &str) -> Result<Job, String> {
    const PLACE: &str = "specs/jobs/2000/0001.yaml";
    const SHOP: &str = "specs/shop.yaml";
    // The shop's own fields may be read too.
    let own =
        shop.files.iter().find(|(_, file)| file.path == SHOP).map(|(_, file)| (SHOP, file.text.as_str()));
    let memory = Memory::new(own.into_iter().chain([(PLACE, text)]));
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
fn twice(shop: &Checked, taken: &[TakenJob], job: &Job, text: &str) -> Option<String> {
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
pub fn next_number(shop: &Checked, year: &str) -> String {
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

/// What is known of the cards that these jobs were worked from: the revision that released each, and a shop as it was
/// then, read once.
#[derive(Default)]
struct Cards {
    released: BTreeMap<String, Option<String>>,
    known: Known,
}

/// A shop without its jobs: none of them says what a card asked for.
struct WithoutJobs<'s>(&'s dyn Source);

impl Source for WithoutJobs<'_> {
    fn list(&self) -> (Vec<String>, Vec<ReadProblem>) {
        let (mut paths, problems) = self.0.list();
        paths.retain(|path| RecordKind::of(path) != Some(RecordKind::Job));
        (paths, problems)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, ReadProblem> {
        self.0.read(path)
    }
}

/// Works the targets out again, from the record as it was when the card's code was released: what to say of it, or
/// why the job is refused.
fn targets(
    shop: &Path,
    after: &Checked,
    (one, file): (&TakenJob, &(String, String)),
    cards: &mut Cards,
) -> Result<String, String> {
    let not = |why: &str| Ok(format!("targets not confirmed: {why}"));
    let number = RecordKind::Job.id_at(&one.path);
    let Some((job, code)) = after.shop.jobs.find(number).and_then(|job| Some((job, job.card.as_ref()?)))
    else {
        return not("it names no card");
    };
    let Some(code) = crate::review::code::typed(&code.text) else { return not("its card’s code is none") };
    let of = after.shop.released.cards.iter().find(|card| card.card.text == code);
    if let Some(of) = of.filter(|of| (&of.fork.text, &of.service.text) != (&job.fork.text, &job.service.text))
    {
        return not(&format!("its card is that of {}, {}", of.fork.text, of.service.text));
    }
    let released = cards.released.entry(code.clone());
    let Some(revision) = released.or_insert_with(|| first_with(shop, "specs/released.yaml", &code)).clone()
    else {
        return not("no revision of this shop released its card");
    };
    let Ok(opened) = Revision::open(shop, &revision) else { return not("the revision cannot be read") };
    let files = std::slice::from_ref(file);
    let alone = WithoutJobs(&opened);
    let then = check_again(read_shop(&Added { source: &alone, files }, opened.day), &mut cards.known);
    match of_files(&then, files).find(|finding| finding.rule == &rules::JOB_TARGET) {
        Some(finding) => Err(format!("{} (as the record was when {code} was released)", finding.message)),
        None => Ok(format!("targets confirmed with {}", &revision[..revision.len().min(10)])),
    }
}
