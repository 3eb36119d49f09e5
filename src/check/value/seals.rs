//! Seals fit the tube inside and their bore outside.

use crate::diagnostic::{Finding, Rule, rules};
use crate::quantity::Value;
use crate::resolve::{ResolvedFork, Shop, Side};

/// Which size fits which length: seal, part of its size, the other field, rule, what goes wrong.
const FITS: [(&str, usize, &str, &Rule, &str, &str); 4] = [
    (
        "seals.oil_seal",
        0,
        "tubes.stanchion_diameter",
        &rules::SEAL_INSIDE,
        "inside",
        "the lip would not seal on this tube, or would be torn by it",
    ),
    (
        "seals.dust_seal",
        0,
        "tubes.stanchion_diameter",
        &rules::SEAL_INSIDE,
        "inside",
        "the dust lip would not seal on this tube, or would drag on it",
    ),
    (
        "seals.oil_seal",
        1,
        "seals.housing_bore",
        &rules::SEAL_OUTSIDE,
        "outside",
        "the seal would fall out of its bore or be crushed going in",
    ),
    (
        "seals.dust_seal",
        1,
        "seals.dust_seal_bore",
        &rules::SEAL_OUTSIDE,
        "outside",
        "the dust seal would not stay in its bore",
    ),
];

/// seal-inside, seal-outside: a seal's inside is the stanchion's diameter, its outside that of its bore.
pub(crate) fn fits(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for (seal, part, other, rule, word, bench) in FITS {
        let (Some(seal), Some(other)) = (shop.catalogue.find(seal), shop.catalogue.find(other)) else {
            continue;
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
            if measured < length.least_si() - slack || measured > length.greatest_si() + slack {
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
                    .bench(bench)
                    .instead(format!(
                        "correct the {word} of the seal, or the {}",
                        against_field.title.to_lowercase()
                    ))
                    .also(against.entry.span, "it must fit this"),
                );
            }
        }
    }
}
