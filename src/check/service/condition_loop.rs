//! Implications do not run in a circle.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnostic::{Finding, rules};
use crate::record::{Condition, Text};
use crate::resolve::Shop;

/// condition-loop: no condition implies itself through others.
pub(crate) fn loops(shop: &Shop, findings: &mut Vec<Finding>) {
    let index: BTreeMap<&str, &Condition> =
        shop.conditions.list.iter().map(|condition| (condition.id.text.as_str(), condition)).collect();
    let mut done: BTreeSet<&str> = BTreeSet::new();
    for condition in &shop.conditions.list {
        // Depth first without recursion, since a chain may be as long as the file.
        let mut path: Vec<(&Condition, usize)> = vec![(condition, 0)];
        let mut on_path: BTreeSet<&str> = BTreeSet::from([condition.id.text.as_str()]);
        while let Some((at, next)) = path.last_mut() {
            let Some(name) = at.implies.get(*next) else {
                done.insert(&at.id.text);
                on_path.remove(at.id.text.as_str());
                path.pop();
                continue;
            };
            *next += 1;
            if on_path.contains(name.text.as_str()) {
                let from = path.iter().position(|(on, _)| on.id.text == name.text).unwrap_or(0);
                let round: Vec<&str> = path[from..].iter().map(|(on, _)| on.id.text.as_str()).collect();
                findings.push(looped(name, &round));
            } else if let Some(next) =
                index.get(name.text.as_str()).filter(|next| !done.contains(next.id.text.as_str()))
            {
                on_path.insert(&next.id.text);
                path.push((next, 0));
            }
        }
    }
}

fn looped(name: &Text, round: &[&str]) -> Finding {
    let shown = if round.len() > 5 { &round[..5] } else { round };
    let mut way = shown.join("` implies `");
    if round.len() > shown.len() {
        way.push_str(&format!("` implies {} others, the last of which implies `", round.len() - shown.len()));
        way.push_str(&name.text);
    } else {
        way.push_str("` implies `");
        way.push_str(&name.text);
    }
    rules::CONDITION_LOOP
        .at(name.span, format!("implications run in a circle: `{way}`"))
        .bench("conditions that imply each other cannot be told apart, so neither guards anything")
        .instead("take out the one of these that does not follow, or make the conditions one")
}
