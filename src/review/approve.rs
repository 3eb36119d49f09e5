//! Recording that somebody reviewed values: which, whether that is possible, and the record's new text.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::digest::{CHOICES, GONE, MACHINES, choices_code, machines_code, seal, value_code};
use super::edit::{Item, append, scalar};
use super::standing::{RecordReview, counts, is_approver, is_estimate, lines, own_choices};
use crate::check::doubt;
use crate::date::Date;
use crate::diagnostic::{Finding, Places, Severity, did_you_mean};
use crate::pipeline::Checked;
use crate::record::{RecordKind, ReleasedCard, Sides, SpecLine, SpecRecord};
use crate::resolve::Shop;

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub struct Request<'r> {
    /// The record: its id, or `fork:ID`, `family:ID`, `oil:ID`.
    pub id: &'r str,
    /// Who reviewed.
    pub by: &'r str,
    /// The day, as `2026-03-02`.
    pub date: &'r str,
    /// The values reviewed, by key; none: all that can be and that nobody vouches for as they are.
    pub values: &'r [String],
    /// With no values named: also those that somebody vouches for already.
    pub again: bool,
}

/// Why it is not done.
#[derive(Debug)]
pub enum Refused {
    /// One sentence.
    Said(String),
    /// The record has errors.
    Findings(Vec<Finding>),
    /// Values that can hurt somebody would be sealed with findings open: which, where, and the ways out, in
    /// sentences and lines of a record.
    Open(String),
}

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
    /// The forks whose values it covers, by id.
    pub forks: Vec<String>,
}

/// A value that can be reviewed.
struct Candidate<'s> {
    code: String,
    estimate: bool,
    vouched: bool,
    line: Option<(&'s SpecLine, &'s SpecRecord)>,
}

/// Works out the review.
///
/// # Errors
/// See [`Refused`].
pub fn approve(checked: &Checked, request: &Request<'_>) -> Result<Approval, Refused> {
    let shop = &checked.shop;
    let said = |text: String| Err(Refused::Said(text));
    let record = record(shop, request.id).map_err(Refused::Said)?;
    let by = request.by.trim();
    if by.is_empty() || by.chars().any(char::is_control) {
        return said("say who reviewed, such as `--by \"A. Name\"`".to_owned());
    }
    if !is_approver(shop, by) {
        let known = shop.settings.approvers.iter().map(|name| name.text.as_str());
        let all: Vec<&str> = known.clone().collect();
        let hint = did_you_mean(by, known, || format!("the shop names {}", all.join(", ")));
        return said(format!("`{by}` is not among the shop's approvers: {hint}"));
    }
    let Some(date) = Date::read(request.date) else {
        return said(format!("`{}` is no date: write it as 2026-03-02", tame(request.date)));
    };
    // There is no clock here. Work that is not committed may well be of a later day, but not of a later year.
    if let Some(day) = checked.day.filter(|day| date > day.date.next_year()) {
        return said(format!(
            "{date} is more than a year after the last commit, of {}: look at the year again",
            day.date
        ));
    }
    let errors = errors_of(checked, record);
    if !errors.is_empty() {
        return Err(Refused::Findings(errors));
    }
    let can = candidates(checked, record);
    let (chosen, left_out) = choose(shop, record, can, request).map_err(Refused::Said)?;
    for (key, candidate) in &chosen {
        if let Some((source, day)) = candidate.line.and_then(|(line, from)| later_source(line, from, date)) {
            return said(format!(
                "the review of {date} is older than what `{key}` rests on: the source `{source}` is of {day}"
            ));
        }
    }
    if let Some(open) = open(checked, record, &chosen, by) {
        return Err(Refused::Open(open));
    }
    let values: Vec<(&str, &str)> =
        chosen.iter().map(|(key, candidate)| (key.as_str(), candidate.code.as_str())).collect();
    let digest = seal(&record.name(), by, &date.to_string(), values.iter().copied());
    let recorded = chosen.is_empty()
        || record
            .reviewed
            .iter()
            .any(|review| review.digest.text == digest && counts(shop, record, review) == Some(date));
    if !recorded {
        against_others(shop, record, by, date, &values).map_err(Refused::Said)?;
    }
    let path = checked.files.get(record.file).path.clone();
    let text = if recorded {
        None
    } else {
        let item = item(by, date, &values, &digest);
        let edited = append(&checked.files.get(record.file).text, "reviewed", &[item]);
        Some(edited.map_err(|why| {
            Refused::Said(format!(
                "{path} cannot be added to: {why}; write the record line by line, with `reviewed:` as a list"
            ))
        })?)
    };
    Ok(Approval {
        kind: record.kind,
        id: record.id.text.clone(),
        path,
        text,
        covered: chosen.keys().cloned().collect(),
        left_out,
        forks: reached(shop, record),
    })
}

