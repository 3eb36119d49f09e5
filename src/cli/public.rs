//! `benchleaf public`

use std::io::Write;
use std::process::ExitCode;

use super::print;
use super::shop::{ShopFolder, Stop, checked};
use crate::review::is_approver;

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    folder: ShopFolder,
}

/// Whoever makes the pages public is told of the makers: their figures are not the shop's.
const OWNERS: &str = "Makers' figures may have owners: ask before you show them to everybody.";

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let checked = checked(&arguments.folder.shop)?;
    let public = &checked.shop.settings.public;
    let (by, reason) = (&public.by.text, public.reason.text.trim());
    let mut out = print::out();
    if public.is_whole() && is_approver(&checked.shop, by) {
        writeln!(out, "The pages may be public, says {by}: {reason}\n{OWNERS}")?;
        return Ok(ExitCode::SUCCESS);
    }
    writeln!(
        out,
        "The pages may not be public: no approver answers for it.\n{OWNERS}\nWho may say so writes into specs/shop.yaml: public: {{by: \"…\", reason: \"…\"}}"
    )?;
    Ok(ExitCode::from(1))
}
