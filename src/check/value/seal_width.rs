//! A seal is about as wide as fork seals are.

use crate::catalogue::{FieldId, Key, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Value;
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

const SEALS: [Key; 2] = [key::SEALS_OIL_SEAL, key::SEALS_DUST_SEAL];

/// The width beside the ring's own thickness, half of outside less inside (common practice, no source: from one and a
/// half to two and a half, with room).
const WIDTH: (f64, f64) = (0.6, 4.0);

/// The thickness of a fork seal's ring, m (common practice, no source). Another one is a mistake in the diameters, which
/// is told where they do not fit tube and bore.
const RING: std::ops::RangeInclusive<f64> = 0.003..=0.010;

/// seal-width: the width of a seal goes with its inside and outside.
pub(crate) fn widths(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for key in SEALS {
        for side in Side::BOTH {
            if side == Side::Right && fork.alike(FieldId::from(key)) {
                continue;
            }
            findings.extend(width(shop, fork, side, FieldId::from(key)));
        }
    }
}

fn width(shop: &Shop, fork: &ResolvedFork, side: Side, field: FieldId) -> Option<Finding> {
    let value = fork.on(side, field)?;
    let Some(Value::Size(size)) = value.value() else { return None };
    let [inside, outside, wide] = size.parts_si()[..] else { return None };
    let ring = (outside - inside) / 2.0;
    if !RING.contains(&ring) || (WIDTH.0..=WIDTH.1).contains(&(wide / ring)) {
        return None;
    }
    let field = shop.catalogue.field(field);
    let word = if wide < ring { "narrow" } else { "wide" };
    Some(
        rules::SEAL_WIDTH
            .graded(
                weight(fork),
                value.entry.span,
                format!(
                    "{} of {} is too {word} for a ring so thick",
                    lower_first(&field.title),
                    value.entry.text
                ),
            )
            .bench("the wrong seal is ordered, and it stands loose in its groove or under its clip")
            .instead("read the last figure of the size again; a point may be missing or too many"),
    )
}