/// The record of an id, which may say its kind before a colon.
fn record<'s>(shop: &'s Shop, wanted: &str) -> Result<&'s SpecRecord, String> {
    let kinds = [
        (RecordKind::Fork, &shop.forks),
        (RecordKind::Family, &shop.families),
        (RecordKind::Oil, &shop.oils),
    ];
    let (kind, id) = wanted.split_once(':').map_or((None, wanted), |(kind, id)| (Some(kind), id));
    let fits = |known: RecordKind| kind.is_none_or(|kind| kind == known.word());
    let found: Vec<&SpecRecord> = kinds
        .iter()
        .filter(|(known, _)| fits(*known))
        .flat_map(|(_, list)| list.iter().map(AsRef::as_ref))
        .filter(|record| record.id.text == id)
        .collect();
    match found.as_slice() {
        [one] => Ok(one),
        [] => {
            let known = kinds.iter().flat_map(|(_, list)| list.iter()).map(|record| record.id.text.as_str());
            let hint = did_you_mean(id, known, || "name a fork, a family or an oil by its id".to_owned());
            Err(format!("there is no record `{}` here: {hint}", tame(wanted)))
        }
        several => {
            let names: Vec<String> =
                several.iter().map(|record| format!("`{}:{id}`", record.kind.word())).collect();
            Err(format!("`{id}` is the name of several records: say {}", names.join(" or ")))
        }
    }
}

/// The errors that leave a record's values in doubt: in its own file, in its family's, in the shop's settings,
/// in what its cards are made of, and those that reach it.
fn errors_of(checked: &Checked, record: &SpecRecord) -> Vec<Finding> {
    let shop = &checked.shop;
    let family = record.family.as_ref().and_then(|id| shop.family(&id.text)).map(|family| family.file);
    let forks = reached(shop, record);
    let concerns = |finding: &&Finding| {
        let file = finding.span.file;
        let path = &checked.files.get(file).path;
        finding.severity == Severity::Error
            && (file == record.file
                || Some(file) == family
                || path == "specs/shop.yaml"
                || path == "specs/released.yaml"
                || (!forks.is_empty() && path.starts_with("procedures/"))
                || finding.reaches.iter().any(|id| forks.contains(id)))
    };
    checked.findings.iter().filter(concerns).cloned().collect()
}

/// What a review would seal although a rule has something open on it and somebody could be hurt.
fn open(
    checked: &Checked,
    record: &SpecRecord,
    chosen: &BTreeMap<String, Candidate<'_>>,
    by: &str,
) -> Option<String> {
    let fork = (record.kind == RecordKind::Fork).then_some(record.id.text.as_str());
    let mut places = Places::new(&checked.files);
    let mut ways = String::new();
    for (key, candidate) in chosen {
        let Some((line, _)) = candidate.line else { continue };
        if !checked.shop.catalogue.field(line.field).safety {
            continue;
        }
        for finding in doubt::open(&checked.findings, line, fork) {
            let (at, _) = places.ends(finding.span);
            let path = places.path(finding.span.file);
            ways.push_str(&format!(
                "\n`{key}` at {path}:{}:{} has `{}` open: {}. ",
                at.line,
                at.column,
                finding.code(),
                finding.message
            ));
            ways.push_str(&match doubt::letting_stand(&checked.shop, line, finding.code(), by) {
                Some(lines) => {
                    format!("Mend it; or, where it is right all the same, let an approver say so:\n\n{lines}")
                }
                None => "Mend it.\n".to_owned(),
            });
        }
    }
    let why = "a value that can hurt somebody is not sealed while a finding on it is open";
    (!ways.is_empty()).then(|| format!("{why}\n{ways}"))
}

