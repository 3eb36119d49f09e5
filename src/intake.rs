//! Job files that came from a tablet, held against the shop: all of them are taken, or none. Each gets the next free number
//! of its year, and no byte of it changes. Files from a tablet are hostile input.

use std::collections::BTreeMap;
use std::path::Path;

use crate::date::{AsOf, Date};
use crate::diagnostic::{Finding, Rule, Severity, did_you_mean, rules};
use crate::pipeline::{Checked, Memory as Known, check_again, check_shop_on, read_shop};
use crate::record::{Job, RecordKind, Text};
use crate::text::{Added, FileId, Files, Folder, Memory, ReadProblem, Revision, Source, Span, first_with};

/// A file as it was handed over.
pub struct Offered {
    /// Its name, as a message prints it.
    pub name: String,
    /// What is in it, or why it cannot be read.
    pub bytes: Result<Vec<u8>, String>,
    /// The day it was last written; `None` where the disk does not tell.
    pub written: Option<Date>,
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

/// The very same file, which the shop has already.
pub struct There {
    /// The file handed over.
    pub name: String,
    /// Where it is.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// What may be written.
pub struct Taken {
    /// The jobs; none where all that was handed over is there already.
    pub jobs: Vec<TakenJob>,
    /// What the shop has already: an earlier run took it.
    pub there: Vec<There>,
    /// What is to be said of the jobs.
    pub findings: Vec<Finding>,
    /// The sources that the findings stand in.
    pub files: Files,
}

/// Why nothing is taken: everything that is wrong with the files, each at its place under the name it came by.
#[derive(Default)]
pub struct Refusal {
    /// What is wrong.
    pub findings: Vec<Finding>,
    /// The files that were handed over, and what the findings point to besides.
    pub files: Files,
}

impl Refusal {
    /// Takes over a finding of other files; the paths of the files that were handed over become their names.
    fn take_over(&mut self, finding: &Finding, from: &Files, named: &[(String, FileId)]) {
        let mut place = |span: Span| {
            let file = from.get(span.file);
            let known = named.iter().find(|(path, _)| *path == file.path).map(|(_, id)| *id);
            let id = known.unwrap_or_else(|| self.files.add(file.path.clone(), file.text.clone()));
            Span { file: id, ..span }
        };
        let mut finding = finding.clone();
        finding.severity = Severity::Error;
        finding.span = place(finding.span);
        for label in &mut finding.also {
            label.span = place(label.span);
        }
        self.findings.push(finding);
    }
}

/// A file that was read as a job.
struct Read {
    name: String,
    file: FileId,
    text: String,
    job: Job,
    written: Option<Date>,
}

/// Holds the files against the shop, and what is `known` of it from the check before. `on` is the day they are taken, where
/// somebody says it.
///
/// # Errors
/// Why none of them is taken: every fault of every file.
pub fn take(
    shop: &Path,
    (before, known): (&Checked, &mut Known),
    files: Vec<Offered>,
    on: Option<Date>,
) -> Result<Taken, Refusal> {
    let mut refusal = Refusal::default();
    let (mut read, mut there) = (Vec::new(), Vec::new());
    for offered in files {
        let Some(one) = readable(before, offered, &mut refusal) else { continue };
        match the_same(before, &one.text) {
            Some(path) => there.push(There { name: one.name, path: path.to_owned(), text: one.text }),
            None => {
                refusal.findings.extend(faults(before, &read, &one));
                read.push(one);
            }
        }
    }
    if !refusal.findings.is_empty() {
        return Err(refusal);
    }
    let mut jobs = numbered(before, &read);
    let added: Vec<(String, String)> = jobs.iter().map(|job| (job.path.clone(), job.text.clone())).collect();
    let named: Vec<(String, FileId)> =
        jobs.iter().zip(&read).map(|(job, read)| (job.path.clone(), read.file)).collect();
    let with = Added { source: &Folder { root: shop.to_path_buf() }, files: &added };
    // What is taken is later than the last commit: its day is held against the day of its own file.
    let day = before.day.map(|day| AsOf { settled: false, ..day });
    let after = check_again(read_shop(&with, day), known);
    let mut findings: Vec<Finding> = of_files(&after, &added).collect();
    let mut cards = Cards::default();
    for (at, job) in jobs.iter_mut().enumerate() {
        let told = targets(shop, &after, &added[at], &mut cards);
        told.wrong.iter().for_each(|wrong| refusal.take_over(wrong, &told.then, &named));
        job.targets = told.words;
        if let Some(left_out) = told.left_out {
            let file = |finding: &Finding| after.files.get(finding.span.file).path.as_str();
            findings.retain(|one| one.rule != &rules::JOB_LEFT_OUT || file(one) != job.path);
            findings.extend(left_out);
        }
    }
    for wrong in findings.iter().filter(|finding| finding.severity == Severity::Error) {
        refusal.take_over(wrong, &after.files, &named);
    }
    if !refusal.findings.is_empty() {
        return Err(refusal);
    }
    let (of_another_year, to_come): (Vec<Finding>, Vec<Finding>) = jobs
        .iter()
        .zip(&read)
        .filter_map(|(job, read)| to_come(&after, job, read, on))
        .partition(|finding| finding.severity == Severity::Error);
    of_another_year.iter().for_each(|wrong| refusal.take_over(wrong, &after.files, &named));
    if !refusal.findings.is_empty() {
        return Err(refusal);
    }
    findings.extend(to_come);
    Ok(Taken { jobs, there, findings, files: after.files })
}

/// Gives each job the next free number of its year.
fn numbered(before: &Checked, read: &[Read]) -> Vec<TakenJob> {
    let mut next: BTreeMap<String, u32> = BTreeMap::new();
    let place = |one: &Read| {
        let year = one.job.day().map_or_else(String::new, |day| day.to_string()[..4].to_owned());
        let number = next.entry(year.clone()).or_insert_with(|| free_number(before, &year));
        let path = RecordKind::Job.path(&format!("{year}/{number:04}"));
        *number += 1;
        TakenJob { from: one.name.clone(), path, text: one.text.clone(), targets: String::new() }
    };
    read.iter().map(place).collect()
}

/// job-date: a job is not of a day after that on which its file was written, or is taken. One day is allowed for zones. In
/// another year it would get another year's number, and is not taken.
fn to_come(after: &Checked, job: &TakenJob, read: &Read, on: Option<Date>) -> Option<Finding> {
    let limit = on.or(read.written)?;
    let day = read.job.day().filter(|day| *day > limit.next())?;
    let (file, _) = after.files.iter().find(|(_, file)| file.path == job.path)?;
    let since = if on.is_some() { "it is taken" } else { "its file was written" };
    let mut finding = rules::JOB_DATE
        .at(Span { file, ..read.job.date.span }, format!("{day} is still to come: {since} on {limit}"))
        .bench("what is due next is counted from the wrong day")
        .instead("write the day on which the job was done, as year, month and day; or say with `--date` on which day it is taken");
    if day.year() > limit.year() {
        finding.severity = Severity::Error;
    }
    Some(finding)
}

/// A file as a job. What is wrong with it goes into the refusal.
fn readable(before: &Checked, offered: Offered, refusal: &mut Refusal) -> Option<Read> {
    const BENCH: &str = "nothing of this job comes back to the shop";
    let Offered { name, bytes, written } = offered;
    let (why, instead) = match bytes.map(String::from_utf8) {
        Ok(Ok(text)) => {
            let file = refusal.files.add(name.clone(), text.clone());
            return match alone(before, &text) {
                Ok(mut job) => {
                    // A tablet may have begun it before its fork was renamed.
                    if let Some(now) = before.shop.renamed_forks().get(&job.fork.text) {
                        job.fork.text.clone_from(now);
                    }
                    Some(Read { name, file, text, job, written })
                }
                Err(read) => {
                    let named = [(PLACE.to_owned(), file)];
                    read.findings.iter().for_each(|wrong| refusal.take_over(wrong, &read.files, &named));
                    None
                }
            };
        }
        Ok(Err(_)) => (
            "it is no text, but other bytes".to_owned(),
            "save the job\u{2019}s file again from its page, and hand over that file",
        ),
        Err(why) => (
            format!("it cannot be read: {why}"),
            "look at the name, and hand over the file that the page saved",
        ),
    };
    let file = refusal.files.add(name, "");
    let finding = rules::FILE_UNREADABLE.graded(Severity::Error, Span::new(file, 0, 0), why);
    refusal.findings.push(finding.bench(BENCH).instead(instead));
    None
}

/// Where a file is read as a job in a shop of its own.
const PLACE: &str = "specs/jobs/2000/0001.yaml";

/// Reads a text as a job, in a shop of its own: what has not the shape of one is refused before anything else.
///
/// # Errors
/// Everything that is wrong with its shape.
fn alone(shop: &Checked, text: &str) -> Result<Job, Box<Checked>> {
    const SHOP: &str = "specs/shop.yaml";
    // The shop's own fields may be read too.
    let own =
        shop.files.iter().find(|(_, file)| file.path == SHOP).map(|(_, file)| (SHOP, file.text.as_str()));
    let memory = Memory::new(own.into_iter().chain([(PLACE, text)]));
    let mut read = Box::new(check_shop_on(&memory, None));
    let here = |read: &Checked, finding: &Finding| read.files.get(finding.span.file).path == PLACE;
    let all = std::mem::take(&mut read.findings);
    read.findings = all
        .into_iter()
        .filter(|finding| finding.severity == Severity::Error && here(&read, finding))
        .map(of_a_job)
        .collect();
    if text.trim().is_empty() {
        read.findings.clear();
        read.shop.jobs = std::iter::empty().collect();
    }
    match read.shop.jobs.first() {
        Some(job) if read.findings.is_empty() => Ok(Job::clone(job)),
        Some(_) => Err(read),
        None => {
            if read.findings.is_empty() {
                let file = read.files.iter().find(|(_, file)| file.path == PLACE).map(|(id, _)| id);
                let span = Span::new(file.unwrap_or_default(), 0, 0);
                read.findings.push(no_job(span));
            }
            Err(read)
        }
    }
}

/// What is said of every record's shape, in the words for a job: it stands on no card, and what was read and is no value is
/// kept as it was said.
fn of_a_job(mut finding: Finding) -> Finding {
    if [&rules::MISSING_KEY, &rules::WRONG_SHAPE, &rules::UNKNOWN_KEY].contains(&finding.rule) {
        "what is said here would not come back to the shop".clone_into(&mut finding.bench);
    }
    if [&rules::UNREADABLE_VALUE, &rules::NOT_A_NUMBER].contains(&finding.rule) {
        finding.instead.push_str("; what was said and is no value stands under `typed:`, and a leg that was not read says `why:` alone");
    }
    finding
}

fn no_job(span: Span) -> Finding {
    rules::FILE_UNREADABLE
        .graded(Severity::Error, span, "it holds no job")
        .bench("nothing of this job comes back to the shop")
        .instead("save the job\u{2019}s file again from its page, and hand over that file")
}

/// The path of the very same text among the shop's jobs.
fn the_same<'c>(shop: &'c Checked, text: &str) -> Option<&'c str> {
    let jobs = shop.files.iter().filter(|(_, file)| RecordKind::of(&file.path) == Some(RecordKind::Job));
    jobs.map(|(_, file)| file).find(|file| file.text == text).map(|file| file.path.as_str())
}

