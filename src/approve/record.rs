//! The record that is meant, what it reaches, and what stands in the way of reviewing it.

use std::sync::Arc;

use super::request::{NotRecorded, tame};
use crate::check::Reach;
use crate::diagnostic::{Finding, Severity, did_you_mean};
use crate::pipeline::Checked;
use crate::record::{RecordKind, SpecRecord};
use crate::resolve::Shop;

/// The record of an id, which may say its kind before a colon.
pub(super) fn record<'s>(shop: &'s Shop, name: &str) -> Result<&'s SpecRecord, NotRecorded> {
    let kinds = [
        (RecordKind::Fork, &shop.forks),
        (RecordKind::Family, &shop.families),
        (RecordKind::Oil, &shop.oils),
        (RecordKind::Spring, &shop.springs),
    ];
    let (kind, id) = name.split_once(':').map_or((None, name), |(kind, id)| (Some(kind), id));
    let fits = |record: &&SpecRecord| kind.is_none_or(|kind| kind == record.kind.word());
    let records: Vec<&SpecRecord> = kinds
        .iter()
        .flat_map(|(_, list)| list.iter().map(AsRef::as_ref))
        .filter(fits)
        .filter(|record| record.id.text == id)
        .collect();
    match records.as_slice() {
        [record] => Ok(record),
        [] => {
            let ids = kinds.iter().flat_map(|(_, list)| list.iter()).map(|record| record.id.text.as_str());
            let hint = did_you_mean(id, ids, || {
                "name a fork, a build, a family, an oil or a spring by its id".to_owned()
            });
            Err(NotRecorded::Sentence(format!("there is no record `{}` here: {hint}", tame(name))))
        }
        several => {
            let names: Vec<String> =
                several.iter().map(|record| format!("`{}:{id}`", record.kind.word())).collect();
            Err(NotRecorded::Sentence(format!(
                "`{id}` is the name of several records: say {}",
                names.join(" or ")
            )))
        }
    }
}

/// The errors that leave a record's values in doubt: in its own file, in the shop's settings, and in what the pages
/// and cards of the forks that it reaches rest on.
pub(super) fn errors_of(checked: &Checked, record: &SpecRecord) -> Vec<Finding> {
    let reached = reached(&checked.shop, record);
    let forks = reached.iter().filter_map(|id| checked.fork(id));
    let reach: Vec<Reach> = forks.map(|fork| Reach::of(&checked.shop, fork, &checked.files)).collect();
    let common = |path: &str| ["specs/shop.yaml", "specs/released.yaml"].contains(&path);
    let concerns = |finding: &&Finding| {
        let file = finding.span.file;
        finding.severity == Severity::Error
            && (file == record.file
                || common(&checked.files.get(file).path)
                || reach.iter().any(|reach| reach.takes(finding, &checked.files)))
    };
    checked.findings.iter().filter(concerns).cloned().collect()
}

/// The forks that a record's values reach.
pub(super) fn reached(shop: &Shop, record: &SpecRecord) -> Vec<String> {
    match record.kind {
        RecordKind::Fork => {
            let builds = shop.builds_of(&record.id.text).map(|build| build.id.text.clone());
            std::iter::once(record.id.text.clone()).chain(builds).collect()
        }
        RecordKind::Build => vec![record.id.text.clone()],
        RecordKind::Spring => {
            let fitted = |fork: &&Arc<SpecRecord>| {
                let spring = fork.build().and_then(|build| build.spring.as_ref());
                spring.is_some_and(|id| id.text == record.id.text)
            };
            shop.forks.iter().filter(fitted).map(|fork| fork.id.text.clone()).collect()
        }
        RecordKind::Family => {
            let named =
                |fork: &&Arc<SpecRecord>| fork.family.as_ref().is_some_and(|id| id.text == record.id.text);
            shop.forks.iter().filter(named).map(|fork| fork.id.text.clone()).collect()
        }
        _ => Vec::new(),
    }
}
