//! All records of a shop, by kind and by id: what a reference can lead to.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::catalogue::{Catalogue, Choices};
use crate::record::{
    Caution, Conditions, Procedure, RecordKind, Released, Service, Settings, SpecRecord, Tool,
};

/// Every record the shop wrote, each list sorted by id.
#[derive(Debug, Clone, Default)]
pub struct Shop {
    /// The catalogue, with the shop's own fields.
    pub catalogue: Catalogue,
    /// The shop's own choices.
    pub settings: Settings,
    /// Forks.
    pub forks: Vec<Arc<SpecRecord>>,
    /// Families.
    pub families: Vec<Arc<SpecRecord>>,
    /// Oils.
    pub oils: Vec<Arc<SpecRecord>>,
    /// Tools and consumables.
    pub tools: Vec<Tool>,
    /// Procedures.
    pub procedures: Vec<Procedure>,
    /// Services.
    pub services: Vec<Service>,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// The conditions that procedures need, bring about and end.
    pub conditions: Conditions,
    /// The cards that were released with a review.
    pub released: Released,
    /// The kinds of record whose folder could not be listed: whatever is referred to may stand there.
    pub unlisted: BTreeSet<RecordKind>,
    /// Every id there is a file for, read or not: a reference to a record that could not be read stays silent.
    pub known: BTreeMap<RecordKind, BTreeSet<String>>,
}

impl Shop {
    /// The family of an id.
    pub fn family(&self, id: &str) -> Option<&Arc<SpecRecord>> {
        find(&self.families, id, |record| &record.id.text)
    }

    /// The oil of an id.
    pub fn oil(&self, id: &str) -> Option<&SpecRecord> {
        find(&self.oils, id, |record| &record.id.text).map(AsRef::as_ref)
    }

    /// The fork record of an id.
    pub fn fork(&self, id: &str) -> Option<&SpecRecord> {
        find(&self.forks, id, |record| &record.id.text).map(AsRef::as_ref)
    }

    /// The tool or consumable of an id.
    pub fn tool(&self, id: &str) -> Option<&Tool> {
        find(&self.tools, id, |tool| &tool.id.text)
    }

    /// The procedure of an id.
    pub fn procedure(&self, id: &str) -> Option<&Procedure> {
        find(&self.procedures, id, |procedure| &procedure.id.text)
    }

    /// The caution of an id.
    pub fn caution(&self, id: &str) -> Option<&Caution> {
        find(&self.cautions, id, |caution| &caution.id.text)
    }

    /// The service of an id.
    pub fn service(&self, id: &str) -> Option<&Service> {
        find(&self.services, id, |service| &service.id.text)
    }

    /// The services for a fork with these choices, in order of id.
    pub fn services_for<'a>(&'a self, choices: &'a Choices) -> impl Iterator<Item = &'a Service> {
        self.services.iter().filter(move |service| service.applies.holds(choices))
    }

    /// Whether this shop reviews at all: somebody has reviewed something. Until then no value is marked, since
    /// a mark at every number says nothing.
    pub fn is_reviewed(&self) -> bool {
        let mut records = self.forks.iter().chain(&self.families).chain(&self.oils);
        records.any(|record| !record.reviewed.is_empty())
    }

    /// Whether there is a file for a record, whatever its state.
    pub fn knows(&self, kind: RecordKind, id: &str) -> bool {
        self.unlisted.contains(&kind) || self.known.get(&kind).is_some_and(|ids| ids.contains(id))
    }

    /// Whether there is a file for a record of this kind that could not be read.
    pub fn unread(&self, kind: RecordKind) -> bool {
        let read = match kind {
            RecordKind::Shop => return false,
            RecordKind::Fork => self.forks.len(),
            RecordKind::Family => self.families.len(),
            RecordKind::Oil => self.oils.len(),
            RecordKind::Tool => self.tools.len(),
            RecordKind::Procedure => self.procedures.len(),
            RecordKind::Service => self.services.len(),
            RecordKind::Caution => self.cautions.len(),
            RecordKind::Conditions => usize::from(self.conditions.file.is_some()),
            RecordKind::Released => usize::from(self.released.file.is_some()),
        };
        self.unlisted.contains(&kind) || self.known.get(&kind).map_or(0, BTreeSet::len) > read
    }

    /// Sorts every list by id, so that the look-ups work and output does not depend on reading order.
    pub fn sort(&mut self) {
        self.forks.sort_by(|a, b| a.id.text.cmp(&b.id.text));
        self.families.sort_by(|a, b| a.id.text.cmp(&b.id.text));
        self.oils.sort_by(|a, b| a.id.text.cmp(&b.id.text));
        self.tools.sort_by(|a, b| a.id.text.cmp(&b.id.text));
        self.procedures.sort_by(|a, b| a.id.text.cmp(&b.id.text));
        self.services.sort_by(|a, b| a.id.text.cmp(&b.id.text));
        self.cautions.sort_by(|a, b| a.id.text.cmp(&b.id.text));
    }
}

fn find<'a, T>(list: &'a [T], id: &str, key: impl Fn(&T) -> &String) -> Option<&'a T> {
    list.binary_search_by(|item| key(item).as_str().cmp(id)).ok().and_then(|at| list.get(at))
}
