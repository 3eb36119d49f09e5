//! The findings that came and went.

use super::change::FindingChange;
use crate::diagnostic::Finding;
use crate::pipeline::Checked;
use crate::record::SpecLine;
use crate::text::{FileId, Span};
use std::collections::BTreeMap;

/// The findings of one side that the other has not, however far they moved in their file.
pub(super) fn only(mine: &Checked, theirs: &Checked) -> Vec<FindingChange> {
    let mut out: Vec<FindingChange> =
        not_in(mine, theirs).0.iter().map(|finding| change(finding, mine)).collect();
    out.sort();
    out
}

/// The findings of one side that the other has not, and those that it has. The same rule, weight, record, value and
/// words make the same finding, on whichever line it stands; said twice where it was said once, one of them is new.
pub fn not_in(mine: &Checked, theirs: &Checked) -> (Vec<Finding>, Vec<Finding>) {
    let mut counts: BTreeMap<(FindingChange, String), usize> = BTreeMap::new();
    let keys = keys(theirs);
    for finding in &theirs.findings {
        *counts.entry((change(finding, theirs), key(&keys, finding.span))).or_default() += 1;
    }
    let keys = self::keys(mine);
    let is_new = |finding: &Finding| match counts.get_mut(&(change(finding, mine), key(&keys, finding.span)))
    {
        Some(left) if *left > 0 => {
            *left -= 1;
            false
        }
        _ => true,
    };
    mine.findings.iter().cloned().partition(is_new)
}

fn change(finding: &Finding, checked: &Checked) -> FindingChange {
    FindingChange {
        severity: finding.severity,
        code: finding.code().to_owned(),
        path: checked.files.get(finding.span.file).path.clone(),
        message: finding.message.clone(),
    }
}

/// The values of every record, with their keys, by file.
type Keys<'c> = BTreeMap<FileId, Vec<(Span, &'c str)>>;

fn keys(checked: &Checked) -> Keys<'_> {
    let shop = &checked.shop;
    let records = shop.records();
    let key = |line: &SpecLine| (line.span, shop.catalogue.field(line.field).key.as_str());
    records.map(|record| (record.file, record.values.iter().map(key).collect())).collect()
}

/// The value at a place; empty where there is none.
fn key(keys: &Keys<'_>, place: Span) -> String {
    let here = keys.get(&place.file).map_or(&[][..], Vec::as_slice);
    let at = here.iter().find(|(span, _)| place.start >= span.start && place.end <= span.end.max(span.start));
    at.map(|(_, key)| (*key).to_owned()).unwrap_or_default()
}
