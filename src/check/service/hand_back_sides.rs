//! What must hold at hand-back is said by the condition and by the list: both say the same.

use super::condition_words::{otherwise, quoted};
use crate::check::shop::links::dangling;
use crate::diagnostic::{Finding, rules};
use crate::record::{Condition, RecordKind, Text};
use crate::resolve::Shop;

/// The word for every service.
const EVERY: &str = "every";

/// hand-back-one-sided: a condition that says which services ask for it at hand-back is asked for by these and no
/// others.
pub(crate) fn sides(shop: &Shop, findings: &mut Vec<Finding>) {
    for condition in shop.conditions.list.iter().filter(|condition| !condition.hand_back.is_empty()) {
        for service in &condition.hand_back {
            findings.extend(not_asked(shop, condition, service));
            if service.text != EVERY {
                dangling(shop, RecordKind::Service, &service.text, service.span, findings);
            }
        }
        findings.extend(
            asked(shop, condition).into_iter().map(|(list, name)| unsaid(shop, condition, &list, name)),
        );
    }
}

/// A service that should ask and does not.
fn not_asked(shop: &Shop, condition: &Condition, service: &Text) -> Option<Finding> {
    let id = &condition.id.text;
    let (list, which) = match service.text.as_str() {
        EVERY => (&shop.conditions.hand_back, "every service".to_owned()),
        one => (&shop.service(one)?.hand_back, format!("`{one}`")),
    };
    if list.iter().any(|name| name.text == *id) {
        return None;
    }
    let message = format!(
        "{} is to hold at the end of {which}, whose `hand_back:` does not ask for it",
        quoted(condition)
    );
    Some(
        rules::HAND_BACK_ONE_SIDED
            .at(service.span, message)
            .bench(harm(shop, condition))
            .instead(format!("put `{id}` under `hand_back:` of {which}")),
    )
}

/// Where a condition is asked for and does not say so: the service's name in it, and the place.
fn asked<'s>(shop: &'s Shop, condition: &Condition) -> Vec<(String, &'s Text)> {
    let common = [(EVERY.to_owned(), &shop.conditions.hand_back)];
    let services = shop.services.iter().map(|service| (service.id.text.clone(), &service.hand_back));
    let unsaid = |(name, list): (String, &'s Vec<Text>)| {
        let says = condition.hand_back.iter().any(|said| said.text == name);
        let asks = list.iter().find(|id| id.text == condition.id.text)?;
        (!says).then_some((name, asks))
    };
    common.into_iter().chain(services).filter_map(unsaid).collect()
}

fn unsaid(shop: &Shop, condition: &Condition, service: &str, name: &Text) -> Finding {
    let message =
        format!("{} is asked for here, and the condition does not name `{service}`", quoted(condition));
    rules::HAND_BACK_ONE_SIDED
        .at(name.span, message)
        .bench(harm(shop, condition))
        .instead(format!("put `{service}` under `hand_back:` of the condition `{}`", condition.id.text))
        .also(condition.id.span, "the condition")
}

fn harm(shop: &Shop, condition: &Condition) -> String {
    otherwise(shop, &condition.id.text)
        .unwrap_or_else(|| "what was undone for the work is forgotten, and the machine goes out".to_owned())
}
