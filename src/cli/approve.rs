//! `benchleaf approve`

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use super::compare_list::list;
use super::recorded::{put, refuse, text_of};
use super::shop::{Format, Stop, checked, tell};
use super::{approve_texts, print};
use crate::approve::{
    Approval, NotRecorded, Request, TextRequest, approve, is_text, released_text, to_compare,
};
use crate::book::Book;
use crate::card::content;
use crate::diagnostic::{Finding, Severity};
use crate::output::hold;
use crate::pipeline::{Checked, check_shop_on};
use crate::record::RecordKind;
use crate::review::{CHOICE, CardNow, counted};
use crate::text::{Changed, Folder, last_commit};

/// What is said where figures were listed and nothing was recorded.
const NOTHING_YET: &str = "Nothing is recorded yet. What the sheet says otherwise is written in the fork's\nrecord; the rest is recorded with `--by` and `--date`.";

/// Where the released cards are kept.
const RELEASED: &str = "specs/released.yaml";

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// The fork, family or oil that was reviewed, by id; or a procedure, caution, condition or service
    #[arg(value_name = "ID")]
    id: String,
    /// More procedures, cautions, conditions or services that were reviewed
    #[arg(value_name = "ID")]
    more: Vec<String>,
    /// Of procedures, cautions, conditions and services also all that they rest on
    #[arg(long, conflicts_with = "values")]
    whole: bool,
    /// The shop's folder
    #[arg(long, default_value = ".", value_name = "DIR")]
    shop: PathBuf,
    /// Who reviewed: one of the shop's approvers, where it names them
    #[arg(long, value_name = "NAME", required_unless_present = "compared", requires = "date")]
    by: Option<String>,
    /// The day of the review
    #[arg(long, value_name = "YYYY-MM-DD", required_unless_present = "compared", requires = "by")]
    date: Option<String>,
    /// What the fork takes over from its family was compared with this source of its own; without `--by` and `--date`
    /// each figure that is to be compared is listed, and nothing is recorded
    #[arg(long, value_name = "SOURCE")]
    compared: Option<String>,
    /// List every figure that is to be compared, however many there are
    #[arg(long, requires = "compared")]
    all: bool,
    /// The values that were reviewed, by key; left out: all that nobody vouches for as they are
    #[arg(long, value_name = "KEY,KEY", value_delimiter = ',')]
    values: Vec<String>,
    /// Review again what somebody vouches for already
    #[arg(long, conflicts_with = "values")]
    again: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let shop = &arguments.shop;
    let before = checked(shop)?;
    if let Some(done) = aside(arguments, &before)? {
        return Ok(done);
    }
    let (Some(by), Some(date)) = (&arguments.by, &arguments.date) else { return Ok(ExitCode::SUCCESS) };
    let request = Request {
        id: &arguments.id,
        by,
        date,
        compared: arguments.compared.as_deref(),
        values: &arguments.values,
        again: arguments.again,
    };
    let approval = match approve(&before, &request) {
        Ok(approval) => approval,
        Err(NotRecorded::Sentence(why)) => return refuse(&why),
        Err(NotRecorded::Findings(found)) => {
            tell(&found, &before.files, Format::Full, shop)?;
            return refuse("values with errors cannot be reviewed");
        }
        Err(NotRecorded::Open(why)) => return refuse(why.trim_end()),
    };
    let held = hold(shop, &approval.path).and_then(|record| Ok((record, hold(shop, RELEASED)?)));
    let (record, released) = match held {
        Ok(held) => held,
        Err(error) => return refuse(&error.to_string()),
    };
    let after = after(arguments, &approval);
    if let Some(finding) = doubt(&before, &after, &approval) {
        return refuse(&format!("the record would then have a new error: {}", finding.message));
    }
    let old = text_of(&before, RELEASED);
    // A comparison says nothing of the fork's own values, so it releases no card.
    let cards = if arguments.compared.is_some() { Vec::new() } else { cards(&after, &approval) };
    let new_list = match released_text(old, &before.shop.released.cards, &cards, date.trim()) {
        Ok(list) => list,
        Err(why) => return refuse(&format!("{RELEASED} cannot be added to: {why}")),
    };
    // The review first: if this is killed in between, the same command finds it recorded and adds the cards.
    if let Err(error) = put(&record, text_of(&before, &approval.path), approval.text.as_deref()) {
        return refuse(&error.to_string());
    }
    if let Err(error) = put(&released, old, new_list.as_deref()) {
        writeln!(print::err(), "benchleaf: the review is recorded, its cards are not released: {error}")?;
        return Ok(ExitCode::from(1));
    }
    report(&approval, &cards, new_list.is_some(), arguments.compared.is_some())?;
    Ok(ExitCode::SUCCESS)
}

