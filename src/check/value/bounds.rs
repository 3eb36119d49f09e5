//! What the catalogue says of two values of one record: the one is never above, or never below, the other.

use crate::catalogue::{Bound, Form};
use crate::check::look::{each, weight};
use crate::diagnostic::{Finding, rules};
use crate::quantity::Quantity;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// beyond-another: a value that the catalogue keeps below or above another one is on that side of it.
pub(crate) fn bounds(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let bounds_of = |field| shop.catalogue.relations().bounds(field);
    for value in each(fork) {
        for bound in bounds_of(value.field) {
            let (other, above) = match *bound {
                Bound::NotAbove(other) => (other, true),
                // Where the other one says the same of this one, it is told there.
                Bound::NotBelow(other) if !bounds_of(other).contains(&Bound::NotAbove(value.field)) => {
                    (other, false)
                }
                Bound::NotBelow(_) | Bound::Inside(_) => continue,
            };
            let beside = Side::BOTH.into_iter().filter(|side| stands_on(fork, *side, value));
            let mut others = beside.filter_map(|side| fork.on(side, other));
            let wrong =
                |other: &&Resolved| if above { is_above(value, other) } else { is_above(other, value) };
            let Some(other) = others.find(wrong).filter(|other| !told_elsewhere(shop, value, other)) else {
                continue;
            };
            let title = |of: &Resolved| lower_first(&shop.catalogue.field(of.field).title);
            findings.push(
                rules::BEYOND_ANOTHER
                    .graded(
                        weight(fork),
                        value.entry.span,
                        format!(
                            "{} of {} is {} {} of {}",
                            title(value),
                            value.entry.text,
                            if above { "above" } else { "below" },
                            title(other),
                            other.entry.text
                        ),
                    )
                    .bench(lower_first(&shop.catalogue.field(value.field).wrong))
                    .instead("read both on the sheet again; one is wrong, or they are exchanged")
                    .also(other.entry.span, "beside this"),
            );
        }
    }
}

/// Whether the value is the one of this side.
fn stands_on(fork: &ResolvedFork, side: Side, value: &Resolved) -> bool {
    fork.on(side, value.field).is_some_and(|there| std::sync::Arc::ptr_eq(&there.entry, &value.entry))
}

/// Whether the least that one value can mean is above the most that the other can.
fn is_above(one: &Resolved, other: &Resolved) -> bool {
    let (Some(one), Some(other)) = (one.quantity(), other.quantity()) else { return false };
    let end = |end: f64, quantity: &Quantity| if end.is_finite() { end } else { quantity.middle_si() };
    // Of a limit its figure counts, whichever side it bounds.
    let limit = |quantity: &Quantity| !quantity.main().shape.has_tolerance();
    let least = if limit(one) { one.middle_si() } else { end(one.least_si(), one) };
    let most = if limit(other) { other.middle_si() } else { end(other.greatest_si(), other) };
    one.dimension() == other.dimension() && least > most * (1.0 + 1e-9) + 1e-12
}

/// Pressures are compared at one temperature, and a spring's lengths, a refill, a worn tube and two sags by what
/// they are: there it is told with the reason.
fn told_elsewhere(shop: &Shop, value: &Resolved, other: &Resolved) -> bool {
    use crate::catalogue::key::{
        OIL_DRY_FILL, OIL_REFILL, SETUP_SAG_RIDER, SETUP_SAG_STATIC, SPRING_FITTED_LENGTH,
        SPRING_FREE_LENGTH, SPRING_FREE_LENGTH_LIMIT, SPRING_SOLID_LENGTH, TUBES_STANCHION_DIAMETER,
        TUBES_STANCHION_LIMIT,
    };
    let pairs = [
        [OIL_REFILL, OIL_DRY_FILL],
        [OIL_DRY_FILL, OIL_REFILL],
        [SETUP_SAG_STATIC, SETUP_SAG_RIDER],
        [SPRING_FITTED_LENGTH, SPRING_SOLID_LENGTH],
        [SPRING_FREE_LENGTH, SPRING_FITTED_LENGTH],
        [SPRING_FREE_LENGTH_LIMIT, SPRING_FREE_LENGTH],
        [SPRING_SOLID_LENGTH, SPRING_FITTED_LENGTH],
        [TUBES_STANCHION_LIMIT, TUBES_STANCHION_DIAMETER],
    ];
    let is_limit = shop.catalogue.relations().limit_of(value.field) == Some(other.field);
    is_limit && shop.catalogue.field(other.field).form == Form::Limit
        || pairs.iter().any(|[one, two]| value.field == one.id() && other.field == two.id())
}
