//! All records of a shop, by kind and by id: what a reference can lead to.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::by_id::ById;
use crate::catalogue::{Catalogue, Choices};
use crate::date::Date;
use crate::picture::PictureFile;
use crate::record::{
    Caution, Complaint, Conditions, Job, Procedure, RecordKind, Released, Reviews, Service, Settings,
    Singled, SpecRecord, Tool, Valving,
};

/// Every record the shop wrote, each list in order of id.
#[derive(Debug, Clone, Default)]
pub struct Shop {
    /// The catalogue, with the shop's own fields.
    pub catalogue: Catalogue,
    /// The shop's own choices.
    pub settings: Settings,
    /// Forks, and the builds over them, which are forks in everything but their own record.
    pub forks: ById<Arc<SpecRecord>>,
    /// Those of the forks that are builds.
    pub builds: Vec<Arc<SpecRecord>>,
    /// Families.
    pub families: ById<Arc<SpecRecord>>,
    /// Oils.
    pub oils: ById<Arc<SpecRecord>>,
    /// Springs that the shop has or can order.
    pub springs: ById<Arc<SpecRecord>>,
    /// Shim stacks.
    pub valvings: ById<Valving>,
    /// Tools and consumables.
    pub tools: ById<Tool>,
    /// Procedures.
    pub procedures: ById<Procedure>,
    /// Services.
    pub services: ById<Service>,
    /// Cautions.
    pub cautions: ById<Caution>,
    /// Complaints.
    pub complaints: ById<Complaint>,
    /// The conditions that procedures need, bring about and end.
    pub conditions: Conditions,
    /// The cards that were released with a review.
    pub released: Released,
    /// Who reviewed which procedures, cautions, conditions and services.
    pub reviews: Reviews,
    /// Jobs: what was found and left, in order of their numbers.
    pub jobs: ById<Arc<Job>>,
    /// The forks, families and makers that texts name under `for:`.
    pub singled: Vec<Singled>,
    /// Its image files, in order of their paths.
    pub pictures: Vec<PictureFile>,
    /// The kinds of record whose folder could not be listed: whatever is referred to may stand there.
    pub unlisted: BTreeSet<RecordKind>,
    /// Every id there is a file for, read or not: a reference to a record that could not be read stays silent.
    pub known: BTreeMap<RecordKind, BTreeSet<String>>,
    /// How many records of each kind could be read.
    pub read: BTreeMap<RecordKind, usize>,
}

impl Shop {
    /// The family of an id.
    pub fn family(&self, id: &str) -> Option<&Arc<SpecRecord>> {
        self.families.find(id)
    }

    /// The oil of an id.
    pub fn oil(&self, id: &str) -> Option<&SpecRecord> {
        self.oils.find(id).map(AsRef::as_ref)
    }

    /// The spring of an id.
    pub fn spring(&self, id: &str) -> Option<&SpecRecord> {
        self.springs.find(id).map(AsRef::as_ref)
    }

    /// Every record that holds values: forks with their builds, families, oils and springs.
    pub fn records(&self) -> impl Iterator<Item = &Arc<SpecRecord>> {
        self.forks.iter().chain(&self.families).chain(&self.oils).chain(&self.springs)
    }

    /// The forks that are no builds: each a model of its maker's.
    pub fn models(&self) -> impl Iterator<Item = &Arc<SpecRecord>> {
        self.forks.iter().filter(|fork| fork.build().is_none())
    }

    /// The builds over a fork.
    pub fn builds_of<'a>(&'a self, fork: &'a str) -> impl Iterator<Item = &'a Arc<SpecRecord>> {
        self.builds.iter().filter(move |record| record.build().is_some_and(|build| build.fork.text == fork))
    }

    /// The fork record of an id.
    pub fn fork(&self, id: &str) -> Option<&SpecRecord> {
        self.forks.find(id).map(AsRef::as_ref)
    }

    /// The tool or consumable of an id.
    pub fn tool(&self, id: &str) -> Option<&Tool> {
        self.tools.find(id)
    }

    /// The procedure of an id.
    pub fn procedure(&self, id: &str) -> Option<&Procedure> {
        self.procedures.find(id)
    }

    /// The caution of an id.
    pub fn caution(&self, id: &str) -> Option<&Caution> {
        self.cautions.find(id)
    }

    /// The service of an id.
    pub fn service(&self, id: &str) -> Option<&Service> {
        self.services.find(id)
    }

    /// The services for a fork with these choices, in order of id.
    pub fn services_for<'a>(&'a self, choices: &'a Choices) -> impl Iterator<Item = &'a Service> {
        self.services.iter().filter(move |service| service.applies.holds(choices))
    }

    /// The day on which a card was released last: by then it is known whose calibration has run out. It stands in the
    /// sources, so the same sources make the same pages, in git or not. `None` where no card was released.
    pub fn last_release(&self) -> Option<Date> {
        self.released.cards.iter().filter_map(|card| Date::read(&card.date.text)).max()
    }

    /// Whether this shop reviews at all: somebody has reviewed something. Until then no value is marked, since
    /// a mark at every number says nothing.
    pub fn is_reviewed(&self) -> bool {
        let mut records = self.records();
        // A comparison alone says nothing of what stands in the record.
        records.any(|record| record.reviewed.iter().any(|review| review.compared.is_none()))
    }

    /// Whether there is a file for a record, whatever its state. Whoever asks for a fork may name a build.
    pub fn knows(&self, kind: RecordKind, id: &str) -> bool {
        let has = |kind: RecordKind| {
            self.unlisted.contains(&kind) || self.known.get(&kind).is_some_and(|ids| ids.contains(id))
        };
        has(kind) || kind == RecordKind::Fork && has(RecordKind::Build)
    }

    /// Whether there is a file for a record of this kind that could not be read.
    pub fn unread(&self, kind: RecordKind) -> bool {
        let written = self.known.get(&kind).map_or(0, BTreeSet::len);
        self.unlisted.contains(&kind) || written > self.read.get(&kind).copied().unwrap_or_default()
    }
}