/// What is done before, or in place of, reviewing the values of a record: texts are reviewed, what is to be compared is
/// listed. Gives the exit status where that is all, or where it is refused.
fn aside(arguments: &Arguments, before: &Checked) -> Result<Option<ExitCode>, Stop> {
    let ids: Vec<String> = [&arguments.id].into_iter().chain(&arguments.more).cloned().collect();
    if ids.iter().any(|id| is_text(before, id)) {
        let Arguments { by, date, whole, again, compared, .. } = arguments;
        let (Some(by), Some(date), None) = (by, date, compared) else {
            return refuse("only a fork takes something over that can be compared").map(Some);
        };
        let request = TextRequest { ids: &ids, by, date, whole: *whole, again: *again };
        return approve_texts::run(&arguments.shop, before, &request).map(Some);
    }
    if !arguments.more.is_empty() || arguments.whole {
        return refuse("forks, families and oils are reviewed one at a time, and not with `--whole`")
            .map(Some);
    }
    if let Some(source) = &arguments.compared {
        match to_compare(before, &arguments.id, source) {
            Ok(values) => {
                let told = list(&values, &arguments.id, source, &arguments.values, arguments.all);
                write!(print::out(), "{told}")?;
                if arguments.by.is_none() && !values.is_empty() {
                    writeln!(print::out(), "{NOTHING_YET}")?;
                }
                print::out().flush()?;
            }
            Err(NotRecorded::Sentence(why)) => return refuse(&why).map(Some),
            Err(_) => {}
        }
    }
    Ok(None)
}

/// The shop as it will be.
fn after(arguments: &Arguments, approval: &Approval) -> Checked {
    let folder = Folder { root: arguments.shop.clone() };
    let day = last_commit(&arguments.shop);
    match &approval.text {
        Some(text) => check_shop_on(&Changed { source: &folder, path: &approval.path, text }, day),
        None => check_shop_on(&folder, day),
    }
}

/// An error that was not there before.
fn doubt<'a>(before: &Checked, after: &'a Checked, approval: &Approval) -> Option<&'a Finding> {
    let known = |finding: &Finding| {
        before.findings.iter().any(|old| old.code() == finding.code() && old.message == finding.message)
    };
    let own = |finding: &&Finding| after.files.get(finding.span.file).path == approval.path;
    let errors = after.findings.iter().filter(|finding| finding.severity == Severity::Error);
    errors.filter(own).find(|finding| !known(finding))
}

/// The cards of the forks that the review reaches.
fn cards(after: &Checked, approval: &Approval) -> Vec<CardNow> {
    let all = content::cards(&Book::new(after));
    all.into_iter().filter(|card| approval.forks.contains(&card.fork)).collect()
}

fn report(approval: &Approval, cards: &[CardNow], released: bool, compared: bool) -> Result<(), Stop> {
    let mut out = print::out();
    let name = format!("{} {}", approval.kind.word(), approval.id);
    let choices = approval.covered.iter().filter(|key| key.starts_with(CHOICE)).count();
    let covered = counted(approval.covered.len() - choices, choices);
    let did = if compared { "compared" } else { "reviewed" };
    if approval.text.is_some() {
        writeln!(out, "{}: {covered} of {name} recorded as {did}", approval.path)?;
    } else if approval.covered.is_empty() {
        let all = if compared { "compared" } else { "vouched for" };
        writeln!(
            out,
            "{}: every value of {name} is {all} as it is: nothing is recorded for {}; with `--again` the review is added",
            approval.path, approval.by
        )?;
    } else {
        writeln!(out, "{}: this review of {name} is recorded already", approval.path)?;
    }
    for key in &approval.left_out {
        writeln!(out, "not covered: {key} is safety-critical and rests on an estimate")?;
    }
    if approval.not_compared > 0 {
        writeln!(
            out,
            "not covered: what it takes over from its family and can hurt somebody ({}, choices counted); compare it with this fork's own sheet: `benchleaf approve {} --compared SOURCE`",
            approval.not_compared, approval.id
        )?;
    }
    if approval.draft {
        writeln!(out, "{name} is a draft: what it still lacks is reviewed when it is there")?;
    }
    if released {
        for card in cards {
            writeln!(out, "{RELEASED}: card {} of {}, {}", card.card, card.fork, card.service)?;
        }
    } else if approval.kind != RecordKind::Oil && !cards.is_empty() {
        writeln!(out, "{RELEASED}: its cards are there already")?;
    }
    out.flush()?;
    Ok(())
}
