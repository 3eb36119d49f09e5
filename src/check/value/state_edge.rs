//! The edge that an air gap is read from fits the fork.

use crate::catalogue::Field;
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// The gaps that are read from the top edge of the tube that stands higher.
const FROM_THE_TOP: [&str; 2] = ["oil.air_gap", "oil.air_gap_range"];

/// state-edge: the air gap is read from the outer tube's top on an inverted leg, and from the stanchion's
/// on a conventional one (common practice, no source).
pub(crate) fn edges(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let (edge, tube) = match fork.choices.get("orientation").map(String::as_str) {
        Some("inverted") => ("outer-tube-top", "outer tube"),
        Some("conventional") => ("stanchion-top", "stanchion"),
        _ => return,
    };
    for key in FROM_THE_TOP {
        let Some(id) = shop.catalogue.find(key) else { continue };
        let field: &Field = shop.catalogue.field(id);
        for side in Side::BOTH {
            let Some(named) = fork.on(side, id).and_then(|value| value.entry.state.get("edge")) else {
                continue;
            };
            if named.value.is_none() || named.text.text == edge {
                continue;
            }
            let severity = weight(fork).max(crate::diagnostic::Severity::Warning);
            let what = format!(
                "{} of such a leg is read from the {tube}'s top edge, not from `{}`",
                lower_first(&field.title),
                named.text.text
            );
            findings.push(
                rules::STATE_EDGE
                    .graded(severity, named.text.span, what)
                    .bench("the gap would be wrong by as much as the one tube stands above the other")
                    .instead(format!("write `edge: {edge}`, or correct the fork's orientation")),
            );
        }
    }
}
