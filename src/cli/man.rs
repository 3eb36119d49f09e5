//! `benchleaf man`

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::CommandFactory;

use super::{Cli, Stop};

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// The folder the pages are written to, one for each command
    #[arg(value_name = "DIR")]
    out: PathBuf,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let fail =
        |error: std::io::Error| Stop::Said(format!("cannot write to `{}`: {error}", arguments.out.display()));
    std::fs::create_dir_all(&arguments.out).map_err(fail)?;
    clap_mangen::generate_to(Cli::command(), &arguments.out).map_err(fail)?;
    let pages = std::fs::read_dir(&arguments.out).map_err(fail)?.filter_map(Result::ok);
    let ours = pages.filter(|page| page.file_name().to_string_lossy().starts_with("benchleaf")).count();
    writeln!(std::io::stderr(), "{ours} manual pages are in {}", arguments.out.display())?;
    Ok(ExitCode::SUCCESS)
}
