//! A hazard that some forks have by what they are made of: their services warn of it.

use std::collections::BTreeMap;

use super::alike::alike;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::Plans;
use crate::record::{Caution, Signal};
use crate::resolve::Shop;
use crate::syntax::Scheme;

/// hazard-not-warned: a caution that says for which forks it is stands in some step of the services of each of them.
pub(crate) fn hazards(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, findings: &mut Vec<Finding>) {
    let grave = |caution: &&Caution| !caution.applies.is_always() && caution.signal <= Signal::Warning;
    let mut silent: BTreeMap<&str, Finding> = BTreeMap::new();
    let groups = alike(forks, plans);
    for caution in shop.cautions.iter().filter(grave) {
        for alike in groups.iter().filter(|alike| caution.applies.holds(&alike.first().choices)) {
            let fork = alike.first();
            let services = plans.of(fork);
            // A list that could not be read in full warns of nobody knows what.
            let whole = services.iter().all(|plan| {
                plan.unfilled.is_empty()
                    && plan.service.procedures.iter().all(|id| shop.procedure(&id.text).is_some())
            });
            let warned = services.iter().any(|plan| plan.links_to(Scheme::Caution, &caution.id.text));
            if services.is_empty() || !whole || warned {
                continue;
            }
            let finding = silent.entry(&caution.id.text).or_insert_with(|| not_warned(caution));
            alike.reach(finding);
        }
    }
    findings.extend(silent.into_values());
}

fn not_warned(caution: &Caution) -> Finding {
    let id = &caution.id.text;
    rules::HAZARD_NOT_WARNED
        .at(
            caution.id.span,
            format!("`{id}` ({}) is for forks in whose services no step carries it", caution.signal.word()),
        )
        .bench("the hazard meets somebody who has not been told")
        .instead(format!(
            "put `[…](caution:{id})` into the step where the hazard begins, or correct the caution's `for:`"
        ))
}
