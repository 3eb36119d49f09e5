//! Every value says where it comes from.

use crate::date::{AsOf, Date};
use crate::diagnostic::{Finding, Severity, rules};
use crate::record::{Sides, SpecLine, SpecRecord};
use crate::resolve::Shop;

/// How many values are named where many lack a source.
const NAMED: usize = 3;

/// source-missing: a record that names no source for all its values names one at each.
pub(crate) fn missing(shop: &Shop, record: &SpecRecord, findings: &mut Vec<Finding>) {
    if record.source.is_some() {
        return;
    }
    let key = |line: &SpecLine| shop.catalogue.field(line.field).key.as_str();
    let lacks: Vec<&SpecLine> = record.values.iter().filter(|line| lacks(line)).collect();
    let [first, rest @ ..] = lacks.as_slice() else { return };
    let finding = if rest.is_empty() {
        rules::SOURCE_MISSING.at(first.key_span, format!("`{}` does not say where it comes from", key(first)))
    } else {
        let named: Vec<String> = lacks.iter().take(NAMED).map(|line| format!("`{}`", key(line))).collect();
        let more =
            if lacks.len() > NAMED { format!(" and {} more", lacks.len() - NAMED) } else { String::new() };
        // One line at the record's end is missing, so it is said once.
        rules::SOURCE_MISSING.at(
            record.id.span,
            format!("these values do not say where they come from: {}{more}", named.join(", ")),
        )
    };
    let instead = match record.sources.first() {
        Some(source) => format!("add `source: {}` to the record, or to the value", source.id.text),
        None => {
            "name the sheet or measurement once under `sources:` and point to it with `source:`".to_owned()
        }
    };
    findings.push(
        finding.bench("a number nobody vouches for cannot be checked when it is doubted").instead(instead),
    );
}

/// Whether a value that can be read names no source on one of its sides.
fn lacks(line: &SpecLine) -> bool {
    let entries = match &line.sides {
        Sides::Each(entry) => [entry, entry],
        Sides::Legs(left, right) => [left, right],
    };
    entries.iter().any(|entry| {
        let says = entry.value.as_ref().is_some_and(|value| *value != crate::quantity::Value::NotFitted);
        says && entry.sources.is_empty()
    })
}

/// source-date: a source's date is a year, a month or a day.
pub(crate) fn dates(_: &Shop, record: &SpecRecord, findings: &mut Vec<Finding>) {
    for source in &record.sources {
        let Some(date) = source.date.as_deref().filter(|date| !is_date(date)) else { continue };
        findings.push(
            rules::SOURCE_DATE
                .graded(
                    graded(record),
                    source.id.span,
                    format!("the source `{}` is dated `{date}`, which is no date", source.id.text),
                )
                .bench("nobody can tell whether a later issue of the sheet has replaced the figure")
                .instead(
                    "write a year, a month or a day in quotes: `\"2018\"`, `\"2018-03\"` or `\"2018-03-21\"`",
                ),
        );
    }
}

/// source-date: a source is not dated after the commit's day; nothing is judged without one. One day is allowed for
/// zones.
pub(crate) fn ahead(shop: &Shop, day: Option<AsOf>, findings: &mut Vec<Finding>) {
    let Some(day) = day.map(|day| day.date) else { return };
    let records = shop.records();
    for (record, source) in records.flat_map(|record| record.sources.iter().map(move |one| (record, one))) {
        let Some(date) = source.date.as_deref() else { continue };
        if Date::first_of(date).is_some_and(|first| first > day.next()) {
            findings.push(
                rules::SOURCE_DATE
                    .graded(
                        graded(record),
                        source.id.span,
                        format!("the source `{}` is dated `{date}`, and it is {day}", source.id.text),
                    )
                    .bench("nobody can tell whether a later issue of the sheet has replaced the figure")
                    .instead("read the date again, digit by digit"),
            );
        }
    }
}

/// An error, or for a draft a warning.
fn graded(record: &SpecRecord) -> Severity {
    if record.draft { Severity::Warning } else { Severity::Error }
}

/// Whether a text is a year from 1900 to 2099, a month of one, or a day of one in the calendar.
fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let number = |at: usize, digits: usize| {
        let part = parts.get(at).filter(|part| part.len() == digits)?;
        part.bytes().all(|byte| byte.is_ascii_digit()).then(|| part.parse::<u32>().ok())?
    };
    let Some(year) = number(0, 4).filter(|year| (1900..2100).contains(year)) else { return false };
    if parts.len() == 1 {
        return true;
    }
    let Some(month) = number(1, 2) else { return false };
    let days = match month {
        2 if year % 4 == 0 && year != 1900 => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return false,
    };
    parts.len() == 2 || parts.len() == 3 && number(2, 2).is_some_and(|day| (1..=days).contains(&day))
}
