//! Rules on left and right.

use crate::catalogue::{Form, Legs, Role};
use crate::check::look::weight;
use crate::check::value::state_differs::differ;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// leg-difference-missing, leg-difference: where both legs go to the same figure, the difference allowed
/// between them is stated, and what is written for left and right keeps to it.
pub(crate) fn differences(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for (id, field) in shop.catalogue.of(crate::catalogue::Owner::Fork) {
        if field.legs != Legs::Common || field.form != Form::Target {
            continue;
        }
        let (Some(left), Some(right)) = (fork.legs[0].values.get(&id), fork.legs[1].values.get(&id)) else {
            continue;
        };
        let difference = field.difference.as_deref().and_then(|key| shop.catalogue.find(key));
        // Where the difference is one of the values the fork must have, that it is missing has been said.
        let asked_for = fork.family_lost
            || difference.map(|id| shop.catalogue.field(id)).is_some_and(|limit| {
                limit.applies.holds(&fork.choices) && limit.required.holds(&fork.choices)
            });
        let limit = difference.and_then(|id| fork.on(Side::Left, id));
        if let (Some(key), None, Role::Set, Some(_), false) =
            (&field.difference, limit, field.role, left.quantity(), asked_for)
        {
            findings.push(
                rules::LEG_DIFFERENCE_MISSING.graded(weight(fork), left.key_span, format!("`{}` does not say how far the legs may differ", field.key))
                    .bench("both legs can be inside the tolerance and still so far apart that the fork binds or dives to one side")
                    .instead(format!("add `{}: ≤ … {}`, with the figure the maker or the shop allows", key.rsplit('.').next().unwrap_or(key), left.quantity().map_or("", |quantity| quantity.unit().symbol))),
            );
        }
        let (Some(a), Some(b)) = (left.quantity(), right.quantity()) else { continue };
        // Gaps in different states are never compared; that they differ has been said.
        if differ(left, right).is_some() {
            continue;
        }
        let apart = (a.middle_si() - b.middle_si()).abs();
        let allowed = limit.and_then(|limit| limit.quantity()).map(crate::quantity::Quantity::greatest_si);
        // Without a stated difference, figures of which neither lies in the other's tolerance are two jobs.
        let beyond = match allowed {
            Some(allowed) => apart > allowed * (1.0 + 1e-9),
            None => apart > 1e-12 && (a.least_si() > b.greatest_si() || b.least_si() > a.greatest_si()),
        };
        if beyond {
            let text = limit.map_or_else(
                || "both legs go to the same figure".to_owned(),
                |limit| format!("{} is allowed", limit.entry.text),
            );
            findings.push(
                rules::LEG_DIFFERENCE
                    .graded(
                        weight(fork),
                        right.entry.span,
                        format!(
                            "left and right differ too far in {}: {} and {} ({text})",
                            lower_first(&field.title),
                            left.entry.text,
                            right.entry.text
                        ),
                    )
                    .bench("a fork whose legs differ binds, wears one bushing and steers to one side")
                    .instead("give both legs the same figure, or state the difference that is meant")
                    .also(left.entry.span, "left"),
            );
        }
    }
}

/// wrong-leg: a value is given for a leg whose work it does not belong to.
pub(crate) fn wrong_leg(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for leg in &fork.legs {
        for value in leg.values.values() {
            let field = shop.catalogue.field(value.field);
            if leg.work.holds(field.works) || value.not_fitted() {
                continue;
            }
            let other = if leg.side == Side::Left { "right" } else { "left" };
            findings.push(
                rules::WRONG_LEG
                    .at(
                        value.entry.span,
                        format!("the {} leg has no {}", leg.side.word(), lower_first(&field.title)),
                    )
                    .bench("the figure would be set on a leg that cannot take it")
                    .instead(format!(
                        "write `not fitted` for the {} leg and give the figure for the {other}",
                        leg.side.word()
                    )),
            );
        }
    }
}
