//! Wrenches read well at the torques they are listed for.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::Field;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, Severity, rules};
use crate::plan::{Planned, Plans};
use crate::quantity::{Dimension, Kind, Quantity};
use crate::record::Tool;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::syntax::Scheme;
use crate::text::Span;
use crate::words::{count, lower};

/// What a wrench cannot serve: joints with their torques, and the forks they are on.
#[derive(Default)]
struct Unserved<'s> {
    joints: BTreeSet<String>,
    forks: BTreeSet<&'s str>,
    procedures: BTreeSet<&'s str>,
    /// One of the forks is published.
    published: bool,
    /// A torque that the wrench would reach, were left and right exchanged.
    exchanged: Option<Span>,
}

/// wrench-out-of-range: every joint of a procedure is in the range of one of the wrenches it lists. A shop that says
/// no ranges is not asked.
pub(crate) fn wrenches(shop: &Shop, forks: &[CheckedFork], plans: &Plans<'_>, found: &mut Vec<Finding>) {
    let mut unserved: BTreeMap<&str, Unserved<'_>> = BTreeMap::new();
    for fork in forks {
        for plan in plans.of(fork) {
            for item in &plan.items {
                let ranges = ranges(shop, item);
                for (joint, torque) in torques(shop, fork, item) {
                    if let Some(wrench) = falls_to(&ranges, torque) {
                        let of = unserved.entry(&wrench.id.text).or_default();
                        of.joints.insert(format!("{} {}", lower(&joint.title), torque.main().text));
                        of.published |= !fork.record.draft;
                        of.exchanged = of.exchanged.or_else(|| exchanged(shop, fork, item, joint, &ranges));
                        of.forks.insert(&fork.id);
                        of.procedures.insert(&item.procedure.id.text);
                    }
                }
            }
        }
    }
    let told = shop.tools.iter().filter_map(|tool| Some((tool, unserved.get(tool.id.text.as_str())?)));
    found.extend(told.map(|(tool, of)| finding(tool, of)));
}

/// The listed wrenches that say their range.
fn ranges<'s>(shop: &'s Shop, item: &Planned<'_>) -> Vec<(&'s Tool, &'s Quantity)> {
    let tools = item.procedure.tools.iter().filter_map(|id| shop.tool(&id.text));
    tools.filter_map(|tool| Some((tool, tool.torques.as_ref()?))).collect()
}

/// The torques that the steps of a procedure name, each with its joint.
fn torques<'s>(
    shop: &'s Shop,
    fork: &'s ResolvedFork,
    item: &'s Planned<'_>,
) -> Vec<(&'s Field, &'s Quantity)> {
    let named = item.procedure.body.references.iter().filter(|reference| reference.scheme == Scheme::Spec);
    let mut out = Vec::new();
    for id in named.filter_map(|reference| shop.catalogue.find(&reference.target)) {
        let field = shop.catalogue.field(id);
        if field.kind != Kind::Quantity(Dimension::Torque) {
            continue;
        }
        for side in Side::BOTH.into_iter().zip(item.legs).filter(|(_, on)| *on).map(|(side, _)| side) {
            if let Some(torque) = fork.on(side, id).and_then(Resolved::quantity) {
                out.push((field, torque));
            }
        }
    }
    out
}

/// The wrench that comes nearest to a torque which none of them reads well; none where one does, or none says its
/// range.
fn falls_to<'s>(ranges: &[(&'s Tool, &Quantity)], torque: &Quantity) -> Option<&'s Tool> {
    let off = |range: &Quantity| {
        let at = torque.middle_si();
        (range.least_si() - at).max(at - range.greatest_si())
    };
    let nearest = ranges.iter().min_by(|a, b| off(a.1).total_cmp(&off(b.1)))?;
    (off(nearest.1) > 0.0).then_some(nearest.0)
}

/// Where a torque stands that is written for each leg, on a leg that is worked on alone, and whose other leg's figure one
/// of these wrenches reads well.
fn exchanged(
    shop: &Shop,
    fork: &ResolvedFork,
    item: &Planned<'_>,
    joint: &Field,
    ranges: &[(&Tool, &Quantity)],
) -> Option<Span> {
    let [here, other] = match item.legs {
        [true, false] => Side::BOTH,
        [false, true] => [Side::Right, Side::Left],
        _ => return None,
    };
    let id = shop.catalogue.find(&joint.key)?;
    let (here, there) = (fork.on(here, id)?, fork.on(other, id)?.quantity()?);
    let at = there.middle_si();
    let reaches = ranges.iter().any(|(_, range)| (range.least_si()..=range.greatest_si()).contains(&at));
    reaches.then_some(here.entry.span)
}

fn finding(tool: &Tool, of: &Unserved<'_>) -> Finding {
    let list =
        |names: &BTreeSet<&str>| names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
    let joints = of.joints.iter().map(String::as_str).collect::<Vec<_>>().join(", ");
    let range = tool.torques.as_ref().map_or("", |range| range.text.as_str());
    let mut finding = rules::WRENCH_OUT_OF_RANGE
        .graded(
            if of.published { Severity::Error } else { Severity::Warning },
            tool.id.span,
            format!(
                "`{}` reads well at {range}, and {} outside of that: {joints}",
                tool.id.text,
                count(of.joints.len(), "joint is", "joints are"),
            ),
        )
        .bench("where a wrench does not read well it clicks too early or too late, and nobody sees which")
        .instead(match of.exchanged {
            Some(_) => {
                "read the torque of each leg on the sheet again: left and right may be exchanged".to_owned()
            }
            None => {
                format!("list a wrench that reads well there among the `tools:` of {}", list(&of.procedures))
            }
        });
    if let Some(torque) = of.exchanged {
        finding = finding.also(torque, "the torque of this leg");
    }
    finding.reaches = of.forks.iter().map(|id| (*id).to_owned()).collect();
    finding
}