/// The forks that a record's values reach.
fn reached(shop: &Shop, record: &SpecRecord) -> Vec<String> {
    match record.kind {
        RecordKind::Fork => vec![record.id.text.clone()],
        RecordKind::Family => {
            let named =
                |fork: &&Arc<SpecRecord>| fork.family.as_ref().is_some_and(|id| id.text == record.id.text);
            shop.forks.iter().filter(named).map(|fork| fork.id.text.clone()).collect()
        }
        _ => Vec::new(),
    }
}

/// Every value of a record that can be read, with the choices and the machines, and what has gone.
fn candidates<'c>(checked: &'c Checked, record: &'c SpecRecord) -> BTreeMap<String, Candidate<'c>> {
    let shop = &checked.shop;
    let fork = (record.kind == RecordKind::Fork).then(|| checked.fork(&record.id.text)).flatten();
    let none = RecordReview::default();
    let review = review_of(checked, record).unwrap_or(&none);
    let mut out = BTreeMap::new();
    let mut add = |key: &str, code: String, line: Option<(&'c SpecLine, &'c SpecRecord)>| {
        let estimate = line
            .is_some_and(|(line, from)| shop.catalogue.field(line.field).safety && is_estimate(line, from));
        out.insert(key.to_owned(), Candidate { code, estimate, vouched: review.of(key).is_reviewed(), line });
    };
    let all: Vec<(&SpecLine, &SpecRecord)> = match fork {
        Some(fork) => lines(fork).into_values().collect(),
        None => record.values.iter().map(|line| (line, record)).collect(),
    };
    for (line, from) in all {
        let field = shop.catalogue.field(line.field);
        if let Some(code) = value_code(field, line, from) {
            add(&field.key, code, Some((line, from)));
        }
    }
    match fork {
        Some(fork) => {
            add(CHOICES, choices_code(&fork.choices), None);
            add(MACHINES, machines_code(&record.machines), None);
        }
        None if record.kind == RecordKind::Family => add(CHOICES, choices_code(&own_choices(record)), None),
        None => {}
    }
    for gone in &review.gone {
        add(&gone.key, GONE.to_owned(), None);
    }
    out
}

/// How the values of a record stand.
fn review_of<'c>(checked: &'c Checked, record: &SpecRecord) -> Option<&'c RecordReview> {
    let id = &record.id.text;
    match record.kind {
        RecordKind::Family => {
            checked.families.iter().find(|family| family.record.id.text == *id).map(|family| &family.review)
        }
        RecordKind::Oil => checked.oils.iter().find(|oil| oil.record.id.text == *id).map(|oil| &oil.review),
        _ => checked.fork(id).map(|fork| &fork.review),
    }
}

/// What is covered, and what is left out.
fn choose<'c>(
    shop: &Shop,
    record: &SpecRecord,
    mut can: BTreeMap<String, Candidate<'c>>,
    request: &Request<'_>,
) -> Result<(BTreeMap<String, Candidate<'c>>, Vec<String>), String> {
    let name = format!("{} `{}`", record.kind.word(), record.id.text);
    if request.values.is_empty() {
        let left_out: Vec<String> =
            can.iter().filter(|(_, value)| value.estimate).map(|(key, _)| key.clone()).collect();
        can.retain(|_, value| !value.estimate);
        if can.is_empty() {
            return Err(format!("the {name} has no value that can be reviewed"));
        }
        can.retain(|_, value| request.again || !value.vouched);
        return Ok((can, left_out));
    }
    let mut chosen = BTreeMap::new();
    for key in request.values {
        let key = key.trim();
        if chosen.contains_key(key) {
            continue;
        }
        let Some(value) = can.remove(key) else {
            let hint = match shop.catalogue.find(key) {
                Some(_) => "it may belong to its family, or be missing".to_owned(),
                None => did_you_mean(key, can.keys().map(String::as_str), || {
                    "write a value's key, such as oil.air_gap".to_owned()
                }),
            };
            return Err(format!("the {name} has no value `{}`: {hint}", tame(key)));
        };
        if value.estimate {
            return Err(format!(
                "`{key}` is safety-critical and rests on an estimate, which nobody can vouch for: measure it, or find the maker's sheet"
            ));
        }
        chosen.insert(key.to_owned(), value);
    }
    Ok((chosen, Vec::new()))
}

