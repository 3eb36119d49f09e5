//! What a rule on one job reads besides it.

use std::collections::{BTreeSet, HashMap};

use crate::check::CheckedFork;
use crate::date::AsOf;
use crate::judge::{ReadingBox, Sheets, boxes};
use crate::plan::{Plan, Plans};
use crate::record::{Job, ReleasedCard};
use crate::resolve::Shop;

/// What a rule on one job reads besides it.
pub(crate) struct Desk<'s> {
    /// The shop.
    pub(crate) shop: &'s Shop,
    /// Its forks.
    pub(crate) forks: &'s [CheckedFork],
    /// What is done on each.
    pub(crate) plans: &'s Plans<'s>,
    /// What each fork asks for.
    pub(crate) sheets: Sheets,
    /// The day the shop is judged on.
    pub(crate) day: Option<AsOf>,
    cards: Cards<'s>,
    boxes: ByService<'s, ReadingBox>,
}

/// A list for each service of each fork, by their ids.
type ByService<'s, T> = HashMap<&'s str, HashMap<&'s str, Vec<T>>>;

fn find<'a, T>(lists: &'a ByService<'_, T>, fork: &str, service: &str) -> &'a [T] {
    lists.get(fork).and_then(|of| of.get(service)).map_or(&[], Vec::as_slice)
}

/// The released cards, by code, and of each fork and service the oldest first.
struct Cards<'s> {
    by_code: HashMap<&'s str, &'s ReleasedCard>,
    of: ByService<'s, &'s ReleasedCard>,
}

impl<'s> Desk<'s> {
    /// The desk of a shop. What several jobs ask for is looked up once.
    pub(super) fn new(
        shop: &'s Shop,
        forks: &'s [CheckedFork],
        plans: &'s Plans<'s>,
        day: Option<AsOf>,
    ) -> Desk<'s> {
        let asking = forks.iter().map(|fork| (fork.resolved.as_ref(), fork.derived.as_ref()));
        let sheets = Sheets::of(shop, asking);
        let mut cards = Cards { by_code: HashMap::new(), of: HashMap::new() };
        for card in &shop.released.cards {
            cards.by_code.entry(&card.card.text).or_insert(card);
            let of_fork = cards.of.entry(&card.fork.text).or_default();
            of_fork.entry(&card.service.text).or_default().push(card);
        }
        let mut desk = Desk { shop, forks, plans, sheets, day, cards, boxes: HashMap::new() };
        let kinds: BTreeSet<(&str, &str)> =
            shop.jobs.iter().map(|job| (job.fork.text.as_str(), job.service.text.as_str())).collect();
        for (fork, service) in kinds {
            let Some(known) = desk.known(fork) else { continue };
            let Some(plan) = desk.plan(known, service) else { continue };
            let boxes = boxes(&shop.catalogue, &known.resolved, plan);
            desk.boxes.entry(fork).or_default().insert(service, boxes);
        }
        desk
    }

    fn known(&self, id: &str) -> Option<&'s CheckedFork> {
        let at = self.forks.binary_search_by(|fork| fork.id.as_str().cmp(id)).ok()?;
        self.forks.get(at)
    }

    /// The fork of a job.
    pub(crate) fn fork(&self, job: &Job) -> Option<&'s CheckedFork> {
        self.known(&job.fork.text)
    }

    /// A service of a fork, walked.
    pub(super) fn plan(&self, fork: &CheckedFork, service: &str) -> Option<&'s Plan<'s>> {
        self.plans.of(fork).iter().find(|plan| plan.service.id.text == service)
    }

    /// The boxes that a job has for readings; none where there is no such fork or service.
    pub(super) fn boxes(&self, job: &Job) -> &[ReadingBox] {
        find(&self.boxes, &job.fork.text, &job.service.text)
    }

    /// The card that was released with a code.
    pub(super) fn card(&self, code: &str) -> Option<&'s ReleasedCard> {
        self.cards.by_code.get(code).copied()
    }

    /// The cards that were released for a fork and a service, oldest first.
    pub(super) fn cards(&self, fork: &str, service: &str) -> &[&'s ReleasedCard] {
        find(&self.cards.of, fork, service)
    }
}
