//! What was printed or published from the old shop and no longer says what the sources say.

use std::collections::{BTreeMap, BTreeSet};

use super::change::{Comparison, Stale};
use super::pairs::Pairs;
use crate::book::Book;
use crate::book::links::{card_href, complaint_href, fork_href, oil_href, procedure_href, service_href};
use crate::card::content;
use crate::check::CheckedFork;
use crate::pipeline::Checked;
use crate::review::CardNow;

/// The old shop's cards whose codes the new shop does not have, by fork and service.
pub(super) fn cards(old: &Checked, new: &Checked, pairs: &Pairs<'_>) -> Vec<Stale> {
    let (before, after) = (content::cards(&Book::new(old)), content::cards(&Book::new(new)));
    let now: BTreeMap<(&str, &str), &CardNow> =
        after.iter().map(|card| ((card.fork.as_str(), card.service.as_str()), card)).collect();
    let called: BTreeMap<&str, &str> =
        pairs.both.iter().map(|(was, is)| (was.id.as_str(), is.id.as_str())).collect();
    let mut out = Vec::new();
    for card in before {
        let fork = called.get(card.fork.as_str()).copied();
        let there = fork.and_then(|fork| now.get(&(fork, card.service.as_str())));
        if there.is_some_and(|there| there.card == card.card) {
            continue;
        }
        out.push(Stale {
            now: there.map(|there| there.card.clone()),
            fork: card.fork,
            service: card.service,
            card: card.card,
            values: card.values,
        });
    }
    out.sort();
    out
}

/// The pages that the changes reach, by the addresses they have on the old shop's site.
pub(super) fn pages(old: &Checked, pairs: &Pairs<'_>, comparison: &Comparison) -> Vec<String> {
    let was: BTreeMap<&str, &str> =
        pairs.both.iter().map(|(was, is)| (is.id.as_str(), was.id.as_str())).collect();
    let mut forks: BTreeSet<&str> = comparison.stale.iter().map(|card| card.fork.as_str()).collect();
    let records = comparison.values.iter().map(|change| change.record.as_str());
    let records = records.chain(comparison.records.iter().map(|change| change.record.as_str()));
    let records = records.chain(comparison.outcomes.iter().map(|change| change.record.as_str()));
    let mut named: BTreeSet<&str> = records.filter_map(|record| record.strip_prefix("fork ")).collect();
    named.extend(comparison.values.iter().flat_map(|change| change.reaches.iter().map(String::as_str)));
    forks.extend(named.into_iter().map(|id| was.get(id).copied().unwrap_or(id)));
    // A family's review speaks for the forks that take its values over.
    let families: BTreeSet<&str> =
        comparison.records.iter().filter_map(|change| change.record.strip_prefix("family ")).collect();
    let member = |fork: &&CheckedFork| {
        fork.record.family.as_ref().is_some_and(|id| families.contains(id.text.as_str()))
    };
    forks.extend(old.forks.iter().filter(member).map(|fork| fork.id.as_str()));
    forks.retain(|id| old.fork(id).is_some());

    let mut out: BTreeSet<String> = BTreeSet::new();
    for id in forks {
        out.insert(fork_href(id));
        let Some(fork) = old.fork(id) else { continue };
        let services: Vec<&str> =
            old.shop.services_for(&fork.choices).map(|service| service.id.text.as_str()).collect();
        out.extend(services.iter().map(|service| service_href(id, service)));
        if !fork.record.draft && services.len() > 1 && comparison.stale.iter().any(|card| card.fork == id) {
            out.insert(format!("cards/fork/{id}.html"));
        }
    }
    out.extend(comparison.stale.iter().map(|card| card_href(&card.fork, &card.service)));
    for change in &comparison.values {
        out.extend(change.record.strip_prefix("oil ").map(oil_href));
    }
    let texts = comparison.texts.iter().map(|change| &change.record);
    for record in texts.chain(comparison.guards.iter().map(|change| &change.record)) {
        out.extend(record.strip_prefix("procedure ").map(procedure_href));
        out.extend(record.strip_prefix("complaint ").map(complaint_href));
        if record.starts_with("caution ") {
            out.insert("cautions.html".to_owned());
        }
    }
    out.into_iter().collect()
}
