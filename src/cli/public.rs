//! `benchleaf public`

use std::io::Write;
use std::process::ExitCode;

use super::print;
use super::shop::{ShopFolder, Stop, checked};
use crate::diagnostic::did_you_mean;
use crate::review::is_approver;
use crate::words::one_of;

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
    let approvers: Vec<&str> =
        checked.shop.settings.approvers.iter().map(|name| name.text.as_str()).collect();
    if public.is_whole() {
        // A name that is nearly an approver's, or nobody's.
        let hint = did_you_mean(by, approvers.iter().copied(), || match approvers.as_slice() {
            [] => "add the name to `approvers:`".to_owned(),
            names => format!("let {} answer for it, or add the name to `approvers:`", one_of(names)),
        });
        writeln!(
            out,
            "The pages may not be public: `{by}` is not among the shop's approvers in specs/shop.yaml: {hint}\n{OWNERS}"
        )?;
        return Ok(ExitCode::from(1));
    }
    writeln!(
        out,
        "The pages may not be public: no approver answers for it.\n{OWNERS}\nWho may say so writes into specs/shop.yaml: public: {{by: \"…\", reason: \"…\"}}"
    )?;
    Ok(ExitCode::from(1))
}
