//! The damping adjusters of one record are counted from the same end.

use crate::catalogue::{FieldId, Key, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// The damping adjusters.
const DAMPING: [Key; 3] =
    [key::ADJUSTERS_REBOUND, key::ADJUSTERS_COMPRESSION, key::ADJUSTERS_COMPRESSION_HIGH];

/// counted-apart: one sheet counts all its damping adjusters from the same end (common practice, no source).
pub(crate) fn counted(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let on = |key: Key| Side::BOTH.into_iter().filter_map(move |side| fork.on(side, FieldId::from(key)));
    let all: Vec<(&Resolved, &str)> =
        DAMPING.into_iter().flat_map(on).filter_map(|value| Some((value, from(value)?))).collect();
    let count = |end: &str| all.iter().filter(|(_, from)| *from == end).count();
    let Some((first, usual)) = all.iter().rev().max_by_key(|(_, from)| count(from)).copied() else { return };
    let Some((value, odd)) = all.iter().find(|(_, from)| *from != usual).copied() else { return };
    let title = |value: &Resolved| lower_first(&shop.catalogue.field(value.field).title);
    findings.push(
        rules::COUNTED_APART
            .graded(
                weight(fork),
                value.entry.attributes.get("counted").map_or(value.entry.span, |named| named.text.span),
                format!("{} is counted {}, and {} {}", title(value), plain(odd), title(first), plain(usual)),
            )
            .bench("counted from the wrong end the adjuster stands nearly open where it should be nearly closed, or the reverse")
            .instead("read on the sheet from which end each is counted")
            .also(first.entry.span, "beside this"),
    );
}

/// From which end a value is counted, where that is known.
fn from(value: &Resolved) -> Option<&str> {
    let end = value.entry.attributes.get("counted")?.text.text.as_str();
    (end != "unknown").then_some(end)
}

fn plain(end: &str) -> String {
    end.replace('-', " ")
}
