//! The gauge that is laid out reaches the pressure, and moves at it.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::catalogue::Field;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Severity, rules};
use crate::plan::{Planned, Plans};
use crate::quantity::{Dimension, Kind, Quantity};
use crate::record::Tool;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::text::Span;
use crate::words::lower;

/// Below this share of its full scale a gauge says little (common practice, no source: the better part of a scale is
/// its middle).
const BARELY_MOVES: f64 = 0.08;

/// gauge-out-of-range: every pressure that a procedure sets or has written down is on the scale of one of the gauges it
/// lists, and not at its very foot. A shop that says no scales is not asked.
pub(crate) fn gauges(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, found: &mut Vec<Finding>) {
    let mut told: BTreeMap<(Span, String), (Finding, BTreeSet<String>)> = BTreeMap::new();
    let scale = |tool: &Tool| Some((tool.id.span, tool.reads(Dimension::Pressure)?));
    let scales: HashMap<Span, Quantity> = shop.tools.iter().filter_map(scale).collect();
    for fork in forks {
        for item in plans.of(fork).iter().flat_map(|plan| &plan.items) {
            let pressures = pressures(shop, fork, item);
            if pressures.is_empty() {
                continue;
            }
            let gauges = gauges_of(shop, &scales, item);
            for (field, pressure) in pressures {
                let Some((at, tool)) = falls_to(&gauges, pressure) else { continue };
                let finding = || finding(at, tool, field, pressure, fork);
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

/// A gauge, where the procedure lists it, and its scale.
type Gauge<'s> = (Span, &'s Tool, &'s Quantity);

fn gauges_of<'s>(shop: &'s Shop, scales: &'s HashMap<Span, Quantity>, item: &Planned<'s>) -> Vec<Gauge<'s>> {
    let listed = item.procedure.tools.iter().filter_map(|id| Some((id.span, shop.tool(&id.text)?)));
    listed.filter_map(|(at, tool)| Some((at, tool, scales.get(&tool.id.span)?))).collect()
}

/// The pressures that the steps of a procedure name or have written down. None at all is read on any gauge.
fn pressures<'s>(
    shop: &'s Shop,
    fork: &'s ResolvedFork,
    item: &Planned<'_>,
) -> Vec<(&'s Field, &'s Quantity)> {
    let asked = |scheme: Scheme| matches!(scheme, Scheme::Spec | Scheme::Reading);
    let named = item.procedure.body.references.iter().filter(|reference| asked(reference.scheme));
    let fields = named.filter_map(|reference| shop.catalogue.find(&reference.target));
    let pressures = fields.filter(|id| shop.catalogue.field(*id).kind == Kind::Quantity(Dimension::Pressure));
    let on = Side::BOTH.into_iter().zip(item.legs).filter(|(_, on)| *on).map(|(side, _)| side);
    let sides: Vec<Side> = on.collect();
    let all = pressures.flat_map(|id| sides.iter().map(move |side| (id, *side)));
    // How far two legs may be apart, and a limit, are read beside a pressure, not on the scale.
    let is_read = |id| {
        !matches!(
            shop.catalogue.field(id).form,
            crate::catalogue::Form::Difference | crate::catalogue::Form::Limit
        )
    };
    all.filter(|(id, _)| is_read(*id))
        .filter_map(|(id, side)| {
            Some((shop.catalogue.field(id), fork.on(side, id).and_then(Resolved::quantity)?))
        })
        .filter(|(_, pressure)| pressure.middle_si() > 0.0)
        .collect()
}

/// The listed gauge that comes nearest, where none of them reads the pressure.
fn falls_to<'s>(gauges: &[Gauge<'s>], pressure: &Quantity) -> Option<(Span, &'s Tool)> {
    let at = pressure.middle_si();
    let reads = |scale: &Quantity| at >= BARELY_MOVES * scale.greatest_si() && at <= scale.greatest_si();
    if gauges.iter().any(|(_, _, scale)| reads(scale)) {
        return None;
    }
    gauges.first().map(|(span, tool, _)| (*span, *tool))
}

fn finding(at: Span, tool: &Tool, field: &Field, pressure: &Quantity, fork: &CheckedFork) -> Finding {
    let scale = tool.size.as_deref().unwrap_or_default();
    let (id, title, text) = (&tool.id.text, lower(&field.title), &pressure.main().text);
    rules::GAUGE_OUT_OF_RANGE
        .graded(
            Severity::Warning,
            at,
            format!("`{id}` has a scale of {scale}, and {title} of `{}` is {text}", fork.id),
        )
        .bench("at the foot of its scale a gauge hardly moves, and beyond its end it breaks: the leg gets another pressure than is written down")
        .instead("list the gauge whose scale has this pressure well inside it")
}