/// What is wrong with a job in this shop, each at its place.
fn faults(shop: &Checked, taken: &[Read], one: &Read) -> Vec<Finding> {
    let job = &one.job;
    let at = |span: Span| Span { file: one.file, ..span };
    let nowhere = |text: &Text, what: String, instead: String| {
        rules::JOB_REFERS_NOWHERE
            .at(at(text.span), what)
            .bench("its readings would be held against nothing, and its targets against no card")
            .instead(instead)
    };
    let mut out = Vec::new();
    match shop.fork(&job.fork.text) {
        None => {
            let forks = shop.forks.iter().map(|fork| fork.id.as_str());
            let hint = did_you_mean(&job.fork.text, forks, || {
                "write the fork\u{2019}s id as its page has it, or take the file to the shop it is from"
                    .to_owned()
            });
            out.push(nowhere(&job.fork, format!("there is no fork `{}` here", job.fork.text), hint));
        }
        Some(fork) => {
            let services = || shop.shop.services_for(&fork.choices).map(|service| service.id.text.as_str());
            if !services().any(|service| service == job.service.text) {
                let known: Vec<&str> = services().collect();
                let hint = did_you_mean(&job.service.text, services(), || {
                    format!("write one of {}", known.join(", "))
                });
                let what = format!("there is no service `{}` for {}", job.service.text, fork.id);
                out.push(nowhere(&job.service, what, hint));
            }
        }
    }
    if job.day().is_none() {
        out.push(
            rules::JOB_DATE
                .at(at(job.date.span), format!("`{}` is no day", job.date.text))
                .bench("the job gets no number, and what is due next is counted from nothing")
                .instead("write the day of the job as year, month and day, \"2026-04-12\""),
        );
    }
    out.extend(twice(shop, taken, one));
    // In a shop they are open points; of a file that is handed over they are the reason why it is not taken.
    out.iter_mut().for_each(|fault| fault.severity = Severity::Error);
    out
}

