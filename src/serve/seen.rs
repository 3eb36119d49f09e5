//! What is seen at a time: the last good pages, what was found since, and what of it no longer holds.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rayon::prelude::*;

use super::edition::Edition;
use crate::book::facts::tables_in_short;
use crate::catalogue::Field;
use crate::compare::compare;
use crate::diagnostic::{Finding, Places, Severity};
use crate::pipeline::Checked;
use crate::record::{RecordKind, SpecRecord, stem};
use crate::resolve::Shop;
use crate::text::{FileId, Span};

/// A finding as a page tells it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Told {
    pub(super) severity: Severity,
    /// `specs/forks/tarn-41.yaml:12:8`.
    pub(super) place: String,
    pub(super) message: String,
    pub(super) instead: String,
    /// The value it speaks of; empty where it speaks of none.
    pub(super) key: String,
    /// The forks whose pages it belongs on; none: the whole shop's.
    pub(super) forks: BTreeSet<String>,
}

/// What no longer holds of a fork.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Struck {
    /// Every number: its record cannot be read.
    All,
    /// These values, by key.
    Keys(BTreeSet<String>),
}

/// What no longer holds of the last good pages.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Gone {
    /// By fork.
    pub(super) numbers: BTreeMap<String, Struck>,
    /// By fork, the values whose tables on a card say something else now: what is worked out hangs on more values than
    /// the one at which it stands.
    pub(super) tables: BTreeMap<String, BTreeSet<String>>,
}

/// What is seen at a time.
#[derive(Default)]
pub(super) struct Seen {
    /// Counts every change of it.
    pub(super) number: u64,
    /// The last good pages.
    pub(super) edition: Option<Arc<Edition>>,
    /// What they were made from.
    pub(super) good: Option<Arc<Checked>>,
    /// Whether the sources have an error, so that the pages are out of date.
    pub(super) error: bool,
    /// Whether the shop's folder is not there.
    pub(super) gone: bool,
    pub(super) findings: Vec<Told>,
    /// Of the pages that are out of date.
    pub(super) struck: Gone,
}

impl Seen {
    /// The sources have no error: their pages are shown.
    pub(super) fn good(&self, checked: &Arc<Checked>, edition: Arc<Edition>) -> Seen {
        edition.begin(Arc::clone(checked));
        Seen {
            number: self.number + 1,
            edition: Some(edition),
            good: Some(Arc::clone(checked)),
            findings: told(checked),
            ..Seen::default()
        }
    }

    /// The sources have an error: the last good pages stay.
    pub(super) fn bad(&self, checked: &Checked) -> Seen {
        Seen {
            number: self.number + 1,
            edition: self.edition.clone(),
            good: self.good.clone(),
            error: true,
            gone: false,
            findings: told(checked),
            struck: self.good.as_ref().map(|good| gone(good, checked)).unwrap_or_default(),
        }
    }

    /// The shop's folder has gone: the last good pages stay.
    pub(super) fn without_folder(&self) -> Seen {
        Seen {
            number: self.number + 1,
            edition: self.edition.clone(),
            good: self.good.clone(),
            error: true,
            gone: true,
            ..Seen::default()
        }
    }
}

/// The key of the value at a place of a record; empty where there is none.
fn key_at(checked: &Checked, record: &SpecRecord, place: Span) -> String {
    let inside = |span: Span| place.start >= span.start && place.end <= span.end;
    let line = record.values.iter().find(|line| inside(line.span));
    line.map(|line| checked.shop.catalogue.field(line.field).key.clone()).unwrap_or_default()
}

/// The forks of which records tell: a fork with the builds over it, a family with its forks.
struct Tells<'s> {
    builds: BTreeMap<&'s str, Vec<&'s str>>,
    members: BTreeMap<&'s str, Vec<&'s str>>,
}

