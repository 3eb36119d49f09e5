//! The torques of a fork that stand in no procedure it uses.

use std::collections::HashSet;

use super::places::asked;
use crate::book::Book;
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::quantity::{Dimension, Kind, Value};
use crate::resolve::Side;

/// How many are named.
const NAMED: usize = 3;

/// Says which torques no procedure of the fork's services names: they stand on no card. Empty where there is none.
pub(super) fn unnamed(book: &Book<'_>, fork: &CheckedFork) -> String {
    let plans = book.plans.of(fork);
    let items = plans.iter().flat_map(|plan| &plan.items);
    let named: HashSet<FieldId> = items.flat_map(|item| asked(book, item)).map(|asked| asked.id).collect();
    let is_known = |id| {
        Side::BOTH.iter().any(|side| {
            fork.on(*side, id).is_some_and(|found| found.value().and_then(Value::quantity).is_some())
        })
    };
    let fields = book.shop.catalogue.iter().filter(|(id, field)| {
        field.kind == Kind::Quantity(Dimension::Torque) && !named.contains(id) && is_known(*id)
    });
    let names: Vec<&str> = fields
        .map(|(_, field)| if field.short.is_empty() { field.title.as_str() } else { field.short.as_str() })
        .collect();
    if names.is_empty() {
        return String::new();
    }
    let more = names.len().saturating_sub(NAMED);
    let rest = if more == 0 { String::new() } else { format!(" and {more} more") };
    let first = names[..names.len().min(NAMED)].join(", ");
    format!("Torques in no procedure, so on the hang card alone: {first}{rest}.")
}
