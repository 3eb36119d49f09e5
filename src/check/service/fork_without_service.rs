//! Every published fork can be worked on.

use crate::check::CheckedFork;
use crate::check::look::head;
use crate::diagnostic::{Finding, rules};
use crate::record::RecordKind;
use crate::resolve::Shop;

/// fork-without-service: every published fork can be worked on.
pub(crate) fn services(shop: &Shop, forks: &[CheckedFork], findings: &mut Vec<Finding>) {
    for fork in forks {
        let undecided =
            |service: &crate::record::Service| service.applies.undecided(&fork.choices, &fork.open);
        let unread = shop.unread(RecordKind::Service);
        if fork.record.draft
            || unread
            || fork.family_lost
            || shop
                .services
                .iter()
                .any(|service| undecided(service) || service.applies.unsound(&shop.catalogue.choices))
            || shop.services_for(&fork.choices).next().is_some()
        {
            continue;
        }
        findings.push(
            rules::FORK_WITHOUT_SERVICE
                .at(head(fork), format!("no service is for `{}`", fork.id))
                .bench("it gets a page but no bench card")
                .instead("add a service whose `for:` fits this fork's choices"),
        );
    }
}
