//! The temperature at which an oil height is read is one of a bench.

use std::collections::BTreeSet;

use crate::catalogue::key;
use crate::check::look::{each, weight};
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, Quantity};
use crate::resolve::{ResolvedFork, Shop};
use crate::text::Span;
use crate::words::lower_first;

/// reading-temperature: a height of oil is read at a temperature that the oil in a leg on a bench can have, as the
/// catalogue's band for that reading has it (common practice, no source).
pub(crate) fn temperatures(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let Some(band) = shop.catalogue.field(key::OIL_BENCH_TEMPERATURE.id()).bands.first() else { return };
    let mut seen: BTreeSet<Span> = BTreeSet::new();
    for value in each(fork) {
        let field = shop.catalogue.field(value.field);
        let Some(said) = value.entry.state.get("temperature") else { continue };
        let Some(at) = said.value.as_ref().and_then(|value| value.quantity()).map(Quantity::middle_si) else {
            continue;
        };
        let height = field.kind.dimensions() == [Dimension::Length];
        if !height || (band.from..=band.to).contains(&at) || !seen.insert(said.text.span) {
            continue;
        }
        findings.push(
            rules::READING_TEMPERATURE
                .graded(
                    weight(fork),
                    said.text.span,
                    format!(
                        "{} is said at {}, and oil on a bench has {} to {}",
                        lower_first(&field.title),
                        said.text.text,
                        band.text.0,
                        band.text.1
                    ),
                )
                .bench("oil that is warmer stands higher, so the same figure is another amount of oil")
                .instead("read the sheet again, number and unit: °C or °F"),
        );
    }
}
