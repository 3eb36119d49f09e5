//! The chambers of an air spring are let down in the order in which they are filled.

use crate::catalogue::{FieldId, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// chamber-order: both orders begin with the same chamber (common practice, no source: the main chamber, since the
/// others are smaller and pull less).
pub(crate) fn orders(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let (release, fill) = (FieldId::from(key::AIR_RELEASE_ORDER), FieldId::from(key::AIR_FILL_ORDER));
    for side in Side::BOTH {
        let (Some(out), Some(into)) = (fork.on(side, release), fork.on(side, fill)) else { continue };
        let (first_out, first_in) = (first(&out.entry.text), first(&into.entry.text));
        if first_out.is_empty() || first_in.is_empty() || first_out == first_in {
            continue;
        }
        let field = shop.catalogue.field(release);
        findings.push(
            rules::CHAMBER_ORDER
                .graded(
                    weight(fork),
                    out.entry.span,
                    format!("the {first_out} is let down first, and the {first_in} is filled first"),
                )
                .bench(lower_first(&field.wrong))
                .instead("read both orders on the sheet again; they may be exchanged")
                .also(into.entry.span, "the order of filling"),
        );
        return;
    }
}

/// The chamber that an order begins with.
fn first(order: &str) -> String {
    let until = order.find([',', ';', '>']).unwrap_or(order.len());
    order[..until].split(" then ").next().unwrap_or_default().trim().trim_start_matches("the ").to_lowercase()
}
