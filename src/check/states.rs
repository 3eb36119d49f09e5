//! A gap without its state is no value, and gaps in different states are never compared.

use super::fork::{lower_first, weight};
use crate::catalogue::{Field, Owner, STATE_PARTS};
use crate::diagnostic::Finding;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};

/// The values that belong together: a target and the range it may be chosen from. Pressures are compared
/// by the rule on pressures, which allows for their temperature.
const PAIRS: [(&str, &str); 1] = [("oil.air_gap", "oil.air_gap_range")];

/// The gaps that are read from the top edge of the tube that stands higher.
const FROM_THE_TOP: [&str; 2] = ["oil.air_gap", "oil.air_gap_range"];

/// Whether two values are said in states that cannot be compared: a part that both name differs.
pub(super) fn differ(a: &Resolved, b: &Resolved) -> Option<&'static str> {
    STATE_PARTS.iter().map(|part| part.key).find(|key| {
        match (a.entry.state.get(*key), b.entry.state.get(*key)) {
            (Some(one), Some(other)) => {
                one.value.is_some() && other.value.is_some() && one.value != other.value
            }
            _ => false,
        }
    })
}

/// state-differs: left and right, or a target and its range, are said in one state.
pub(super) fn differing(shop: &Shop, fork: &ResolvedFork, found: &mut Vec<Finding>) {
    for (id, field) in shop.catalogue.of(Owner::Fork) {
        let (Some(left), Some(right)) = (fork.legs[0].values.get(&id), fork.legs[1].values.get(&id)) else {
            continue;
        };
        if let Some(part) = differ(left, right) {
            let what =
                format!("left and right of {} differ in their state: {part}", lower_first(&field.title));
            found.push(finding(what, right, left));
        }
    }
    for (target, range) in PAIRS {
        let (Some(target), Some(range)) = (shop.catalogue.find(target), shop.catalogue.find(range)) else {
            continue;
        };
        for side in Side::BOTH {
            let (Some(value), Some(limits)) = (fork.on(side, target), fork.on(side, range)) else { continue };
            if let Some(part) = differ(value, limits) {
                let title = lower_first(&shop.catalogue.field(target).title);
                found.push(finding(
                    format!("{title} and its range differ in their state: {part}"),
                    limits,
                    value,
                ));
            }
        }
    }
}

fn finding(what: String, at: &Resolved, other: &Resolved) -> Finding {
    Finding::error("state-differs", at.entry.span, what)
        .bench("the same oil reads differently in another state, so the two figures say nothing about each other")
        .instead("measure both in one state, or correct the part that is wrong")
        .also(other.entry.span, "said in another state")
}

/// state-edge: the air gap is read from the outer tube's top on an inverted leg, and from the stanchion's
/// on a conventional one (common practice, no source).
pub(super) fn edges(shop: &Shop, fork: &ResolvedFork, found: &mut Vec<Finding>) {
    let (edge, tube) = match fork.choices.get("orientation").map(String::as_str) {
        Some("inverted") => ("outer-tube-top", "outer tube"),
        Some("conventional") => ("stanchion-top", "stanchion"),
        _ => return,
    };
    for key in FROM_THE_TOP {
        let Some(id) = shop.catalogue.find(key) else { continue };
        let field: &Field = shop.catalogue.field(id);
        for side in Side::BOTH {
            let Some(said) = fork.on(side, id).and_then(|value| value.entry.state.get("edge")) else {
                continue;
            };
            if said.value.is_none() || said.text.text == edge {
                continue;
            }
            let severity = weight(shop, fork).max(crate::diagnostic::Severity::Warning);
            let what = format!(
                "{} of such a leg is read from the {tube}'s top edge, not from `{}`",
                lower_first(&field.title),
                said.text.text
            );
            found.push(
                Finding::new("state-edge", severity, said.text.span, what)
                    .bench("the gap would be wrong by as much as the one tube stands above the other")
                    .instead(format!("write `edge: {edge}`, or correct the fork's orientation")),
            );
        }
    }
}
