//! `benchleaf build`

use std::io::{IsTerminal, Write};
use std::mem::ManuallyDrop;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

use super::print;
use super::shop::{Findings, Format, ShopFolder, Stop, read, tell};
use super::watch::Watch;
use crate::diagnostic::order;
use crate::ledger::{apart, holds_jobs, publish_jobs};
use crate::output::{Published, finish_killed_run};
use crate::pipeline::{Checked, Sources, check_sources};
use crate::site::{Progress, SiteError, already_published, publish_site};

/// Where a site is published, unless it is said otherwise.
pub(super) const SITE: &str = "site";

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    folder: ShopFolder,
    /// The folder the site is published in
    #[arg(long, default_value = SITE, value_name = "DIR")]
    out: PathBuf,
    /// Write the pages of jobs too, into this folder: sheets, machines, what is due. It lies apart from the site
    #[arg(long, value_name = "DIR")]
    jobs: Option<PathBuf>,
    /// Believe nothing that an earlier build wrote down: read and make every page again
    #[arg(long)]
    fresh: bool,
    /// How many seconds one page may take where the shop has templates of its own, before the build is stopped
    #[arg(long, default_value_t = 60, value_name = "SECONDS", value_parser = clap::value_parser!(u64).range(1..))]
    page_seconds: u64,
    #[command(flatten)]
    findings: Findings,
}

/// A bar for a person at a terminal, nothing for anyone else; and the watch over a shop's own templates.
struct Shown<'w> {
    bar: ProgressBar,
    watch: &'w Watch,
}

impl<'w> Shown<'w> {
    fn new(watch: &'w Watch) -> Self {
        if !std::io::stderr().is_terminal() {
            return Shown { bar: ProgressBar::hidden(), watch };
        }
        let bar = ProgressBar::new(0);
        if let Ok(style) = ProgressStyle::with_template("publishing {wide_bar} {pos}/{len} pages") {
            bar.set_style(style);
        }
        Shown { bar, watch }
    }
}

impl Progress for Shown<'_> {
    fn pages(&self, count: usize, own: &[String]) {
        self.bar.set_length(count as u64);
        if !own.is_empty() {
            self.watch.begin(own);
        }
    }

    fn page_begun(&self, path: &str) {
        self.watch.page_begun(path);
    }

    fn page_done(&self, path: &str) {
        self.watch.page_done(path);
        self.bar.inc(1);
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let format = arguments.findings.format();
    let sources = read_apart(arguments)?;
    if finish_killed_run(&arguments.out, Some(&arguments.folder.shop))
        .map_err(|obstacle| Stop::Said(obstacle.to_string()))?
    {
        note("an earlier run that was stopped half way was finished first")?;
    }
    // Only a person is told in short; a program gets every finding, and so the shop is checked for it.
    if format.is_for_a_person()
        && !arguments.findings.strict
        && !arguments.fresh
        && arguments.jobs.is_none()
        && sources.whole()
        && let Some((published, said)) = already_published(&sources, &arguments.out)
    {
        return nothing_to_do(arguments, published.unchanged, &said);
    }
    // The program ends with it: to take it apart piece by piece would only cost time.
    let mut checked = ManuallyDrop::new(check_sources(sources));
    if arguments.findings.stop(&checked) {
        tell(&checked.findings, &checked.files, format, &arguments.folder.shop)?;
        note(not_published(arguments))?;
        return Ok(ExitCode::from(1));
    }
    let watch = Watch::new(Duration::from_secs(arguments.page_seconds), stop_build);
    let bar = Shown::new(&watch);
    let done = publish_site(&checked, &arguments.out, Some(&arguments.folder.shop), arguments.fresh, &bar);
    bar.bar.finish_and_clear();
    watch.end();
    let (published, found) = match done {
        Ok(published) => (Some(published), Vec::new()),
        Err(SiteError::Findings(found)) => (None, found),
        Err(SiteError::Refused(message)) => return Err(Stop::Said(message)),
    };
    checked.findings.extend(found);
    let findings = order(std::mem::take(&mut checked.findings), &checked.files);
    let Some(published) = published else {
        tell(&findings, &checked.files, format, &arguments.folder.shop)?;
        note(not_published(arguments))?;
        return Ok(ExitCode::from(1));
    };
    tell(
        &findings,
        &checked.files,
        arguments.findings.format.unwrap_or(Format::Short),
        &arguments.folder.shop,
    )?;
    if arguments.findings.format.is_none() && !findings.is_empty() {
        note("`benchleaf check` says of each what it does at the bench and what to write instead")?;
    }
    say_what_was_done(arguments, &checked, &published)?;
    write_jobs(arguments, &checked)?;
    Ok(ExitCode::SUCCESS)
}

