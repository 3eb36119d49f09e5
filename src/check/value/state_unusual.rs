//! A state in which the trade does not read such a value.

use std::collections::BTreeSet;

use crate::catalogue::Field;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::text::Span;
use crate::words::lower_first;

/// The heights of oil that the trade reads in one way on a given leg (common practice, no source). The height inside
/// a cartridge is read as its maker says.
const HEIGHTS: [&str; 3] = ["oil.air_gap", "oil.air_gap_range", "oil.level"];

/// state-unusual: oil heights are read with the leg collapsed, and with the spring out and the rod down where they
/// displace oil; pressures are set with the leg extended and the wheel off the ground (common practice, no source).
pub(crate) fn unusual(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let chosen = |choice: &str| fork.choices.get(choice).map_or("", String::as_str);
    let mut seen: BTreeSet<Span> = BTreeSet::new();
    for value in crate::check::look::each(fork) {
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
            let Some(state) = value.entry.state.get(*part).filter(|state| state.value.is_some()) else {
                continue;
            };
            if state.text.text != *odd
                || has_another_finding(shop, fork, field, part)
                || !seen.insert(state.text.span)
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
            findings.push(
                rules::STATE_UNUSUAL.at(state.text.span,
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
fn has_another_finding(shop: &Shop, fork: &ResolvedFork, field: &Field, part: &str) -> bool {
    let target = field.key.strip_suffix("_range").unwrap_or(&field.key);
    let range = format!("{target}_range");
    let states = |key: &str| {
        let id = shop.catalogue.find(key);
        let values = Side::BOTH.into_iter().filter_map(move |side| fork.on(side, id?));
        values
            .filter_map(|value| Some(value.entry.state.get(part)?.text.text.as_str()))
            .collect::<BTreeSet<_>>()
    };
    let (of_target, of_range) = (states(target), states(&range));
    of_target.union(&of_range).count() > 1 || field.key == range && !of_target.is_empty()
}