/// A source of the value that is younger than a day, with its date as written.
pub(crate) fn later_source<'s>(
    line: &SpecLine,
    from: &'s SpecRecord,
    date: Date,
) -> Option<(&'s str, &'s str)> {
    let (left, right) = match &line.sides {
        Sides::Each(entry) => (entry, entry),
        Sides::Legs(left, right) => (left, right),
    };
    [left, right].into_iter().find_map(|entry| {
        let ids = if entry.sources.is_empty() { from.source.as_slice() } else { &entry.sources };
        ids.iter().filter_map(|id| from.source_note(&id.text)).find_map(|source| {
            let written = source.date.as_deref()?;
            Date::first_of(written).filter(|day| *day > date).map(|_| (source.id.text.as_str(), written))
        })
    })
}

/// A review that others have overtaken, or that contradicts another one of the same day, would not count.
fn against_others(
    shop: &Shop,
    record: &SpecRecord,
    by: &str,
    date: Date,
    values: &[(&str, &str)],
) -> Result<(), String> {
    for review in &record.reviewed {
        let Some(day) = counts(shop, record, review) else { continue };
        for (key, code) in values {
            let Some((_, seen)) = review.values.iter().find(|(known, _)| known.text == *key) else {
                continue;
            };
            let other = &review.by.text;
            if day > date {
                return Err(format!(
                    "{other} reviewed `{key}` on {day}, after {date}, and the last review decides"
                ));
            }
            if day == date && other != by && seen.text != *code {
                return Err(format!(
                    "{other} reviewed `{key}` on the same day and saw another value: settle which holds, and date the review later"
                ));
            }
        }
    }
    Ok(())
}

fn item(by: &str, date: Date, values: &[(&str, &str)], digest: &str) -> Item {
    let mut lines = vec![format!("by: {}", scalar(by)), format!("date: \"{date}\""), "values:".to_owned()];
    lines.extend(values.iter().map(|(key, code)| format!("  {}: {code}", scalar(key))));
    lines.push(format!("digest: {digest}"));
    let all: Vec<String> = values.iter().map(|(key, code)| format!("{}: {code}", scalar(key))).collect();
    let flow =
        format!("{{by: {}, date: \"{date}\", values: {{{}}}, digest: {digest}}}", scalar(by), all.join(", "));
    Item { lines, flow }
}

/// A card as it is now, to be released.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardNow {
    /// The fork.
    pub fork: String,
    /// The service.
    pub service: String,
    /// The code of the fork's values.
    pub values: String,
    /// The code of the card.
    pub card: String,
}

/// The file of released cards with these added; `None` where each is the last of its kind there already.
///
/// # Errors
/// Why it cannot be added to, one sentence.
pub fn released_text(
    text: Option<&str>,
    released: &[ReleasedCard],
    cards: &[CardNow],
    date: &str,
) -> Result<Option<String>, String> {
    let known = |card: &&CardNow| {
        let last =
            released.iter().rev().find(|old| old.fork.text == card.fork && old.service.text == card.service);
        last.is_some_and(|old| old.values.text == card.values && old.card.text == card.card)
    };
    let items: Vec<Item> =
        cards.iter().filter(|card| !known(card)).map(|card| card_item(card, date)).collect();
    if items.is_empty() {
        return Ok(None);
    }
    let start = text.unwrap_or(
        "# yaml-language-server: $schema=schema/released.schema.json\n\
         # The codes of released cards, oldest first. `benchleaf approve` adds to it; nothing is ever taken out.\n\
         cards:\n",
    );
    append(start, "cards", &items)
        .map(Some)
        .map_err(|why| format!("specs/released.yaml cannot be added to: {why}"))
}

fn card_item(card: &CardNow, date: &str) -> Item {
    let CardNow { values, card: code, .. } = card;
    let (fork, service) = (scalar(&card.fork), scalar(&card.service));
    let flow =
        format!("{{fork: {fork}, service: {service}, values: {values}, card: {code}, date: \"{date}\"}}");
    Item { lines: vec![flow.clone()], flow }
}

/// A name without characters that would act on a terminal.
fn tame(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}
