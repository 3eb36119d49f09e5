//! `benchleaf completions`

use std::io::Write;
use std::process::ExitCode;

use clap::CommandFactory;
use clap_complete::Shell;

use super::{Cli, Stop};

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// The shell
    shell: Shell,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    // Into memory first: the generator does not hand on a closed output.
    let mut text = Vec::new();
    clap_complete::generate(arguments.shell, &mut Cli::command(), "benchleaf", &mut text);
    std::io::stdout().lock().write_all(&text)?;
    Ok(ExitCode::SUCCESS)
}
