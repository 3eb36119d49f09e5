//! Which values of a record can be reviewed, and which of them a review covers.

use std::collections::BTreeMap;

use super::request::{NotRecorded, Request, tame};
use crate::check::{CheckedFork, doubt};
use crate::diagnostic::{Places, did_you_mean};
use crate::pipeline::Checked;
use crate::record::{RecordKind, SpecLine, SpecRecord};
use crate::resolve::Shop;
use crate::review::{
    BUILT, CHOICE, CHOICES, Comparison, GONE, MACHINES, PARTS, RecordReview, Standing, build_code,
    choice_code, choices_code, inherited_choices, is_estimate, lines, machines_code, own_choices, parts_code,
    value_code,
};

/// A value that can be reviewed.
pub(super) struct Candidate<'s> {
    /// The code of what it says.
    pub(super) code: String,
    /// Safety-critical, and nothing better than an estimate.
    estimate: bool,
    /// Somebody vouches for it as it is.
    vouched: bool,
    /// Its line, with the record that says it; `None` for choices, machines and what is gone.
    pub(super) line: Option<(&'s SpecLine, &'s SpecRecord)>,
}

/// Every value of a record that can be read, with the choices and the machines, and what has gone.
pub(super) fn candidates<'c>(
    checked: &'c Checked,
    record: &'c SpecRecord,
    request: &Request<'_>,
) -> BTreeMap<String, Candidate<'c>> {
    let shop = &checked.shop;
    let compared = request.compared.is_some();
    let fork = (record.kind == RecordKind::Fork).then(|| checked.fork(&record.id.text)).flatten();
    let none = RecordReview::default();
    let review = review_of(checked, record).unwrap_or(&none);
    let mut out = BTreeMap::new();
    let mut add = |key: &str, code: String, line: Option<(&'c SpecLine, &'c SpecRecord)>| {
        let estimate = line
            .is_some_and(|(line, from)| shop.catalogue.field(line.field).safety && is_estimate(line, from));
        let is_done = |field| fork.is_some_and(|fork| !fork.is_uncompared(field));
        let vouched = match line {
            Some((line, _)) if compared => is_done(line.field),
            // What waits to be compared was reviewed as it is, as far as a review goes.
            _ => review.of(key).is_reviewed() || *review.of(key) == Standing::NotCompared,
        };
        out.insert(key.to_owned(), Candidate { code, estimate, vouched, line });
    };
    let all: Vec<(&SpecLine, &SpecRecord)> = match fork {
        Some(fork) => lines(fork).into_values().collect(),
        None => record.values.iter().map(|line| (line, record)).collect(),
    };
    for (line, from) in all {
        let field = shop.catalogue.field(line.field);
        let inherited = record.kind == RecordKind::Fork && from.kind == RecordKind::Family;
        // A review of what stands in a fork's record does not cover what can hurt somebody and stands in another.
        if if compared { !inherited } else { inherited && field.safety } {
            continue;
        }
        if let Some(code) = value_code(field, line, from) {
            add(&field.key, code, Some((line, from)));
        }
    }
    if compared {
        out.extend(fork.into_iter().flat_map(|fork| choices_to_compare(shop, fork)));
        return out;
    }
    match fork {
        Some(fork) => {
            add(CHOICES, choices_code(&fork.choices), None);
            add(MACHINES, machines_code(&record.machines), None);
        }
        None if record.kind == RecordKind::Build => {
            record.build().into_iter().for_each(|build| add(BUILT, build_code(build), None));
        }
        None if record.kind == RecordKind::Family => add(CHOICES, choices_code(&own_choices(record)), None),
        None => {}
    }
    if !record.parts.is_empty() {
        add(PARTS, parts_code(&record.parts), None);
    }
    for gone in &review.gone {
        add(&gone.key, GONE.to_owned(), None);
    }
    out
}

/// What a fork is made of because its family says so.
fn choices_to_compare<'c>(
    shop: &'c Shop,
    fork: &'c CheckedFork,
) -> impl Iterator<Item = (String, Candidate<'c>)> {
    inherited_choices(shop, fork).into_iter().map(|(key, option)| {
        let name = format!("{CHOICE}{key}");
        let vouched = fork.inherited.choices.get(key) == Some(&Comparison::Done);
        let code = choice_code(&name, option);
        (name, Candidate { code, estimate: false, vouched, line: None })
    })
}

/// How the values of a record stand.
pub(super) fn review_of<'c>(checked: &'c Checked, record: &SpecRecord) -> Option<&'c RecordReview> {
    let id = &record.id.text;
    match record.kind {
        RecordKind::Family => {
            checked.families.iter().find(|family| family.record.id.text == *id).map(|family| &family.review)
        }
        RecordKind::Spring => {
            checked.springs.iter().find(|spring| spring.record.id.text == *id).map(|spring| &spring.review)
        }
        RecordKind::Oil => checked.oils.iter().find(|oil| oil.record.id.text == *id).map(|oil| &oil.review),
        _ => checked.fork(id).map(|fork| fork.review.as_ref()),
    }
}

/// What is covered, and what is left out.
pub(super) fn choose<'c>(
    shop: &Shop,
    record: &SpecRecord,
    mut can: BTreeMap<String, Candidate<'c>>,
    request: &Request<'_>,
) -> Result<(BTreeMap<String, Candidate<'c>>, Vec<String>), NotRecorded> {
    let name = format!("{} `{}`", record.kind.word(), record.id.text);
    if request.values.is_empty() {
        let left_out: Vec<String> =
            can.iter().filter(|(_, value)| value.estimate).map(|(key, _)| key.clone()).collect();
        can.retain(|_, value| !value.estimate);
        if can.is_empty() {
            let what = match request.compared {
                Some(_) => "takes over no value that can be compared",
                None => "has no value that can be reviewed",
            };
            return Err(NotRecorded::Sentence(format!("the {name} {what}")));
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
                Some(_) if request.compared.is_some() => "it is this record's own, or missing".to_owned(),
                Some(_) if record.kind == RecordKind::Fork && record.family.is_some() => {
                    "it is missing, or its family's: `--compared SOURCE` is for those".to_owned()
                }
                Some(_) => "it is missing".to_owned(),
                None => did_you_mean(key, can.keys().map(String::as_str), || {
                    "write a value's key, such as oil.air_gap".to_owned()
                }),
            };
            return Err(NotRecorded::Sentence(format!("the {name} has no value `{}`: {hint}", tame(key))));
        };
        if value.estimate {
            return Err(NotRecorded::Sentence(format!(
                "`{key}` is safety-critical and rests on an estimate, which nobody can vouch for: measure it, or find the maker's sheet"
            )));
        }
        chosen.insert(key.to_owned(), value);
    }
    Ok((chosen, Vec::new()))
}

/// What a review would seal although a rule has something open on it and somebody could be hurt.
pub(super) fn open(
    checked: &Checked,
    record: &SpecRecord,
    chosen: &BTreeMap<String, Candidate<'_>>,
    by: &str,
) -> Option<String> {
    let one_fork = matches!(record.kind, RecordKind::Fork | RecordKind::Build);
    let fork = one_fork.then_some(record.id.text.as_str());
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
