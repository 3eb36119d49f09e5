//! A measured slope is about the ring between bore and rod.

use crate::bench::oil::Surface;
use crate::catalogue::{Key, key};
use crate::check::look::length;
use crate::derive::DerivedLeg;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Quantity;
use crate::resolve::Resolved;

/// How far a measured slope may be from the one of bore and rod.
const SLOPE_APART: f64 = 0.15;

/// slope-and-bore-disagree: the measured slope is about the ring between bore and rod at the gap.
pub(super) fn slope_and_bore<'f>(
    leg: &DerivedLeg,
    look: impl Fn(Key) -> Option<&'f Resolved>,
    findings: &mut Vec<Finding>,
) {
    let (Some(stated), Some(gap)) =
        (look(key::OIL_SURFACE_SLOPE), length(look(key::OIL_AIR_GAP).or_else(|| look(key::OIL_LEVEL))))
    else {
        return;
    };
    let Some(slope) = stated.quantity().and_then(Quantity::slope) else { return };
    let Some(drawn) = leg.drawn.value() else { return };
    let Ok(ring) = Surface::slope_at(drawn, gap) else { return };
    let word = leg.height_word();
    if (slope.value / ring.value - 1.0).abs() <= SLOPE_APART {
        return;
    }
    let mut finding = rules::SLOPE_AND_BORE_DISAGREE
        .at(
            stated.entry.span,
            format!(
                "bore and rod give {:.2} mL/mm at the {word}, not the measured {}",
                ring.value * 1000.0,
                stated.entry.text
            ),
        )
        .bench("the table on the card would draw off too much or too little")
        .instead(format!(
            "measure the slope again over 20 mm of {word}, or bore and rod where the oil stands"
        ));
    if let Some(bore) = look(key::TUBES_BORE) {
        finding = finding.also(bore.entry.span, "the bore");
    }
    findings.push(finding);
}
