//! Seals, and the washers under them, fit the tube inside and their bore outside.

use crate::catalogue::SealSide;
use crate::diagnostic::{Finding, rules};
use crate::quantity::Value;
use crate::resolve::{ResolvedFork, Shop, Side};

/// seal-misfits-tube, seal-misfits-bore: a seal's inside is the stanchion's diameter, its outside that of its bore.
pub(crate) fn fits(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for fit in shop.catalogue.relations().fits() {
        let (seal, other, word) = (fit.seal, fit.length, fit.side.word());
        let (part, rule) = match fit.side {
            SealSide::Inside => (0, &rules::SEAL_MISFITS_TUBE),
            SealSide::Outside => (1, &rules::SEAL_MISFITS_BORE),
        };
        for side in Side::BOTH {
            if side == Side::Right && fork.alike(seal) && fork.alike(other) {
                continue;
            }
            let (Some(size), Some(against)) = (fork.on(side, seal), fork.on(side, other)) else { continue };
            let (Some(Value::Size(parts)), Some(length)) = (size.value(), against.quantity()) else {
                continue;
            };
            let sizes = parts.parts_si();
            let Some(measured) = sizes.get(part).copied() else { continue };
            // Inside and outside changed places: one mistake, told at the inside.
            let turned = sizes.len() > 1 && sizes[0] >= sizes[1];
            if turned && part == 1 {
                continue;
            }
            // Sizes are nominal: a tenth of a millimetre is the width of a bore's own tolerance.
            let slack = 0.000_1;
            // What only lies there may be looser: wider inside, narrower outside.
            let (under, over) = match fit.side {
                SealSide::Inside => (slack, slack + fit.room),
                SealSide::Outside => (slack + fit.room, slack),
            };
            if measured < length.least_si() - under || measured > length.greatest_si() + over {
                let field = shop.catalogue.field(seal);
                let against_field = shop.catalogue.field(other);
                findings.push(
                    rule.at(
                        size.entry.span,
                        format!(
                            "{} {} does not fit: its {word} is {} the {} of {}",
                            field.title.to_lowercase(),
                            size.entry.text,
                            if turned { "not less than its outside, and not" } else { "not" },
                            against_field.title.to_lowercase(),
                            against.entry.text
                        ),
                    )
                    .bench(fit.wrong.as_str())
                    .instead(format!(
                        "correct the {word} of the {}, or the {}",
                        if fit.room > 0.0 { "washer" } else { "seal" },
                        against_field.title.to_lowercase()
                    ))
                    .also(against.entry.span, "it must fit this"),
                );
            }
        }
    }
}
