//! Working out a review: the values it covers, and the record's new text.

use std::collections::BTreeMap;

use super::candidates::{Candidate, candidates, choose, open};
use super::compared::{comparable, not_compared};
use super::edit::{Item, append};
use super::record::{errors_of, reached, record};
use super::request::{NotRecorded, Request, tame};
use crate::date::Date;
use crate::diagnostic::did_you_mean;
use crate::pipeline::Checked;
use crate::record::{RecordKind, Review, SpecRecord};
use crate::resolve::Shop;
use crate::review::{counts, is_approver, later_source, seal};
use crate::syntax::scalar;

/// A review as it will stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Approval {
    /// The record's kind.
    pub kind: RecordKind,
    /// The record's id.
    pub id: String,
    /// Its file.
    pub path: String,
    /// The file's new text; `None` where there is nothing to record that is not recorded already.
    pub text: Option<String>,
    /// The values it covers, by key.
    pub covered: Vec<String>,
    /// The values it leaves out, by key: safety-critical ones that rest on an estimate.
    pub left_out: Vec<String>,
    /// How many values that the fork takes over can hurt somebody and were not compared: a review of what stands in
    /// the record does not cover them.
    pub not_compared: usize,
    /// Whether the record is a draft.
    pub draft: bool,
    /// The forks whose values it covers, by id.
    pub forks: Vec<String>,
    /// Who reviewed.
    pub by: String,
}

/// Works out the review.
///
/// # Errors
/// See [`NotRecorded`].
pub fn approve(checked: &Checked, request: &Request<'_>) -> Result<Approval, NotRecorded> {
    let shop = &checked.shop;
    let record = record(shop, request.id)?;
    let by = reviewer(shop, request.by)?;
    let date = day(checked, request.date)?;
    if let Some(source) = request.compared {
        source_of(record, source, date)?;
    }
    let errors = errors_of(checked, record);
    if !errors.is_empty() {
        return Err(NotRecorded::Findings(errors));
    }
    let (chosen, left_out) = choose(shop, record, candidates(checked, record, request), request)?;
    not_before_sources(&chosen, date)?;
    if let Some(findings) = open(checked, record, &chosen, by) {
        return Err(NotRecorded::Open(findings));
    }
    let values: Vec<(&str, &str)> =
        chosen.iter().map(|(key, candidate)| (key.as_str(), candidate.code.as_str())).collect();
    let day = date.to_string();
    let digest = seal(&record.name(), (by, &day), request.compared, values.iter().copied());
    let recorded = chosen.is_empty() || is_recorded(shop, record, date, (&digest, &values));
    let text = if recorded {
        None
    } else {
        against_others(shop, record, date, request.compared.is_some(), &values)?;
        Some(new_text(checked, record, item((by, &day), request.compared, &values, &digest))?)
    };
    Ok(Approval {
        kind: record.kind,
        id: record.id.text.clone(),
        path: checked.files.get(record.file).path.clone(),
        text,
        covered: chosen.keys().cloned().collect(),
        left_out,
        not_compared: if request.compared.is_none() { not_compared(checked, record) } else { 0 },
        draft: record.draft,
        forks: reached(shop, record),
        by: by.to_owned(),
    })
}

/// Whether this very review stands in the record, and none behind it has had another word on one of its values since.
fn is_recorded(
    shop: &Shop,
    record: &SpecRecord,
    date: Date,
    (digest, values): (&str, &[(&str, &str)]),
) -> bool {
    let is_it = |review: &Review| review.digest.text == digest && counts(shop, record, review) == Some(date);
    let Some(at) = record.reviewed.iter().rposition(is_it) else { return false };
    let says = |review: &Review, key: &str| review.values.iter().any(|(name, _)| name.text == key);
    !record.reviewed[at + 1..].iter().any(|later| {
        later.compared.is_some() == record.reviewed[at].compared.is_some()
            && counts(shop, record, later).is_some()
            && values.iter().any(|(key, _)| says(later, key))
    })
}

/// Refuses a source with which nothing of this fork can be compared.
fn source_of(record: &SpecRecord, source: &str, date: Date) -> Result<(), NotRecorded> {
    let Some(note) = comparable(record, source)? else { return Ok(()) };
    let written = note.date.as_deref().unwrap_or_default();
    if Date::first_of(written).is_some_and(|day| day > date) {
        return Err(NotRecorded::Sentence(format!(
            "the comparison of {date} is older than the source `{source}` of {written}"
        )));
    }
    Ok(())
}

