//! Builds: a fork's record with a spring of the stock and a build's own values laid over it.

use std::sync::Arc;

use super::shop::Shop;
use crate::catalogue::{Catalogue, Key, key};
use crate::record::{Beside, Build, RecordKind, SpecLine, SpecRecord, Stack};

/// What a spring of the stock is called in its own record, and in the fork that it is fitted to.
pub(crate) const SPRING_IN_FORK: [(Key, Key); 7] = [
    (key::COIL_RATE, key::SPRING_RATE),
    (key::COIL_FREE_LENGTH, key::SPRING_FREE_LENGTH),
    (key::COIL_SOLID_LENGTH, key::SPRING_SOLID_LENGTH),
    (key::COIL_MASS, key::SPRING_MASS),
    (key::COIL_WIRE_DIAMETER, key::SPRING_WIRE_DIAMETER),
    (key::COIL_MEAN_DIAMETER, key::SPRING_MEAN_DIAMETER),
    (key::COIL_ACTIVE_COILS, key::SPRING_ACTIVE_COILS),
];

impl Shop {
    /// A build is called after its fork, is of its family, and a draft where that is one.
    pub(crate) fn complete_builds(&mut self) {
        if self.forks.iter().all(|record| record.build().is_none()) {
            return;
        }
        let all = std::mem::take(&mut self.forks);
        let models: Vec<Arc<SpecRecord>> = all.iter().filter(|one| one.build().is_none()).cloned().collect();
        let complete = |mut record: Arc<SpecRecord>| {
            let Some(over) = record.build().map(|build| build.fork.text.clone()) else { return record };
            let fitted = record.build().map(|build| (self.fitted(build), self.stacks(build)));
            if let Beside::Build(build) = &mut Arc::make_mut(&mut record).beside {
                (build.fitted, build.stacks) = fitted.unwrap_or_default();
            }
            if let Some(fork) = models.iter().find(|fork| fork.id.text == over) {
                over_fork(Arc::make_mut(&mut record), fork);
            }
            record
        };
        self.forks = all.into_records().map(complete).collect();
        self.builds = self.forks.iter().filter(|record| record.build().is_some()).cloned().collect();
    }

    /// The spring and the valving of a build, in words.
    fn fitted(&self, build: &Build) -> Vec<String> {
        let spring = build.spring.as_ref().and_then(|id| self.spring(&id.text)).map(|spring| {
            let number = match &spring.beside {
                Beside::Spring(stock) => stock.part_number.as_ref(),
                _ => None,
            };
            let number = number.map(|number| format!(" (no. {})", number.text)).unwrap_or_default();
            format!("spring {}{number}", spring.title())
        });
        let valving = build.valving.as_ref().and_then(|id| self.valvings.find(&id.text));
        spring.into_iter().chain(valving.map(|valving| format!("shims “{}”", valving.title))).collect()
    }

    /// The stacks of a build's valving as they are in the legs.
    fn stacks(&self, build: &Build) -> Vec<String> {
        let valving = build.valving.as_ref().and_then(|id| self.valvings.find(&id.text));
        valving.into_iter().flat_map(|valving| valving.stacks.iter().map(Stack::told)).collect()
    }

    /// The fork that a build is over; `None` for a fork, and where there is none.
    pub fn built_over(&self, record: &SpecRecord) -> Option<&Arc<SpecRecord>> {
        let over = self.forks.find(&record.build()?.fork.text)?;
        over.build().is_none().then_some(over)
    }

    /// The records whose values lie under a fork's own, the lowest first: its family, and for a build the fork, and
    /// the spring that is fitted.
    pub(super) fn under(&self, record: &SpecRecord) -> Vec<Arc<SpecRecord>> {
        let family = record.family.as_ref().and_then(|id| self.family(&id.text)).cloned();
        let fork = self.built_over(record).cloned();
        let spring = record.build().and_then(|build| self.spring(&build.spring.as_ref()?.text));
        let spring = spring.map(|spring| Arc::new(in_fork(&self.catalogue, spring)));
        family.into_iter().chain(fork).chain(spring).collect()
    }
}

fn over_fork(record: &mut SpecRecord, fork: &SpecRecord) {
    let Beside::Build(build) = &mut record.beside else { return };
    build.over = fork.title();
    record.maker.clone_from(&fork.maker);
    record.model = format!("{}, build “{}”", fork.model, build.title);
    record.family.clone_from(&fork.family);
    record.draft |= fork.draft;
}

/// A spring's record with its values under the names they have in a fork.
fn in_fork(catalogue: &Catalogue, spring: &SpecRecord) -> SpecRecord {
    debug_assert!(spring.kind == RecordKind::Spring);
    let named = |line: &SpecLine| {
        let (_, to) = SPRING_IN_FORK.iter().find(|(from, _)| from.id() == line.field)?;
        debug_assert!(catalogue.field(to.id()).key.starts_with("spring."));
        Some(SpecLine { field: to.id(), ..line.clone() })
    };
    SpecRecord { values: spring.values.iter().filter_map(named).collect(), ..spring.clone() }
}
