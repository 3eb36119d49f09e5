//! What a fork may be without.

use crate::check::look::{each, weight};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// not-fitted-refused: `not fitted` is said only of a part that such a fork may be without, or of the leg that does
/// not hold it.
pub(crate) fn refused(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for value in each(fork).filter(|value| value.not_fitted()) {
        let field = shop.catalogue.field(value.field);
        let holds = |side: Side| fork.takes(side, field);
        let here =
            |side: Side| fork.on(side, value.field).is_some_and(|there| there.key_span == value.key_span);
        let holds_it = Side::BOTH.into_iter().any(|side| {
            holds(side) && here(side) && fork.on(side, value.field).is_some_and(|there| there.not_fitted())
        });
        if !holds_it || field.may_lack.holds(&fork.choices) {
            continue;
        }
        findings.push(
            rules::NOT_FITTED_REFUSED
                .graded(
                    weight(fork),
                    value.entry.span,
                    format!("no such fork is without {} (`{}`)", lower_first(&field.title), field.key),
                )
                .bench("the card leaves it out, and nobody asks why")
                .instead("write `unknown` where the sheet does not say it, or its figure"),
        );
    }
}