/// job-twice: this very job is there already, or was handed over twice.
fn twice(shop: &Checked, taken: &[Read], one: &Read) -> Option<Finding> {
    let job = &one.job;
    let key = |job: &Job| {
        (job.machine.key(), job.date.text.clone(), job.service.text.clone(), job.fork.text.clone())
    };
    let what = match taken.iter().find(|other| key(&other.job) == key(job)) {
        Some(other) if other.text == one.text => format!("it is the same as `{}`", other.name),
        Some(other) => format!("this machine\u{2019}s job of that day is in `{}` too", other.name),
        None => {
            let there = shop.shop.jobs.iter().find(|other| key(other) == key(job))?;
            format!("this machine\u{2019}s job of that day is there already, as {}", there.number.text)
        }
    };
    Some(
        rules::JOB_TWICE
            .at(Span { file: one.file, ..job.date.span }, what)
            .bench("evidence and wear would count one reading twice")
            .instead("hand over the file that is right, alone; what only the other says is written into the one that is there"),
    )
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

/// What the card that a job was worked from says of it.
#[derive(Default)]
struct ByItsCard {
    /// Whether the targets are those of the card, in words.
    words: String,
    /// The targets that are others.
    wrong: Vec<Finding>,
    /// What the card asked for and the job lacks, at its place in the shop; `None` where the card is not known.
    left_out: Option<Vec<Finding>>,
    /// The sources as they were then.
    then: Files,
}

/// Works the targets out again, and what is not there, from the record as it was when the card's code was released.
fn targets(shop: &Path, after: &Checked, file: &(String, String), cards: &mut Cards) -> ByItsCard {
    let not =
        |why: &str| ByItsCard { words: format!("targets not confirmed: {why}"), ..ByItsCard::default() };
    let number = RecordKind::Job.id_at(&file.0);
    let Some((job, code)) = after.shop.jobs.find(number).and_then(|job| Some((job, job.card.as_ref()?)))
    else {
        return not("it names no card");
    };
    let Some(code) = crate::review::code::typed(&code.text) else {
        return not("its card\u{2019}s code is none");
    };
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
    // Its file may name the fork as it is called since.
    if !then.shop.jobs.iter().any(|job| then.fork(&job.fork.text).is_some()) {
        return not("its fork was called otherwise when its card was released");
    }
    let told = |rule: &'static Rule, more: &str| -> Vec<Finding> {
        let mut found: Vec<Finding> = of_files(&then, files).filter(|finding| finding.rule == rule).collect();
        found.iter_mut().for_each(|finding| finding.message.push_str(more));
        found
    };
    let wrong = told(&rules::JOB_TARGET, &format!(" (as the record was when {code} was released)"));
    let mut left_out = told(&rules::JOB_LEFT_OUT, &format!(" (its own card {code} asked for it)"));
    let place = after.files.iter().find(|(_, after)| after.path == file.0).map(|(id, _)| id);
    for finding in &mut left_out {
        finding.span.file = place.unwrap_or_default();
    }
    let words = format!("targets confirmed with {}", &revision[..revision.len().min(10)]);
    ByItsCard { words, wrong, left_out: Some(left_out), then: then.files }
}
