//! `benchleaf check`

use std::process::ExitCode;

use super::{Findings, ShopFolder, Stop, checked, tell};

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    folder: ShopFolder,
    #[command(flatten)]
    findings: Findings,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let checked = checked(&arguments.folder.shop)?;
    tell(&checked.findings, &checked.files, arguments.findings.format)?;
    Ok(ExitCode::from(u8::from(checked.has_errors())))
}