/// Who reviewed, where the shop lets that person.
pub(super) fn reviewer<'r>(shop: &Shop, by: &'r str) -> Result<&'r str, NotRecorded> {
    let by = by.trim();
    if by.is_empty() || by.chars().any(char::is_control) {
        return Err(NotRecorded::Sentence("say who reviewed, such as `--by \"A. Name\"`".to_owned()));
    }
    if !is_approver(shop, by) {
        let names = shop.settings.approvers.iter().map(|name| name.text.as_str());
        let all: Vec<&str> = names.clone().collect();
        let hint = did_you_mean(by, names, || format!("the shop names {}", all.join(", ")));
        return Err(NotRecorded::Sentence(format!("`{by}` is not among the shop's approvers: {hint}")));
    }
    Ok(by)
}

/// How many days a review may be later than the last commit: work that is not committed yet is reviewed as well.
const DAYS_AHEAD: usize = 7;

/// The day of the review. There is no clock here: the last commit says which day it is, give or take a week.
pub(super) fn day(checked: &Checked, written: &str) -> Result<Date, NotRecorded> {
    let Some(date) = Date::read(written) else {
        return Err(NotRecorded::Sentence(format!("`{}` is no date: write it as 2026-03-02", tame(written))));
    };
    let last = |day: Date| (0..DAYS_AHEAD).fold(day, |day, _| day.next());
    match checked.day.filter(|day| date > last(day.date)) {
        Some(day) => Err(NotRecorded::Sentence(format!(
            "{date} is more than {DAYS_AHEAD} days after the last commit, of {}: a day that has not come vouches for nothing. Correct the day; where the shop has rested that long, commit the work first",
            day.date
        ))),
        None => Ok(date),
    }
}

/// A review cannot be older than what the values rest on.
fn not_before_sources(chosen: &BTreeMap<String, Candidate<'_>>, date: Date) -> Result<(), NotRecorded> {
    for (key, candidate) in chosen {
        if let Some((source, day)) = candidate.line.and_then(|(line, from)| later_source(line, from, date)) {
            return Err(NotRecorded::Sentence(format!(
                "the review of {date} is older than what `{key}` rests on: the source `{source}` is of {day}"
            )));
        }
    }
    Ok(())
}

/// The record's text with the review added.
fn new_text(checked: &Checked, record: &SpecRecord, item: Item) -> Result<String, NotRecorded> {
    let file = checked.files.get(record.file);
    append(&file.text, "reviewed", &[item]).map_err(|why| {
        NotRecorded::Sentence(format!(
            "{} cannot be added to: {why}; write the record line by line, with `reviewed:` as a list",
            file.path
        ))
    })
}

/// A review that others have overtaken would not count. One of the same day is overtaken by this one, which stands
/// behind it.
fn against_others(
    shop: &Shop,
    record: &SpecRecord,
    date: Date,
    compared: bool,
    values: &[(&str, &str)],
) -> Result<(), NotRecorded> {
    // A comparison and a review of what stands in the record say different things.
    for review in record.reviewed.iter().filter(|review| review.compared.is_some() == compared) {
        let Some(day) = counts(shop, record, review) else { continue };
        for (key, _) in values {
            if day > date && review.values.iter().any(|(name, _)| name.text == *key) {
                return Err(NotRecorded::Sentence(format!(
                    "{} reviewed `{key}` on {day}, after {date}, and the last review decides",
                    review.by.text
                )));
            }
        }
    }
    Ok(())
}

fn item((by, date): (&str, &str), compared: Option<&str>, values: &[(&str, &str)], digest: &str) -> Item {
    let mut lines = vec![format!("by: {}", scalar(by)), format!("date: \"{date}\"")];
    let with = compared.map(|source| format!("compared: {}", scalar(source)));
    lines.extend(with.clone());
    lines.push("values:".to_owned());
    lines.extend(values.iter().map(|(key, code)| format!("  {}: {code}", scalar(key))));
    lines.push(format!("digest: {digest}"));
    let all: Vec<String> = values.iter().map(|(key, code)| format!("{}: {code}", scalar(key))).collect();
    let with = with.map(|with| format!("{with}, ")).unwrap_or_default();
    let flow = format!(
        "{{by: {}, date: \"{date}\", {with}values: {{{}}}, digest: {digest}}}",
        scalar(by),
        all.join(", ")
    );
    Item { lines, flow }
}
