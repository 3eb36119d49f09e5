//! Entries that vouch for nothing, or for less than they say.

use super::judged::Judged;
use crate::check::review::dates::{ahead, unreadable};
use crate::date::{AsOf, Date};
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::record::{RecordKind, Review, SpecRecord, Text};
use crate::resolve::Shop;
use crate::review::code::is_code;
use crate::review::{
    BUILT, CHOICE, CHOICES, GONE, MACHINES, PARTS, Standing, compared_with, counts, is_approver, is_estimate,
    is_sealed, later_source,
};
use crate::text::Span;
use crate::words::{lower_first, one_of};

/// review-not-by-approver, review-edited, review-date, review-unknown, review-estimate, date-unreadable: entries that
/// vouch for nothing, or for less than they say.
pub(super) fn entries(judged: &Judged<'_>, day: Option<AsOf>, findings: &mut Vec<Finding>) {
    let (shop, record) = (judged.shop, judged.record);
    for review in &record.reviewed {
        if !is_sealed(record, review)
            || review.values.iter().any(|(_, code)| !is_code(&code.text) && code.text != GONE)
        {
            findings.push(resealed(review.digest.span).instead(TAKE_OUT));
            continue;
        }
        let Some(date) = Date::read(&review.date.text) else {
            findings.push(unreadable(&review.date));
            continue;
        };
        if !is_approver(shop, &review.by.text) {
            findings.push(not_by_approver(shop, &review.by));
            continue;
        }
        findings.extend(ahead(review.date.span, date, day));
        if let Some(source) = &review.compared {
            compared(record, review, source, date, findings);
        }
        for (key, _) in &review.values {
            value(judged, review, key, date, findings);
        }
    }
}

/// comparison-without-sheet, review-date: a comparison names a source that this very fork has, and had on its day.
fn compared(record: &SpecRecord, review: &Review, source: &Text, date: Date, findings: &mut Vec<Finding>) {
    let Some(note) = compared_with(record, &source.text) else {
        let ids = || record.sources.iter().map(|note| note.id.text.as_str());
        let can: Vec<&str> = ids().filter(|id| compared_with(record, id).is_some()).collect();
        let (what, instead) = match record.source_note(&source.text) {
            _ if record.kind != RecordKind::Fork => (
                format!("a comparison stands in a {}, which takes nothing over", record.kind.word()),
                "take it out, and review the record with `benchleaf approve`".to_owned(),
            ),
            Some(note) => (
                format!("the values were compared with `{}`, which is {}", source.text, note.kind.title()),
                "compare them with the maker's sheet of this fork, or with what was measured on it"
                    .to_owned(),
            ),
            None => (
                format!("the values were compared with `{}`, and this fork has no such source", source.text),
                did_you_mean(&source.text, can.iter().copied(), || match can.as_slice() {
                    [] => "name the sheet under `sources:`, and compare them with it".to_owned(),
                    can => {
                        format!("put the source back under `sources:`, or compare them with {}", one_of(can))
                    }
                }),
            ),
        };
        let bench = "the comparison counts for nothing, and the card marks each number it was meant for";
        findings.push(rules::COMPARISON_WITHOUT_SHEET.at(source.span, what).bench(bench).instead(instead));
        return;
    };
    let written = note.date.as_deref().unwrap_or_default();
    if Date::first_of(written).is_some_and(|day| day > date) {
        findings.push(
            rules::REVIEW_DATE
                .at(
                    review.date.span,
                    format!(
                        "the comparison of {date} is older than the source `{}` of {written}",
                        source.text
                    ),
                )
                .bench("whoever compared the numbers cannot have seen what they were compared with")
                .instead("correct the date that is wrong, or compare them again with `benchleaf approve`"),
        );
    }
}

fn value(judged: &Judged<'_>, review: &Review, key: &Text, date: Date, findings: &mut Vec<Finding>) {
    let (shop, record) = (judged.shop, judged.record);
    let parts = matches!(record.kind, RecordKind::Fork | RecordKind::Family);
    let head = [CHOICES, PARTS].contains(&key.text.as_str()) && parts
        || key.text == MACHINES && record.kind == RecordKind::Fork
        || key.text == BUILT && record.kind == RecordKind::Build;
    let choice = key.text.strip_prefix(CHOICE).filter(|_| review.compared.is_some());
    if head || choice.is_some_and(|key| shop.catalogue.choice(key).is_some()) {
        return;
    }
    if shop.catalogue.find(&key.text).is_none() {
        // What a shop's own fields are called is not known where their declaration cannot be read.
        if !shop.catalogue.incomplete {
            let keys = shop.catalogue.iter().map(|(_, field)| field.key.as_str());
            findings.push(
                rules::REVIEW_UNKNOWN
                    .at(key.span, format!("there is no value `{}`", key.text))
                    .bench("the review vouches for something that no page or card shows")
                    .instead(did_you_mean(&key.text, keys, || {
                        "review the record again with `benchleaf approve`".to_owned()
                    })),
            );
        }
        return;
    }
    let Some((line, from)) = judged.line(&key.text) else { return };
    let field = shop.catalogue.field(line.field);
    let vouched = field.safety && is_estimate(line, from) && *judged.review.of(&key.text) == Standing::Never;
    if vouched && newest(shop, record, review, &key.text) {
        findings.push(
            rules::REVIEW_ESTIMATE
                .at(
                    key.span,
                    format!(
                        "`{}` is safety-critical and rests on an estimate, so no review of it counts",
                        key.text
                    ),
                )
                .bench(lower_first(&field.wrong))
                .instead("measure it, or find the maker's sheet, and review it then"),
        );
    }
    if let Some((source, written)) = later_source(line, from, date)
        && newest(shop, record, review, &key.text)
    {
        findings.push(
            rules::REVIEW_DATE.at(review.date.span,
                format!("the review of {date} is older than the source `{source}` of {written}, on which `{}` rests", key.text),
            )
            .bench("whoever reviewed it cannot have seen what it rests on")
            .instead("correct the date that is wrong, and review it again with `benchleaf approve`"),
        );
    }
}

/// Whether no later entry speaks of the value: an old entry has been overtaken.
fn newest(shop: &Shop, record: &SpecRecord, review: &Review, key: &str) -> bool {
    let speaks = |other: &&Review| {
        counts(shop, record, other).is_some() && other.values.iter().any(|(k, _)| k.text == key)
    };
    // No two entries stand at the same place.
    record.reviewed.iter().rfind(speaks).is_none_or(|last| last.span == review.span)
}

const TAKE_OUT: &str = "restore it from git; where the record was renamed or copied, take the entry out and review it anew with `benchleaf approve`";

/// An entry that is not as it was sealed.
pub(super) fn resealed(digest: Span) -> Finding {
    rules::REVIEW_EDITED
        .at(digest, "this review is not as it was recorded: the seal does not fit what stands here")
        .bench("the card would say that somebody vouches for what nobody looked at")
}

/// An entry by somebody who is no approver.
pub(super) fn not_by_approver(shop: &Shop, by: &Text) -> Finding {
    let approvers = shop.settings.approvers.iter().map(|name| name.text.as_str());
    let all: Vec<&str> = approvers.clone().collect();
    rules::REVIEW_NOT_BY_APPROVER
        .at(
            by.span,
            format!("`{}` is not among the shop's approvers, so this review does not count", by.text),
        )
        .bench("what it covers is printed as if nobody had reviewed it")
        .instead(did_you_mean(&by.text, approvers, || {
            format!("let {} review it, or add the name to `approvers:` in specs/shop.yaml", one_of(&all))
        }))
}
