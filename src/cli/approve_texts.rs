//! `benchleaf approve` of procedures, cautions, conditions and services.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

use super::print;
use super::recorded::{put, refuse, text_of};
use super::shop::{Format, Stop, tell};
use crate::approve::{NotRecorded, REVIEWS, TextRequest, approve_texts, cards_left};
use crate::output::hold;
use crate::pipeline::{Checked, check_shop_on};
use crate::review::TextKey;
use crate::text::{Changed, Folder, last_commit};
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
    drop(out);
    tell_cards(shop, checked, request, (text, &approval.keys))?;
    Ok(ExitCode::SUCCESS)
}

/// Says which cards now say that their steps are not reviewed, and what settles that.
fn tell_cards(
    shop: &Path,
    before: &Checked,
    request: &TextRequest<'_>,
    (text, keys): (&str, &BTreeSet<TextKey>),
) -> Result<(), Stop> {
    let folder = Folder { root: shop.to_path_buf() };
    let after = check_shop_on(&Changed { source: &folder, path: REVIEWS, text }, last_commit(shop));
    // With its first review a shop begins to review texts: from then on every card says how its steps stand.
    let first = !before.texts.used;
    let left = cards_left(&after, (!first).then_some(keys));
    if left.is_empty() {
        return Ok(());
    }
    let mut out = print::out();
    if first {
        writeln!(
            out,
            "\nThis is the shop's first review of a text. From now on each card says\n`steps UNREVIEWED` until its service and all that it rests on is reviewed."
        )?;
    } else {
        writeln!(out, "\nA card is reviewed when its service and all that it rests on is. Not yet so:")?;
    }
    for one in &left {
        let said: Vec<String> = one.say.iter().map(|said| format!("`{said}`")).collect();
        writeln!(
            out,
            "  {}, {}: {} on {}; when all of it has been read:\n    benchleaf approve service:{} --whole --by {} --date {}",
            one.service,
            count(one.forks.len(), "card", "cards"),
            said.join(" or "),
            one.forks.join(", "),
            one.service,
            quoted(request.by.trim()),
            request.date.trim()
        )?;
    }
    out.flush()?;
    Ok(())
}

/// A name as a shell takes it as one word.
fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace(['"', '\\', '$', '`'], ""))
}
