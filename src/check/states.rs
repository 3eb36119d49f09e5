//! A gap without its state is no value, and gaps in different states are never compared.

use super::fork::{lower_first, weight};
use crate::catalogue::{Field, Owner, STATE_PARTS};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::text::Span;
use std::collections::BTreeSet;

/// The values that belong together: a target and the range it may be chosen from. Of pressures the rule on
/// pressures allows for the temperature, so that it may differ.
const PAIRS: [(&str, &str); 2] =
    [("oil.air_gap", "oil.air_gap_range"), ("air.main_pressure", "air.main_pressure_range")];

/// The heights of oil that the trade reads in one way on a given leg (common practice, no source). The height inside
/// a cartridge is read as its maker says.
const HEIGHTS: [&str; 3] = ["oil.air_gap", "oil.air_gap_range", "oil.level"];

/// The gaps that are read from the top edge of the tube that stands higher.
const FROM_THE_TOP: [&str; 2] = ["oil.air_gap", "oil.air_gap_range"];

/// Whether two values are said in states that cannot be compared: a part that both name differs.
pub(super) fn differ(a: &Resolved, b: &Resolved) -> Option<&'static str> {
    differ_in(a, b, |_| true)
}

fn differ_in(a: &Resolved, b: &Resolved, counts: impl Fn(&str) -> bool) -> Option<&'static str> {
    STATE_PARTS.iter().map(|part| part.key).filter(|key| counts(key)).find(|key| {
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
            let pressure = shop.catalogue.field(target).group == "air";
            if let Some(part) = differ_in(value, limits, |part| !pressure || part != "temperature") {
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
    rules::STATE_DIFFERS.at(at.entry.span, what)
        .bench("the same oil reads differently in another state, so the two figures say nothing about each other")
        .instead("measure both in one state, or correct the part that is wrong")
        .also(other.entry.span, "said in another state")
}

/// state-unusual: oil heights are read with the leg collapsed, and with the spring out and the rod down where they
/// displace oil; pressures are set with the leg extended and the wheel off the ground (common practice, no source).
pub(super) fn unusual(shop: &Shop, fork: &ResolvedFork, found: &mut Vec<Finding>) {
    let chosen = |choice: &str| fork.choices.get(choice).map_or("", String::as_str);
    let mut seen: BTreeSet<Span> = BTreeSet::new();
    for value in super::fork::each(fork) {
        let field = shop.catalogue.field(value.field);
        let usual: &[(&str, &str, &str)] = if HEIGHTS.contains(&field.key.as_str()) {
            match chosen("springing") {
                // A spring at the foot of the leg stays in it.
                "coil-bottom" => &[("leg", "extended", "collapsed"), ("rod", "up", "down")],
                _ => &[("leg", "extended", "collapsed"), ("spring", "in", "out"), ("rod", "up", "down")],
            }
        } else if field.state.iter().any(|part| part == "wheel") {
            &[("leg", "collapsed", "extended"), ("wheel", "on-ground", "off-ground")]
        } else {
            continue;
        };
        for (part, odd, right) in usual {
            let Some(said) = value.entry.state.get(*part).filter(|said| said.value.is_some()) else {
                continue;
            };
            if said.text.text != *odd
                || told_elsewhere(shop, fork, field, part)
                || !seen.insert(said.text.span)
            {
                continue;
            }
            let how = if field.group == "air" { "set" } else { "read" };
            let (what, bench) = if field.group == "air" {
                (
                    "pressures are",
                    "air that carries the machine’s weight reads higher, and the leg would be filled too little",
                )
            } else {
                ("it is", "a leg that is set to this figure in the usual state holds another amount of oil")
            };
            found.push(
                rules::STATE_UNUSUAL.at(said.text.span,
                    format!(
                        "{} is said with `{part}: {odd}`, and {what} {how} with `{part}: {right}` as a rule",
                        lower_first(&field.title)
                    ),
                )
                .bench(bench)
                .instead(format!(
                    "read the sheet again: `{part}: {right}`, with the figure that belongs to it"
                )),
            );
        }
    }
}

/// Whether a part of a value's state is told of already: where it differs from leg to leg or from a target to its
/// range, and at the target where both say the same.
fn told_elsewhere(shop: &Shop, fork: &ResolvedFork, field: &Field, part: &str) -> bool {
    let target = field.key.strip_suffix("_range").unwrap_or(&field.key);
    let range = format!("{target}_range");
    let said = |key: &str| {
        let id = shop.catalogue.find(key);
        let values = Side::BOTH.into_iter().filter_map(move |side| fork.on(side, id?));
        values
            .filter_map(|value| Some(value.entry.state.get(part)?.text.text.as_str()))
            .collect::<BTreeSet<_>>()
    };
    let (of_target, of_range) = (said(target), said(&range));
    of_target.union(&of_range).count() > 1 || field.key == range && !of_target.is_empty()
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
            let severity = weight(fork).max(crate::diagnostic::Severity::Warning);
            let what = format!(
                "{} of such a leg is read from the {tube}'s top edge, not from `{}`",
                lower_first(&field.title),
                said.text.text
            );
            found.push(
                rules::STATE_EDGE
                    .graded(severity, said.text.span, what)
                    .bench("the gap would be wrong by as much as the one tube stands above the other")
                    .instead(format!("write `edge: {edge}`, or correct the fork's orientation")),
            );
        }
    }
}
