//! One value of a group that is in another unit than all its fellows.

use std::collections::BTreeMap;

use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, Quantity, Unit, Value};
use crate::record::{Entry, RecordKind, Sides, SpecRecord};
use crate::resolve::Shop;
use crate::words::lower_first;

/// How many values of a group must share a unit before one without it stands alone.
const FELLOWS: usize = 3;

/// A value with its entry and what it is called.
type Said<'r> = (&'r Entry, &'r Quantity, &'r str);

/// lone-unit: where all values of a group are in one unit, one that is in another, and is not said in theirs as well,
/// is asked about.
pub(crate) fn units(shop: &Shop, record: &SpecRecord, findings: &mut Vec<Finding>) {
    if matches!(record.kind, RecordKind::Oil | RecordKind::Spring) {
        return;
    }
    let mut groups: BTreeMap<(&str, Dimension), Vec<Said<'_>>> = BTreeMap::new();
    for (group, said) in said(shop, record) {
        groups.entry((group, said.1.dimension())).or_default().push(said);
    }
    for group in groups.values() {
        findings.extend(lone(group));
    }
}

/// Every quantity of a record, with its group.
fn said<'r>(shop: &'r Shop, record: &'r SpecRecord) -> impl Iterator<Item = (&'r str, Said<'r>)> {
    record.values.iter().flat_map(|line| {
        let field = shop.catalogue.field(line.field);
        let entries = match &line.sides {
            Sides::Each(entry) => vec![entry],
            Sides::Legs(left, right) => vec![left, right],
        };
        entries.into_iter().filter_map(|entry| {
            let quantity = entry.value.as_ref().and_then(Value::quantity)?;
            Some((field.group.as_str(), (&**entry, quantity, field.title.as_str())))
        })
    })
}

fn lone(group: &[Said<'_>]) -> Option<Finding> {
    let mut counts: BTreeMap<&str, (usize, &'static Unit)> = BTreeMap::new();
    for (_, quantity, _) in group {
        let unit = quantity.unit();
        counts.entry(unit.symbol).or_insert((0, unit)).0 += 1;
    }
    let (_, (fellows, common)) = counts.iter().max_by_key(|(_, (count, _))| *count)?;
    if *fellows + 1 != group.len() || *fellows < FELLOWS {
        return None;
    }
    let (entry, quantity, title) =
        group.iter().find(|(_, quantity, _)| quantity.unit().symbol != common.symbol)?;
    if quantity.has_twin() {
        return None;
    }
    Some(
        rules::LONE_UNIT
            .at(
                entry.span,
                format!(
                    "{} is in {}, and the {fellows} others of its group are in {}",
                    lower_first(title),
                    quantity.unit().symbol,
                    common.symbol
                ),
            )
            .bench("a unit that was typed in habit is a figure that is set wrong")
            .instead(format!(
                "read the unit on the sheet again; if it is right, say it in {} as well, in brackets",
                common.symbol
            )),
    )
}
