//! Ids that records had before.

use std::collections::BTreeMap;

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::record::{RecordKind, Text, is_id};
use crate::resolve::Shop;
use crate::text::Span;

/// was-taken: an id that a record had before is nobody else's.
pub(crate) fn taken(shop: &Shop, _: &[CheckedFork], found: &mut Vec<Finding>) {
    let kinds = [
        (RecordKind::Fork, &shop.forks),
        (RecordKind::Family, &shop.families),
        (RecordKind::Oil, &shop.oils),
    ];
    for (kind, records) in kinds {
        let former = records.iter().flat_map(|record| &record.was);
        claims(kind, former, |id| records.find(id).map(|record| record.id.span), found);
    }
    let former = shop.procedures.iter().flat_map(|one| &one.was);
    claims(RecordKind::Procedure, former, |id| shop.procedure(id).map(|one| one.id.span), found);
}

fn claims<'s>(
    kind: RecordKind,
    former: impl Iterator<Item = &'s Text>,
    there: impl Fn(&str) -> Option<Span>,
    found: &mut Vec<Finding>,
) {
    let mut claimed: BTreeMap<&str, Span> = BTreeMap::new();
    for was in former {
        let record = there(&was.text);
        let other = record.or_else(|| claimed.get(was.text.as_str()).copied());
        let why = match (&other, is_id(&was.text)) {
            (_, false) => "cannot be an id",
            (Some(_), _) if record.is_some() => "is the id of a record that is there",
            (Some(_), _) => "is the former id of another record too",
            (None, true) => {
                claimed.insert(&was.text, was.span);
                continue;
            }
        };
        let mut finding = rules::WAS_TAKEN
            .at(was.span, format!("`{}` {why}", was.text))
            .bench("a printed card and a review of one record would be taken for the other's")
            .instead(format!("write under `was:` only ids that this {} had itself", kind.word()));
        if let Some(other) = other {
            finding = finding.also(other, "the other one");
        }
        found.push(finding);
    }
}