impl<'s> Tells<'s> {
    fn of(shop: &'s Shop) -> Tells<'s> {
        let mut tells = Tells { builds: BTreeMap::new(), members: BTreeMap::new() };
        for fork in &shop.forks {
            let id = fork.id.text.as_str();
            if let Some(build) = fork.build() {
                tells.builds.entry(&build.fork.text).or_default().push(id);
            }
            if let Some(family) = &fork.family {
                tells.members.entry(&family.text).or_default().push(id);
            }
        }
        tells
    }

    /// The forks of which a record tells, by its path.
    fn forks(&self, path: &str) -> BTreeSet<String> {
        let id = stem(path);
        let (own, listed) = match RecordKind::of(path) {
            Some(RecordKind::Build) => (Some(id), None),
            Some(RecordKind::Fork) => (Some(id), self.builds.get(id)),
            Some(RecordKind::Family) => (None, self.members.get(id)),
            _ => (None, None),
        };
        own.into_iter().chain(listed.into_iter().flatten().copied()).map(str::to_owned).collect()
    }
}

fn told(checked: &Checked) -> Vec<Told> {
    // So many at once that the places of a file are counted once.
    const TOGETHER: usize = 128;
    let records = checked.shop.forks.iter().chain(&checked.shop.families);
    let records: BTreeMap<FileId, &Arc<SpecRecord>> = records.map(|record| (record.file, record)).collect();
    let tells = Tells::of(&checked.shop);
    let tell = |places: &mut Places<'_>, finding: &Finding| {
        let (place, _) = places.underlined(finding.span);
        let path = &checked.files.get(finding.span.file).path;
        let record = records.get(&finding.span.file);
        Told {
            severity: finding.severity,
            place: format!("{path}:{}:{}", place.line, place.column),
            message: finding.message.clone(),
            instead: finding.instead.clone(),
            key: record.map(|record| key_at(checked, record, finding.span)).unwrap_or_default(),
            forks: tells.forks(path),
        }
    };
    let together = |findings: &[Finding]| {
        let mut places = Places::new(&checked.files);
        findings.iter().map(|finding| tell(&mut places, finding)).collect::<Vec<_>>()
    };
    checked.findings.par_chunks(TOGETHER).flat_map_iter(together).collect()
}

/// What no longer holds: the numbers, and the tables that were worked out from them.
fn gone(good: &Checked, bad: &Checked) -> Gone {
    let numbers = struck(good, bad);
    let tables = numbers.keys().map(|id| (id.clone(), tables(good, bad, id))).collect();
    Gone { numbers, tables }
}

/// The values of a fork whose tables on a card say something else now.
fn tables(good: &Checked, bad: &Checked, id: &str) -> BTreeSet<String> {
    let Some(was) = good.fork(id) else { return BTreeSet::new() };
    let is_another = |field: &&Field| {
        let then = tables_in_short(&good.shop, was, field);
        !then.is_empty() && bad.fork(id).is_none_or(|is| tables_in_short(&bad.shop, is, field) != then)
    };
    let fields = good.shop.catalogue.iter().map(|(_, field)| field);
    fields.filter(is_another).map(|field| field.key.clone()).collect()
}

/// The numbers that no longer hold, by fork.
fn struck(good: &Checked, bad: &Checked) -> BTreeMap<String, Struck> {
    let mut out: BTreeMap<String, Struck> = BTreeMap::new();
    let mut strike = |fork: &str, key: &str| {
        let entry = out.entry(fork.to_owned()).or_insert_with(|| Struck::Keys(BTreeSet::new()));
        match entry {
            Struck::Keys(_) if key.is_empty() => *entry = Struck::All,
            Struck::Keys(keys) => drop(keys.insert(key.to_owned())),
            Struck::All => {}
        }
    };
    let tells = Tells::of(&good.shop);
    for change in compare(good, bad).values {
        let (kind, id) = change.record.split_once(' ').unwrap_or(("", ""));
        let forks = match kind {
            "fork" => BTreeSet::from([id.to_owned()]),
            "family" => tells.forks(&RecordKind::Family.path(id)),
            _ => BTreeSet::new(),
        };
        for fork in forks {
            strike(&fork, &change.key);
        }
    }
    for finding in told(bad).into_iter().filter(|finding| finding.severity == Severity::Error) {
        for fork in finding.forks.iter().filter(|_| !finding.key.is_empty()) {
            strike(fork, &finding.key);
        }
    }
    // A record that cannot be read at all is not there any more.
    for fork in &good.forks {
        if bad.fork(&fork.id).is_none() {
            strike(&fork.id, "");
        }
    }
    out
}
