//! Every value says where it comes from.

use crate::diagnostic::Finding;
use crate::record::{Sides, SpecLine, SpecRecord};
use crate::resolve::{ResolvedFork, Shop};

/// How many values are named where many lack a source.
const NAMED: usize = 3;

/// source-missing: a record that names no source for all its values names one at each.
pub(super) fn missing(shop: &Shop, _: &[ResolvedFork], found: &mut Vec<Finding>) {
    for record in shop.forks.iter().chain(&shop.families).chain(&shop.oils) {
        if record.source.is_none() {
            of_record(shop, record, found);
        }
    }
}

fn of_record(shop: &Shop, record: &SpecRecord, found: &mut Vec<Finding>) {
    let key = |line: &SpecLine| shop.catalogue.field(line.field).key.as_str();
    let lacks: Vec<&SpecLine> = record.values.iter().filter(|line| lacks(line)).collect();
    let [first, rest @ ..] = lacks.as_slice() else { return };
    let finding = if rest.is_empty() {
        Finding::error(
            "source-missing",
            first.key_span,
            format!("`{}` does not say where it comes from", key(first)),
        )
    } else {
        let named: Vec<String> = lacks.iter().take(NAMED).map(|line| format!("`{}`", key(line))).collect();
        let more =
            if lacks.len() > NAMED { format!(" and {} more", lacks.len() - NAMED) } else { String::new() };
        // One line at the record's end is missing, so it is said once.
        Finding::error(
            "source-missing",
            record.id.span,
            format!("these values do not say where they come from: {}{more}", named.join(", ")),
        )
    };
    let instead = match record.sources.first() {
        Some(source) => format!("add `source: {}` to the record, or to the value", source.id.text),
        None => {
            "name the sheet or measurement once under `sources:` and point to it with `source:`".to_owned()
        }
    };
    found.push(
        finding.bench("a number nobody vouches for cannot be checked when it is doubted").instead(instead),
    );
}

/// Whether a value that can be read names no source on one of its sides.
fn lacks(line: &SpecLine) -> bool {
    let entries = match &line.sides {
        Sides::Each(entry) => [entry, entry],
        Sides::Legs(left, right) => [left, right],
    };
    entries.iter().any(|entry| {
        let says = entry.value.as_ref().is_some_and(|value| *value != crate::quantity::Value::NotFitted);
        says && entry.sources.is_empty()
    })
}
