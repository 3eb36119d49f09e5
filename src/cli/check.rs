//! `benchleaf check`

use std::process::ExitCode;

use crate::diagnostic::order;
use crate::publish::site::print_findings;

use super::{Findings, ShopFolder, Stop, checked, tell};

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    folder: ShopFolder,
    #[command(flatten)]
    findings: Findings,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let mut checked = checked(&arguments.folder.shop)?;
    checked.findings.extend(print_findings(&checked));
    checked.findings = order(std::mem::take(&mut checked.findings), &checked.files);
    tell(&checked.findings, &checked.files, arguments.findings.format, &arguments.folder.shop)?;
    Ok(ExitCode::from(u8::from(arguments.findings.stop(&checked))))
}
