//! The edge that an air gap or a height in the clamp is read from fits the fork.

use crate::catalogue::choice::Orientation;
use crate::catalogue::{MadeChoice, Owner};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// wrong-edge: the air gap is read from the outer tube's top on an inverted leg, and from the stanchion's
/// on a conventional one (common practice, no source).
pub(crate) fn edges(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let (edge, tube) = match Orientation::of(&fork.choices) {
        Some(Orientation::Inverted) => ("outer-tube-top", "outer tube"),
        Some(Orientation::Conventional) => ("stanchion-top", "stanchion"),
        None => return,
    };
    for (id, field) in shop.catalogue.of(Owner::Fork).filter(|(_, field)| field.from_the_top) {
        for side in Side::BOTH {
            let Some(named) = fork.on(side, id).and_then(|value| value.entry.state.get("edge")) else {
                continue;
            };
            if !named.is_known() || named.text.text == edge {
                continue;
            }
            let what = format!(
                "{} of such a leg is read from the {tube}'s top edge, not from `{}`",
                lower_first(&field.title),
                named.text.text
            );
            findings.push(
                rules::WRONG_EDGE
                    .graded(weight(fork), named.text.span, what)
                    .bench(match field.group == "oil" {
                        true => "the gap would be wrong by as much as the one tube stands above the other",
                        false => "the leg would be clamped as much too high or too low as the one tube stands above the other",
                    })
                    .instead(format!("write `edge: {edge}`, or correct the fork's orientation")),
            );
        }
    }
}
