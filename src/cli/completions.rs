//! `benchleaf completions`

use std::io::Write;
use std::process::ExitCode;

use clap::Command;
use clap_complete::Shell;

use super::shop::Stop;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// The shell
    shell: Shell,
}

/// `command` is the whole command line.
pub(super) fn run(arguments: &Arguments, mut command: Command) -> Result<ExitCode, Stop> {
    // Into memory first: the generator does not hand on a closed output.
    let mut text = Vec::new();
    clap_complete::generate(arguments.shell, &mut command, "benchleaf", &mut text);
    std::io::stdout().lock().write_all(&text)?;
    Ok(ExitCode::SUCCESS)
}
