//! What the sources of a fork do not say: open points, to be asked or measured.

use super::figure::{attribute_text, silent};
use crate::catalogue::{FieldId, STATE_PARTS, attribute};
use crate::record::Entry;
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower;

/// Something that a source does not say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Open {
    /// Of which value.
    pub field: FieldId,
    /// `left` or `right` where the legs differ, else empty.
    pub side: &'static str,
    /// What is open, such as `the sheet does not say` or `rest unknown`.
    pub what: String,
    /// What an approver says is done instead, and who; else empty.
    pub instead: (String, String),
}

/// Everything that is unknown of a fork, in catalogue order: values, parts of their states, attributes.
pub fn open_points(shop: &Shop, fork: &ResolvedFork) -> Vec<Open> {
    let mut out = Vec::new();
    for (field, _) in shop.catalogue.iter() {
        let on = |side| fork.on(side, field);
        let sides: &[(&'static str, Side)] = match (on(Side::Left), on(Side::Right)) {
            (Some(_), Some(_)) if fork.alike(field) => &[("", Side::Left)],
            _ => &[("left", Side::Left), ("right", Side::Right)],
        };
        for (side, resolved) in sides.iter().filter_map(|(word, side)| Some((*word, on(*side)?))) {
            out.extend(of_value(field, side, resolved));
        }
    }
    out
}

fn of_value(field: FieldId, side: &'static str, resolved: &Resolved) -> Vec<Open> {
    let open = |what: String| Open { field, side, what, instead: Default::default() };
    if resolved.is_unknown() {
        let instead = resolved.entry.instead.as_ref();
        let instead = instead.map(|instead| (instead.what.text.clone(), instead.by.text.clone()));
        return vec![Open { instead: instead.unwrap_or_default(), ..open(silent(resolved)) }];
    }
    parts(&resolved.entry).map(open).collect()
}

/// The parts of the state and the attributes that are unknown, in words.
fn parts(entry: &Entry) -> impl Iterator<Item = String> + '_ {
    let states = STATE_PARTS.iter().filter(|part| {
        entry.state.get(part.key).is_some_and(|named| !named.is_known() && named.value.is_some())
    });
    let states = states.map(|part| format!("{} unknown", lower(part.title)));
    let attributes = entry.attributes.iter().filter(|(_, named)| !named.is_known() && named.value.is_some());
    let attributes = attributes.filter(|(key, _)| attribute(key).is_some());
    states.chain(attributes.map(|(key, _)| attribute_text(entry, key)))
}