/// Says that the site stands as it is.
fn nothing_to_do(arguments: &Arguments, files: usize, said: &str) -> Result<ExitCode, Stop> {
    note(&format!("{files} files in {}: nothing has changed since the last build", arguments.out.display()))?;
    note(&format!("the findings stand as they were: {said} `benchleaf check` tells them"))?;
    Ok(ExitCode::SUCCESS)
}

/// Reads the shop, once it is sure that pages of jobs would lie apart from the site.
fn read_apart(arguments: &Arguments) -> Result<Sources, Stop> {
    if let Some(why) = holds_jobs(&arguments.out) {
        return Err(Stop::Said(why));
    }
    if let Some(jobs) = &arguments.jobs {
        apart(jobs, &arguments.out).map_err(Stop::Said)?;
    }
    read(&arguments.folder.shop)
}

/// Writes the pages of jobs, where a folder for them is named.
fn write_jobs(arguments: &Arguments, checked: &Checked) -> Result<(), Stop> {
    let Some(jobs) = &arguments.jobs else { return Ok(()) };
    let done = publish_jobs(checked, jobs, &arguments.out, &arguments.folder.shop).map_err(Stop::Said)?;
    let (all, folder) = (done.written + done.unchanged, jobs.display());
    let (written, removed) = (done.written, done.removed);
    note(&format!(
        "{all} files of jobs in {folder}, for this shop alone: {written} written, {removed} removed"
    ))
}

/// What became of the pages that were there.
fn say_what_was_done(arguments: &Arguments, checked: &Checked, published: &Published) -> Result<(), Stop> {
    if !published.edited.is_empty() {
        note(&format!(
            "changed by hand since the last build, and made from the sources again: {}",
            some_of(&published.edited)
        ))?;
    }
    note(&format!(
        "{} files in {}: {} written, {} unchanged, {} removed",
        published.written + published.unchanged,
        arguments.out.display(),
        published.written,
        published.unchanged,
        published.removed
    ))?;
    // A folder lost by mistake takes its pages along, and everything that is left is sound.
    if published.removed > 0 && checked.shop.services.is_empty() {
        note(
            "no service is left in procedures/services, so every bench card and page to work from was removed",
        )?;
    } else if published.removed > published.written + published.unchanged {
        note("more pages were removed than are left: look whether a folder of sources is missing")?;
    }
    if !published.kept.is_empty() {
        let (out, kept) = (arguments.out.display(), some_of(&published.kept));
        note(&format!("what had been written there by hand is kept in {out}: {kept}"))?;
    }
    Ok(())
}

/// The first names of a list, and how many more there are.
fn some_of(names: &[String]) -> String {
    const MOST: usize = 5;
    let first = names[..names.len().min(MOST)].join(", ");
    match names.len().saturating_sub(MOST) {
        0 => first,
        more => format!("{first} and {more} more"),
    }
}

/// What is left when nothing is published.
fn not_published(arguments: &Arguments) -> &'static str {
    match arguments.out.join("index.html").exists() {
        true => "nothing was published; the site that was there stays",
        false => "nothing was published",
    }
}

fn note(message: &str) -> Result<(), Stop> {
    writeln!(print::err(), "{message}")?;
    Ok(())
}

/// Ends the program: a template that loops cannot be left in any other way. A build that is ended at any moment leaves
/// the site that was there, and the next one clears up.
fn stop_build(why: &str) {
    // Whether or not it can be told.
    let _ = writeln!(print::err(), "benchleaf: {why}");
    std::process::exit(2);
}
