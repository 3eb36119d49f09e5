//! A step that sets what nobody knows.

use std::collections::BTreeSet;

use crate::check::CheckedFork;
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::plan::Plan;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::text::Span;
use crate::words::lower_first;

/// unknown-without-instead: where a step sets a safety-critical value that is unknown, somebody has said what is done
/// instead: an approver in the record, or the step itself.
pub(crate) fn set(shop: &Shop, fork: &CheckedFork, plans: &[Plan<'_>], findings: &mut Vec<Finding>) {
    if fork.all().any(Resolved::is_unknown) {
        let mut seen = BTreeSet::new();
        for plan in plans {
            of_plan(shop, fork, plan, &mut seen, findings);
        }
    }
}

fn of_plan(
    shop: &Shop,
    fork: &ResolvedFork,
    plan: &Plan<'_>,
    seen: &mut BTreeSet<Span>,
    findings: &mut Vec<Finding>,
) {
    let sets = plan.references_on().filter(|(to, _)| to.scheme == Scheme::Spec && to.otherwise.is_none());
    for (reference, legs) in sets {
        let Some(id) = shop.catalogue.find(&reference.target) else { continue };
        let field = shop.catalogue.field(id);
        let sides = Side::BOTH.into_iter().zip(legs).filter(|(_, on)| *on && field.safety);
        for value in sides.filter_map(|(side, _)| fork.on(side, id)) {
            let open = value.is_unknown() && value.entry.instead.is_none();
            if !open || !seen.insert(value.entry.span) {
                continue;
            }
            let mut finding = rules::UNKNOWN_WITHOUT_INSTEAD
                .graded(
                    weight(fork),
                    value.entry.span,
                    format!("`{}` is safety-critical and unknown, and a step sets it", field.key),
                )
                .bench(lower_first(&field.wrong))
                .instead(
                    "let an approver say what is done: `instead: {do: \"…\", by: \"…\"}` beside `value:`; or find the figure",
                )
                .also(reference.span, "set here");
            finding.reaches = vec![fork.id.clone()];
            findings.push(finding);
        }
    }
}
