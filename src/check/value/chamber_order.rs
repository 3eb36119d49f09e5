//! The chambers of an air spring are let down beginning with another than they are filled.

use crate::catalogue::{FieldId, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// chamber-order: the main chamber pushes the leg out, the others draw it in. What is filled first is not let down first:
/// with the main chamber empty the others draw the leg together (from the forces of both; common practice, no source).
pub(crate) fn orders(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let (release, fill) = (FieldId::from(key::AIR_RELEASE_ORDER), FieldId::from(key::AIR_FILL_ORDER));
    for side in Side::BOTH {
        let (Some(out), Some(into)) = (fork.on(side, release), fork.on(side, fill)) else { continue };
        let (first_out, first_in) = (first(&out.entry.text), first(&into.entry.text));
        if first_out.is_empty() || first_in.is_empty() {
            continue;
        }
        if first_out != first_in {
            findings.extend(against_the_notes(shop, fork, out, &first_out));
            return;
        }
        let field = shop.catalogue.field(release);
        findings.push(
            rules::CHAMBER_ORDER
                .graded(
                    weight(fork),
                    out.entry.span,
                    format!("the {first_out} is let down first, and it is filled first as well"),
                )
                .bench(lower_first(&field.wrong))
                .instead("let down first what is filled last; read both orders on the sheet again")
                .also(into.entry.span, "the order of filling"),
        );
        return;
    }
}

/// Both orders begin with another chamber than the notes of the record do.
fn against_the_notes(shop: &Shop, fork: &ResolvedFork, out: &Resolved, first: &str) -> Option<Finding> {
    let notes = fork.record.notes.as_deref()?.to_lowercase();
    let at = |chamber: &str| notes.find(chamber);
    let chambers = ["main chamber", "balance chamber", "outer chamber"];
    let told =
        chambers.into_iter().filter(|chamber| at(chamber).is_some()).min_by_key(|chamber| at(chamber))?;
    let known = chambers.contains(&first) && at(first).is_some() && told != first;
    known.then(|| {
        rules::CHAMBER_ORDER
            .graded(
                weight(fork),
                out.entry.span,
                format!("the {first} is let down first, and the notes begin with the {told}"),
            )
            .bench(lower_first(&shop.catalogue.field(out.field).wrong))
            .instead(
                "read both orders on the sheet again, and correct what is wrong, the orders or the notes",
            )
    })
}

/// The chamber that an order begins with.
fn first(order: &str) -> String {
    let until = order.find([',', ';', '>']).unwrap_or(order.len());
    order[..until].split(" then ").next().unwrap_or_default().trim().trim_start_matches("the ").to_lowercase()
}
