//! When oil and seals are due again.

use std::collections::BTreeSet;

use super::figure::{main_said, two_units};
use super::sign::signed;
use super::view::{DueRow, DueView};
use crate::catalogue::{Field, Owner};
use crate::check::CheckedFork;
use crate::quantity::{Dimension, Kind, Quantity, Shape, Value};
use crate::resolve::{Shop, Side};

/// When everything with an interval is due again. `renewed`: what begins anew with a service, by key;
/// none on a fork's own page, where all of them are told.
pub fn due(shop: &Shop, fork: &CheckedFork, renewed: Option<&BTreeSet<&str>>) -> DueView {
    let mut out = DueView::default();
    // What no work of this shop ever renews, such as the first oil change, is not asked for at hand-back.
    let is_renewable = |key: &str| {
        renewed.is_none() || shop.procedures.iter().any(|p| p.renews.iter().any(|named| named.text == key))
    };
    for (id, field) in shop.catalogue.of(Owner::Fork) {
        if field.kind != Kind::Interval || !is_renewable(&field.key) {
            continue;
        }
        let value = Side::BOTH
            .iter()
            .find_map(|side| fork.on(*side, id))
            .filter(|value| !value.not_fitted() && !value.is_unknown());
        let parts = value.and_then(|value| value.value()).map(Value::parts).unwrap_or_default();
        let renewed = renewed.is_none_or(|keys| keys.contains(field.key.as_str()));
        for quantity in parts.iter().filter_map(Value::quantity) {
            let mut row = row(shop, field, quantity, renewed);
            row.every = signed(&row.every, fork.is_uncompared(id));
            // A day is not read off the machine.
            if row.renewed && !row.calendar && !out.units.contains(&row.unit) {
                out.units.push(row.unit.clone());
            }
            out.rows.push(row);
        }
    }
    out
}

/// When one interval is over.
fn row(shop: &Shop, field: &Field, quantity: &Quantity, renewed: bool) -> DueRow {
    let reading = main_said(shop, Some(field), quantity);
    let (every, second, _) = two_units(shop, Some(field), quantity);
    // Of a range the earlier end: what is changed too early costs oil, too late a tube.
    let add = match &reading.shape {
        Shape::Range { from, .. } => from.text(),
        shape => shape.number().text(),
    };
    DueRow {
        title: field.title.clone(),
        short: field.short.clone(),
        every,
        second,
        counted: field.measured.clone(),
        add,
        renewed,
        calendar: quantity.dimension() == Dimension::Calendar,
        unit: reading.unit.symbol.to_owned(),
    }
}
