//! `benchleaf build`

use std::io::{IsTerminal, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use indicatif::{ProgressBar, ProgressStyle};

use super::{Findings, Format, ShopFolder, Stop, checked, tell};
use crate::diagnostic::order;
use crate::publish::{self, SiteError};

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    folder: ShopFolder,
    /// The folder the site is published in
    #[arg(long, default_value = "site", value_name = "DIR")]
    out: PathBuf,
    #[command(flatten)]
    findings: Findings,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let mut checked = checked(&arguments.folder.shop)?;
    let format = arguments.findings.format;
    if checked.has_errors() {
        tell(&checked.findings, &checked.files, format)?;
        note("nothing was published; the site that was there stays")?;
        return Ok(ExitCode::from(1));
    }
    let bar = progress();
    let done = publish::site(&checked, &arguments.out, Some(&arguments.folder.shop), &|| bar.inc(1), &|n| bar.set_length(n));
    bar.finish_and_clear();
    match done {
        Ok(published) => {
            tell(&checked.findings, &checked.files, format)?;
            if format == Format::Text {
                note(&format!(
                    "{} pages in {}: {} written, {} unchanged, {} removed",
                    published.written + published.unchanged,
                    arguments.out.display(),
                    published.written,
                    published.unchanged,
                    published.removed
                ))?;
            }
            Ok(ExitCode::SUCCESS)
        }
        Err(SiteError::Findings(findings)) => {
            checked.findings.extend(findings);
            let findings = order(std::mem::take(&mut checked.findings), &checked.files);
            tell(&findings, &checked.files, format)?;
            note("nothing was published; the site that was there stays")?;
            Ok(ExitCode::from(1))
        }
        Err(SiteError::Refused(message)) => Err(Stop::Said(message)),
    }
}

fn note(message: &str) -> Result<(), Stop> {
    writeln!(std::io::stderr(), "{message}")?;
    Ok(())
}

/// A bar for a person at a terminal, nothing for anyone else.
fn progress() -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(0);
    if let Ok(style) = ProgressStyle::with_template("{msg} {wide_bar} {pos}/{len}") {
        bar.set_style(style);
    }
    bar.set_message("publishing");
    bar
}
