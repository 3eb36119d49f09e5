//! The holder, socket or driver that is laid out goes onto this fork's part.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Severity, rules};
use crate::plan::{Planned, Plans};
use crate::quantity::Quantity;
use crate::record::Tool;
use crate::resolve::{Resolved, Shop, Side};
use crate::text::Span;
use crate::words::lower;

/// A number from decimal text may land one rounding beside a limit.
const ROUNDING: f64 = 1e-9;

/// tool-does-not-fit: where a procedure lists tools that say which sizes they fit, one of them fits this fork's part. A
/// tool that says no sizes is not asked, nor a fork that does not say the part's.
pub(crate) fn sizes(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, found: &mut Vec<Finding>) {
    let mut told: BTreeMap<(Span, String), (Finding, BTreeSet<String>)> = BTreeMap::new();
    for fork in forks {
        for item in plans.of(fork).iter().flat_map(|plan| &plan.items) {
            for (at, tool, id, size) in too_large_or_small(shop, fork, item) {
                let field = shop.catalogue.field(id);
                let finding = || finding(at, tool, (&lower(&field.title), &field.key), size, fork);
                let (finding, reached) =
                    told.entry((at, field.key.clone())).or_insert_with(|| (finding(), BTreeSet::new()));
                reached.insert(fork.id.clone());
                if !fork.record.draft {
                    finding.severity = Severity::Error;
                }
            }
        }
    }
    found.extend(told.into_values().map(|(mut finding, reached)| {
        finding.reaches = reached.into_iter().collect();
        finding
    }));
}

/// A tool where it is listed, and the part of the fork that it does not fit.
type Misfit<'s> = (Span, &'s Tool, FieldId, &'s Quantity);

fn too_large_or_small<'s>(shop: &'s Shop, fork: &'s CheckedFork, item: &Planned<'s>) -> Vec<Misfit<'s>> {
    let listed = || item.procedure.tools.iter().filter_map(|id| Some((id.span, shop.tool(&id.text)?)));
    let of = |(_, tool): &(Span, &'s Tool)| -> Vec<FieldId> {
        tool.fits_on.iter().filter_map(|key| shop.catalogue.find(&key.text)).collect()
    };
    let sides = Side::BOTH.into_iter().zip(item.legs).filter(|(_, on)| *on).map(|(side, _)| side);
    let sides: Vec<Side> = sides.collect();
    let mut out: Vec<Misfit<'s>> = Vec::new();
    for one in listed() {
        for id in of(&one) {
            let sizes = sides.iter().filter_map(|side| fork.on(*side, id).and_then(Resolved::quantity));
            let goes = |size: &Quantity| {
                listed().filter(|other| of(other).contains(&id)).any(|(_, tool)| fits(tool, size))
            };
            if let Some(size) = sizes.into_iter().find(|size| !goes(size)) {
                out.push((one.0, one.1, id, size));
            }
        }
    }
    out
}

/// Whether a part of this size goes into a tool; yes, where the tool does not say, or speaks of something else.
fn fits(tool: &Tool, size: &Quantity) -> bool {
    let Some(range) = tool.fits.as_ref().filter(|range| range.dimension() == size.dimension()) else {
        return true;
    };
    let at = size.middle_si();
    at >= range.least_si() - ROUNDING && at <= range.greatest_si() + ROUNDING
}

fn finding(
    at: Span,
    tool: &Tool,
    (title, key): (&str, &str),
    size: &Quantity,
    fork: &CheckedFork,
) -> Finding {
    let range = tool.fits.as_ref().map_or("", |range| range.text.as_str());
    rules::TOOL_DOES_NOT_FIT
        .graded(
            Severity::Warning,
            at,
            format!("`{}` fits {range}, and {title} of `{}` is {}", tool.id.text, fork.id, size.main().text),
        )
        .bench("the part is gripped with something else, where it is thin, or driven home crooked")
        .instead(format!("list a tool that fits it, or read `{key}` of the record again"))
}
