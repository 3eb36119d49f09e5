//! What another source says of a value, held against the one that counts.

use crate::check::look::{each, weight};
use crate::diagnostic::{Finding, Severity, rules};
use crate::quantity::{Compared, compare};
use crate::resolve::{ResolvedFork, Shop};
use crate::words::lower_first;

/// sources-differ, sources-slip: what two sources say of one value agrees within rounding and tolerance, or somebody
/// has decided which counts.
pub(crate) fn compared(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for value in each(fork) {
        let field = shop.catalogue.field(value.field);
        let Some(counts) = value.value() else { continue };
        for said in &value.entry.also_said {
            let Some(other) = &said.value else { continue };
            let agree = match (counts.quantity(), other.quantity()) {
                (Some(ours), Some(theirs)) => compare(ours, theirs, &field.spec()),
                _ if counts == other || value.is_unknown() || other.is_unknown() => Compared::Agree,
                _ => Compared::Differ,
            };
            let source = &said.source.text;
            let what = format!(
                "`{}` is {}, and `{source}` says {}",
                field.key,
                value.entry.text.trim(),
                said.text.text.trim()
            );
            let finding = match agree {
                Compared::Agree => continue,
                Compared::Slip(slips) => rules::SOURCES_SLIP
                    .graded(weight(fork), said.text.span, what)
                    .instead(format!("look at both sources again: {}", slips.join(", or "))),
                Compared::Differ => {
                    let severity = if field.safety { weight(fork) } else { Severity::Warning };
                    rules::SOURCES_DIFFER.graded(severity, said.text.span, what).instead(
                        "look at both sources again, measure where you can, and write the one that counts as the value",
                    )
                }
            };
            findings.push(finding.bench(lower_first(&field.wrong)).also(value.entry.span, "this one counts"));
        }
    }
}
