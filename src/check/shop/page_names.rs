//! Ids of which pages get their names: each a name that every file system takes, and no two the same.

use std::collections::BTreeMap;

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::record::{Text, is_id};
use crate::resolve::Shop;
use crate::review::HANG;
use crate::text::names::name_problem;

const BENCH: &str =
    "the site could not be published, or a page could be found on one computer and not on another";

/// page-name: every page has a name of its own that every file system takes.
pub(crate) fn names(shop: &Shop, forks: &[CheckedFork], found: &mut Vec<Finding>) {
    let listed = |id: &str| (id == "index").then_some("is the name of the list of all of them");
    let of_forks = forks.iter().map(|fork| (&fork.record.id, None));
    let wall = |id: &str| (id == HANG).then_some("is the name of a fork's hang card");
    let of_services = shop.services.iter().map(|service| (&service.id, wall(&service.id.text)));
    let of_procedures = shop.procedures.iter().map(|one| (&one.id, listed(&one.id.text)));
    let of_oils = shop.oils.iter().map(|oil| (&oil.id, listed(&oil.id.text)));
    let all = of_forks.chain(of_services).chain(of_procedures).chain(of_oils);
    for (id, taken) in all.filter(|(id, _)| is_id(&id.text)) {
        if let Some(problem) = taken.or_else(|| name_problem(&format!("{}.html", id.text))) {
            found.push(finding(id, &format!("`{}` cannot name a page: it {problem}", short(&id.text))));
        }
    }
    cards(shop, forks, found);
}

/// A card's page is named after its fork and its service.
fn cards(shop: &Shop, forks: &[CheckedFork], found: &mut Vec<Finding>) {
    let mut names: BTreeMap<String, (&Text, &Text)> = BTreeMap::new();
    for fork in forks {
        let id = &fork.record.id;
        for service in shop.services_for(&fork.choices) {
            let name = format!("{}--{}.html", id.text, service.id.text);
            let alone = |text: &str| name_problem(&format!("{text}.html")).is_none();
            if let (Some(problem), true, true) =
                (name_problem(&name), alone(&id.text), alone(&service.id.text))
            {
                let (fork, service) = (short(&id.text), short(&service.id.text));
                found.push(finding(
                    id,
                    &format!("`{fork}` and the service `{service}` cannot name a card: it {problem}"),
                ));
            }
            if let Some((other, service)) =
                names.insert(name, (id, &service.id)).filter(|(other, _)| *other != id)
            {
                let (this, that) = (short(&id.text), short(&other.text));
                found.push(
                    finding(
                        id,
                        &format!(
                            "a card of `{this}` would have the name of the card of `{that}` for `{}`",
                            short(&service.text)
                        ),
                    )
                    .also(other.span, "named here"),
                );
            }
        }
    }
}

fn finding(id: &Text, message: &str) -> Finding {
    rules::PAGE_NAME
        .at(id.span, message)
        .bench(BENCH)
        .instead("give it another id, and name its file the same, such as `tarn-41`")
}

/// A long id cut short, for a message.
fn short(id: &str) -> String {
    match id.get(..40) {
        Some(begin) if id.len() > 43 => format!("{begin}…"),
        _ => id.to_owned(),
    }
}
