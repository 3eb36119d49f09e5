//! A state in which the trade does not read such a value.

use std::collections::BTreeSet;

use crate::catalogue::choice::Springing;
use crate::catalogue::{FieldId, MadeChoice};
use crate::diagnostic::{Finding, rules};
use crate::quantity::Dimension;
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::text::Span;
use crate::words::lower_first;

/// state-unusual: oil heights are read with the leg collapsed, and with the spring out and the rod down where they
/// displace oil; pressures are set with the leg extended and the wheel off the ground (common practice, no source).
pub(crate) fn unusual(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    // A spring at the foot of the leg stays in it.
    let stays_in = Springing::of(&fork.choices) == Some(Springing::CoilBottom);
    let mut seen: BTreeSet<Span> = BTreeSet::new();
    for value in crate::check::look::each(fork) {
        let field = shop.catalogue.field(value.field);
        let usual = field.usual_state.iter().filter(|(part, _)| !(stays_in && *part == "spring"));
        for (part, right) in usual {
            let Some(state) = value.entry.state.get(part).filter(|state| state.is_known()) else {
                continue;
            };
            let odd = &state.text.text;
            if odd == right
                || has_another_finding(shop, fork, value.field, part)
                || !seen.insert(state.text.span)
            {
                continue;
            }
            let (what, how, bench) = if field.kind.dimensions() == [Dimension::Pressure] {
                (
                    "pressures are",
                    "set",
                    "air that carries the machine’s weight reads higher, and the leg would be filled too little",
                )
            } else {
                (
                    "it is",
                    "read",
                    "a leg that is set to this figure in the usual state holds another amount of oil",
                )
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
fn has_another_finding(shop: &Shop, fork: &ResolvedFork, field: FieldId, part: &str) -> bool {
    let relations = shop.catalogue.relations();
    let target = relations.target_of(field).unwrap_or(field);
    let range = relations.range_of(target);
    let states = |field: Option<FieldId>| {
        let values = Side::BOTH.into_iter().filter_map(move |side| fork.on(side, field?));
        values
            .filter_map(|value| Some(value.entry.state.get(part)?.text.text.as_str()))
            .collect::<BTreeSet<_>>()
    };
    let (of_target, of_range) = (states(Some(target)), states(range));
    of_target.union(&of_range).count() > 1 || range == Some(field) && !of_target.is_empty()
}
