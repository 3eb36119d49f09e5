//! `benchleaf approve` of procedures, cautions, conditions and services.

use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

use super::print;
use super::recorded::{put, refuse, text_of};
use super::shop::{Format, Stop, tell};
use crate::approve::{NotRecorded, REVIEWS, TextRequest, approve_texts};
use crate::output::hold;
use crate::pipeline::Checked;
use crate::words::count;

/// Records the review, and lists what it vouches for.
pub(super) fn run(shop: &Path, checked: &Checked, request: &TextRequest<'_>) -> Result<ExitCode, Stop> {
    let approval = match approve_texts(checked, request) {
        Ok(approval) => approval,
        Err(NotRecorded::Sentence(why)) => return refuse(&why),
        Err(NotRecorded::Open(why)) => return refuse(why.trim_end()),
        Err(NotRecorded::Findings(found)) => {
            tell(&found, &checked.files, Format::Text, shop)?;
            return refuse("texts with errors cannot be reviewed");
        }
    };
    let Some(text) = &approval.text else {
        writeln!(print::out(), "{REVIEWS}: all of it is vouched for as it is")?;
        return Ok(ExitCode::SUCCESS);
    };
    let written = hold(shop, REVIEWS).and_then(|file| put(&file, text_of(checked, REVIEWS), Some(text)));
    if let Err(error) = written {
        return refuse(&error.to_string());
    }
    let mut out = print::out();
    let texts = count(approval.covered.len(), "text", "texts");
    writeln!(out, "{REVIEWS}: {texts} recorded as reviewed")?;
    for line in &approval.covered {
        writeln!(out, "  {line}")?;
    }
    out.flush()?;
    Ok(ExitCode::SUCCESS)
}
