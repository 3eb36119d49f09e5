//! What is taken from the shelf for a job, and when oil and seals are due again.

use std::collections::BTreeSet;

use super::show::{main_said, two_units};
use super::slug;
use crate::catalogue::Owner;
use crate::plan::Plan;
use crate::publish::view::{DueRow, DueView, PullGroup, PullItem, PullView};
use crate::pull::{PartLine, pull_plans};
use crate::quantity::{Kind, Shape};
use crate::resolve::{ResolvedFork, Shop, Side};

/// What to take from the shelf for one job.
pub fn pull(shop: &Shop, fork: &ResolvedFork, plan: &Plan<'_>) -> PullView {
    let list = pull_plans(shop, &[(fork, plan)]);
    let oils = list.oils.iter().map(|oil| {
        let bottles: Vec<String> =
            oil.bottles.iter().map(|(size, count)| format!("{count} × {size}\u{a0}mL")).collect();
        PullItem {
            keep: format!("pull-oil-{}", oil.oil),
            title: oil.title.clone(),
            count: bottles.join(" + "),
            size: format!("takes {}\u{a0}mL, with waste {}\u{a0}mL", oil.amount_ml, oil.with_waste_ml),
        }
    });
    let lines = |lines: &[PartLine]| {
        // Of two sizes of one thing each has its own tick.
        let twice = |id: &Option<String>| lines.iter().filter(|other| other.tool == *id).count() > 1;
        lines.iter().map(|line| item(line, line.tool.is_none() || twice(&line.tool))).collect::<Vec<_>>()
    };
    let groups = [
        ("Oil", oils.collect()),
        ("Parts", lines(&list.parts)),
        ("Used up", lines(&list.consumables)),
        ("Tools", lines(&list.tools)),
    ];
    PullView {
        time: time_allowed(plan),
        groups: groups
            .into_iter()
            .filter(|(_, items)| !items.is_empty())
            .map(|(title, items)| PullGroup { title: title.to_owned(), items })
            .collect(),
        missing: list.missing,
    }
}

fn item(line: &PartLine, sized: bool) -> PullItem {
    let size = line.size.clone().unwrap_or_default();
    let name = line.tool.as_ref().unwrap_or(&line.title);
    PullItem {
        keep: format!("pull-{}", slug(&if sized { format!("{name} {size}") } else { name.clone() })),
        title: line.title.clone(),
        count: match (line.count, &line.unit) {
            (Some(count), Some(unit)) if unit != "pieces" => format!("{count} {unit}"),
            (Some(count), _) => format!("{count} ×"),
            (None, _) => String::new(),
        },
        size,
    }
}

/// The hands-on time a service allows, or that of its procedures together, and the waiting beside it; empty where
/// no hands-on time is said.
pub fn time_allowed(plan: &Plan<'_>) -> String {
    let hands_on = crate::pull::minutes(plan).map(minutes).unwrap_or_default();
    match crate::pull::waiting(plan) {
        0 => hands_on,
        _ if hands_on.is_empty() => hands_on,
        waiting => format!("{hands_on}, {} waiting", minutes(waiting)),
    }
}

/// `5 h 30 min`, `4 h`, `20 min`.
fn minutes(all: u64) -> String {
    match (all / 60, all % 60) {
        (0, minutes) => format!("{minutes}\u{a0}min"),
        (hours, 0) => format!("{hours}\u{a0}h"),
        (hours, minutes) => format!("{hours}\u{a0}h {minutes}\u{a0}min"),
    }
}

/// When everything with an interval is due again. `renewed`: what begins anew with a service, by key;
/// none on a fork's own page, where all of them are told.
pub fn due(shop: &Shop, fork: &ResolvedFork, renewed: Option<&BTreeSet<&str>>) -> DueView {
    let mut out = DueView::default();
    // What no work of this shop ever renews, such as the first oil change, is not asked for at hand-back.
    let known = |key: &str| {
        renewed.is_none() || shop.procedures.iter().any(|p| p.renews.iter().any(|named| named.text == key))
    };
    for (id, field) in shop.catalogue.of(Owner::Fork) {
        if field.kind != Kind::Interval || !known(&field.key) {
            continue;
        }
        let value = Side::BOTH.iter().find_map(|side| fork.on(*side, id)).filter(|value| !value.not_fitted());
        let Some(quantity) = value.and_then(|value| value.quantity()) else { continue };
        let said = main_said(shop, Some(field), quantity);
        let (every, second, _) = two_units(shop, Some(field), quantity);
        // Of a range the earlier end: what is changed too early costs oil, too late a tube.
        let add = match &said.shape {
            Shape::Range { from, .. } => from.text(),
            shape => shape.number().text(),
        };
        let unit = said.unit.symbol.to_owned();
        let row = DueRow {
            title: field.title.clone(),
            every,
            second,
            counted: field.measured.clone(),
            add,
            renewed: renewed.is_none_or(|keys| keys.contains(field.key.as_str())),
            unit,
        };
        if row.renewed && !out.units.contains(&row.unit) {
            out.units.push(row.unit.clone());
        }
        out.rows.push(row);
    }
    out
}
