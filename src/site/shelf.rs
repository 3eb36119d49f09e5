//! What is taken from the shelf for a job.

use super::view::{PartToFit, PullGroup, PullItem, PullView};
use crate::book::parts::apart;
use crate::book::sign::{SIGN, signed};
use crate::check::CheckedFork;
use crate::plan::Plan;
use crate::pull::{PartLine, pull_plans};
use crate::resolve::Shop;
use crate::words::slug;

/// What to take from the shelf for one job.
pub fn pull(shop: &Shop, fork: &CheckedFork, plan: &Plan<'_>) -> PullView {
    let list = pull_plans(shop, &[(fork, plan)]);
    let oils = list.oils.iter().map(|oil| {
        let bottles: Vec<String> =
            oil.bottles.iter().map(|(size, count)| format!("{count} × {size}\u{a0}mL")).collect();
        PullItem {
            keep: format!("pull-oil-{}", oil.oil),
            title: oil.title.clone(),
            count: bottles.join(" + "),
            size: signed(
                &format!("takes {}\u{a0}mL, with waste {}\u{a0}mL", oil.amount_ml, oil.with_waste_ml),
                oil.taken_over,
            ),
        }
    });
    let lines = |lines: &[PartLine]| {
        // Of two sizes of one thing each has its own tick.
        let twice = |id: &Option<String>| lines.iter().filter(|other| other.tool == *id).count() > 1;
        lines.iter().map(|line| item(line, line.tool.is_none() || twice(&line.tool))).collect::<Vec<_>>()
    };
    let parts = lines(&list.parts);
    let fitted = list.parts.iter().zip(&parts).map(|(line, item)| to_fit(line, item)).collect();
    let groups = [
        ("Oil", oils.collect()),
        ("Parts", parts),
        ("Consumables", lines(&list.consumables)),
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
        fitted,
    }
}

fn item(line: &PartLine, sized: bool) -> PullItem {
    let size = line.size.clone().unwrap_or_default();
    let name = line.tool.as_ref().unwrap_or(&line.title);
    PullItem {
        keep: format!("pull-{}", slug(&if sized { format!("{name} {size}") } else { name.clone() }, "maker")),
        title: line.title.clone(),
        count: match (line.count, &line.unit) {
            (Some(count), Some(unit)) if unit != "pieces" => format!("{count} {unit}"),
            (Some(count), _) => format!("{count} ×"),
            (None, _) => String::new(),
        },
        size: match line.size_and_standing() {
            said if said.is_empty() && line.taken_over => SIGN.to_owned(),
            said => signed(&said, line.taken_over),
        },
    }
}

/// A part of the list as one that goes in.
fn to_fit(line: &PartLine, item: &PullItem) -> PartToFit {
    let (size, number) = apart(line.size.as_deref().unwrap_or_default());
    PartToFit {
        keep: item.keep.clone(),
        part: line.tool.clone().unwrap_or_else(|| line.title.clone()),
        title: line.title.clone(),
        count: item.count.clone(),
        size: size.to_owned(),
        number: number.to_owned(),
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
