//! How much a finding weighs: what an approver may let stand stops publishing where the number can hurt somebody, or
//! goes into every fork as an oil's does.

use std::collections::HashMap;

use crate::diagnostic::{Finding, Severity};
use crate::record::{RecordKind, SpecRecord};
use crate::resolve::Shop;
use crate::text::{FileId, Span};

/// Makes a warning that may be let stand an error where it speaks of a safety-critical number of a published record:
/// only an approver's word lets the number on the card. A draft is warned.
pub(super) fn weigh(shop: &Shop, findings: &mut [Finding]) {
    let records = shop.records();
    let records: HashMap<FileId, &SpecRecord> =
        records.map(|record| (record.file, record.as_ref())).collect();
    for finding in findings {
        let may_stand = finding.rule.acceptable && finding.rule.of_the_number;
        if may_stand && finding.severity == Severity::Warning && can_hurt(shop, &records, finding) {
            finding.severity = Severity::Error;
        }
    }
}

/// Whether a finding stands at a safety-critical value that a card prints.
fn can_hurt(shop: &Shop, records: &HashMap<FileId, &SpecRecord>, finding: &Finding) -> bool {
    let Some(record) = records.get(&finding.span.file) else { return false };
    is_published(shop, record, &finding.reaches) && is_critical(shop, record, finding.span)
}

/// A family is published with the forks that take its values over.
fn is_published(shop: &Shop, record: &SpecRecord, reaches: &[String]) -> bool {
    match record.kind {
        RecordKind::Family => reaches.iter().filter_map(|id| shop.fork(id)).any(|fork| !fork.draft),
        _ => !record.draft,
    }
}

fn is_critical(shop: &Shop, record: &SpecRecord, place: Span) -> bool {
    if matches!(record.kind, RecordKind::Oil | RecordKind::Spring) {
        return true;
    }
    let here = |line: Span| line.start <= place.start && place.end <= line.end;
    let mut lines = record.values.iter().filter(|line| here(line.span));
    lines.any(|line| {
        let field = shop.catalogue.field(line.field);
        field.safety || decides_on_a_critical_one(shop, &field.key)
    })
}

/// Whether a value says how far the legs may differ in one that can hurt somebody: it decides whether that one passes.
fn decides_on_a_critical_one(shop: &Shop, key: &str) -> bool {
    let mut fields = shop.catalogue.iter().map(|(_, field)| field);
    fields.any(|field| field.safety && field.difference.as_deref() == Some(key))
}
