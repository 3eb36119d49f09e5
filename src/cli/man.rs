//! `benchleaf man`

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Command;
use clap_mangen::Man;

use super::print;
use super::shop::Stop;
use crate::output::write_files;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// The folder the pages are written to, one for each command
    #[arg(value_name = "DIR")]
    out: PathBuf,
}

/// `command` is the whole command line.
pub(super) fn run(arguments: &Arguments, command: Command) -> Result<ExitCode, Stop> {
    let mut command = command.disable_help_subcommand(true);
    command.build();
    let mut pages = Vec::new();
    add_pages(&command, &arguments.out, &mut pages)?;
    write_files(&arguments.out, &pages).map_err(|error| Stop::Said(error.to_string()))?;
    writeln!(print::err(), "{} manual pages are in {}", pages.len(), arguments.out.display())?;
    Ok(ExitCode::SUCCESS)
}

/// The page of a command, and those of the commands below it.
fn add_pages(command: &Command, out: &Path, pages: &mut Vec<(PathBuf, Vec<u8>)>) -> Result<(), Stop> {
    for below in command.get_subcommands().filter(|below| !below.is_hide_set()) {
        add_pages(below, out, pages)?;
    }
    let page = Man::new(command.clone());
    let mut text = Vec::new();
    page.render(&mut text)?;
    pages.push((out.join(page.get_filename()), text));
    Ok(())
}
