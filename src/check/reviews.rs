//! Rules on reviews: what changed since somebody vouched for it, what nobody vouches for, and entries that
//! vouch for nothing.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::accept::unreadable;
use super::fork::lower_first;
use super::{CheckedFamily, CheckedFork, CheckedOil};
use crate::date::{AsOf, Date};
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::record::{RecordKind, Review, SpecLine, SpecRecord, Text};
use crate::resolve::Shop;
use crate::review::code::is_code;
use crate::review::{CHOICES, GONE, MACHINES, RecordReview, Standing, Vouch};
use crate::review::{counts, is_approver, is_estimate, is_sealed, later_source, lines};
use crate::text::Span;

/// Runs them all.
pub(super) fn rules(
    shop: &Shop,
    (forks, families, oils): (&[CheckedFork], &[CheckedFamily], &[CheckedOil]),
    day: Option<AsOf>,
    found: &mut Vec<Finding>,
) {
    released(shop, found);
    if !shop.is_reviewed() {
        return;
    }
    let of_fork = |fork: &CheckedFork| {
        let mut own = Vec::new();
        let judged = Judged::of(shop, &fork.record, lines(fork).into_values(), &fork.review);
        entries(&judged, day, &mut own);
        standings(&judged, &mut own);
        unreviewed(&judged, &mut own);
        for finding in &mut own {
            finding.reaches = vec![fork.id.clone()];
        }
        own
    };
    let told: Vec<Vec<Finding>> = forks.par_iter().map(of_fork).collect();
    found.extend(told.into_iter().flatten());
    let alone = families
        .iter()
        .map(|family| (&family.record, &family.review))
        .chain(oils.iter().map(|oil| (&oil.record, &oil.review)));
    for (record, review) in alone {
        let judged =
            Judged::of(shop, record, record.values.iter().map(|line| (line, record.as_ref())), review);
        entries(&judged, day, found);
        standings(&judged, found);
    }
}

type Line<'s> = (&'s SpecLine, &'s SpecRecord);

/// A record with its values, inherited ones too, and how they stand.
struct Judged<'s> {
    shop: &'s Shop,
    record: &'s SpecRecord,
    lines: BTreeMap<&'s str, Line<'s>>,
    review: &'s RecordReview,
}

impl<'s> Judged<'s> {
    fn of(
        shop: &'s Shop,
        record: &'s SpecRecord,
        lines: impl IntoIterator<Item = Line<'s>>,
        review: &'s RecordReview,
    ) -> Self {
        let key = |(line, from): Line<'s>| (shop.catalogue.field(line.field).key.as_str(), (line, from));
        Judged { shop, record, lines: lines.into_iter().map(key).collect(), review }
    }

    fn line(&self, key: &str) -> Option<Line<'s>> {
        self.lines.get(key).copied()
    }
}

/// review-by, review-edited, review-date, review-unknown, review-estimate, date-unreadable: entries that
/// vouch for nothing, or for less than they say.
fn entries(judged: &Judged<'_>, day: Option<AsOf>, found: &mut Vec<Finding>) {
    let (shop, record) = (judged.shop, judged.record);
    for review in &record.reviewed {
        if !is_sealed(record, review)
            || review.values.iter().any(|(_, code)| !is_code(&code.text) && code.text != GONE)
        {
            found.push(edited(review));
            continue;
        }
        let Some(date) = Date::read(&review.date.text) else {
            found.push(unreadable(&review.date));
            continue;
        };
        if !is_approver(shop, &review.by.text) {
            found.push(by(shop, review));
            continue;
        }
        if let Some(day) = day.filter(|day| day.settled && date > day.date.next()) {
            found.push(
                rules::REVIEW_DATE
                    .at(
                        review.date.span,
                        format!("the review is of {date}, and the last commit of {}", day.date),
                    )
                    .bench("a review that has not happened yet vouches for nothing")
                    .instead("correct it with `benchleaf approve` on the day it was done"),
            );
        }
        for (key, _) in &review.values {
            value(judged, review, key, date, found);
        }
    }
}

fn value(judged: &Judged<'_>, review: &Review, key: &Text, date: Date, found: &mut Vec<Finding>) {
    let (shop, record) = (judged.shop, judged.record);
    let head = key.text == CHOICES && record.kind != RecordKind::Oil
        || key.text == MACHINES && record.kind == RecordKind::Fork;
    if head {
        return;
    }
    if shop.catalogue.find(&key.text).is_none() {
        // What a shop's own fields are called is not known where their declaration cannot be read.
        if !shop.catalogue.incomplete {
            let known = shop.catalogue.iter().map(|(_, field)| field.key.as_str());
            found.push(
                rules::REVIEW_UNKNOWN
                    .at(key.span, format!("there is no value `{}`", key.text))
                    .bench("the review vouches for something that no page or card shows")
                    .instead(did_you_mean(&key.text, known, || {
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
        found.push(
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
        found.push(
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

fn edited(review: &Review) -> Finding {
    rules::REVIEW_EDITED.at(review.digest.span,
        "this review is not as it was recorded: the seal does not fit what stands here",
    )
    .bench("the card would say that somebody vouches for numbers nobody looked at")
    .instead("restore it from git; where the record was renamed or copied, take the entry out and review it anew with `benchleaf approve`")
}

fn by(shop: &Shop, review: &Review) -> Finding {
    let known = shop.settings.approvers.iter().map(|name| name.text.as_str());
    let all: Vec<&str> = known.clone().collect();
    rules::REVIEW_BY
        .at(
            review.by.span,
            format!("`{}` is not among the shop's approvers, so this review does not count", review.by.text),
        )
        .bench("its values are printed as if nobody had reviewed them")
        .instead(did_you_mean(&review.by.text, known, || {
            format!(
                "let one of {} review it, or add the name to `approvers:` in specs/shop.yaml",
                all.join(", ")
            )
        }))
}

/// review-stale, review-conflict: what changed since it was reviewed, at the place of the change.
fn standings(judged: &Judged<'_>, found: &mut Vec<Finding>) {
    let Judged { shop, record, review, .. } = judged;
    for (key, standing) in &review.values {
        let line = judged.line(key);
        let place = match line {
            Some((line, _)) => entry_span(line),
            None => record.id.span,
        };
        let bench = || match line.map(|(line, _)| shop.catalogue.field(line.field)) {
            Some(field) if !field.wrong.is_empty() => lower_first(&field.wrong),
            Some(_) => "the card carries a value nobody has looked at".to_owned(),
            None if key == MACHINES => "the right numbers for one machine are wrong for another".to_owned(),
            None => "what this fork must be given, and how it is bled and set, hangs on it".to_owned(),
        };
        match standing {
            // Said where the family is judged; there it reaches every model.
            Standing::Changed(Vouch { family: Some(_), .. }) if record.kind == RecordKind::Fork => {}
            Standing::Changed(vouch) => {
                found.push(stale(&named(key), "changed", vouch, place).bench(bench()));
            }
            Standing::Disputed(one, other) => found.push(
                rules::REVIEW_CONFLICT
                    .at(
                        place,
                        format!(
                            "{} and {} reviewed {} on {} and saw different things",
                            one.by,
                            other.by,
                            named(key),
                            one.date
                        ),
                    )
                    .bench(bench())
                    .instead(
                        "settle which holds, and review it again with `benchleaf approve` on a later day",
                    ),
            ),
            Standing::Reviewed(_) | Standing::Never => {}
        }
    }
    for gone in &review.gone {
        found.push(
            stale(&named(&gone.key), "went away", &gone.vouch, gone.span)
                .bench("a value that was vouched for is no longer printed"),
        );
    }
}

fn named(key: &str) -> String {
    match key {
        CHOICES => "what the fork is made of (`choices`)".to_owned(),
        MACHINES => "the list of machines".to_owned(),
        key => format!("`{key}`"),
    }
}

fn stale(what: &str, did: &str, vouch: &Vouch, place: Span) -> Finding {
    rules::REVIEW_STALE
        .at(place, format!("{what} {did} since {} reviewed it on {}", vouch.by, vouch.date))
        .instead("look at the change, and record the review with `benchleaf approve`")
}

fn entry_span(line: &SpecLine) -> Span {
    match &line.sides {
        crate::record::Sides::Each(entry) => entry.span,
        crate::record::Sides::Legs(..) => line.span,
    }
}

/// not-reviewed: safety-critical values that the reviews of a published fork do not cover. A fork that nobody has
/// reviewed at all is on the review list and on its card, and is no finding.
fn unreviewed(judged: &Judged<'_>, found: &mut Vec<Finding>) {
    let Judged { shop, record, review, lines } = judged;
    if record.draft || record.reviewed.is_empty() {
        return;
    }
    // An estimate cannot be reviewed, and has a warning of its own.
    let safety: BTreeSet<&str> = lines
        .values()
        .map(|(line, from)| (shop.catalogue.field(line.field), is_estimate(line, from)))
        .filter(|(field, estimate)| field.safety && !estimate)
        .map(|(field, _)| field.key.as_str())
        .collect();
    let never: Vec<&str> = review
        .values
        .iter()
        .filter(|(key, standing)| **standing == Standing::Never && safety.contains(key.as_str()))
        .map(|(key, _)| key.as_str())
        .collect();
    let Some(first) = never.first() else { return };
    let what = match never.len() {
        1 => format!("the safety-critical value `{first}` is in none of this fork's reviews"),
        n => format!("{n} safety-critical values are in none of this fork's reviews, among them `{first}`"),
    };
    found.push(
        rules::NOT_REVIEWED
            .at(record.id.span, what)
            .bench("the card marks them UNREVIEWED, and the person at the bench has to decide")
            .instead(format!(
                "check them against their sources, then `benchleaf approve {}`",
                record.id.text
            )),
    );
}

/// released-code, date-unreadable: the file of released cards is as the program writes it.
fn released(shop: &Shop, found: &mut Vec<Finding>) {
    for card in &shop.released.cards {
        for code in [&card.values, &card.card] {
            if !is_code(&code.text) {
                found.push(
                    rules::RELEASED_CODE
                        .at(code.span, format!("`{}` is no code of a card", code.text))
                        .bench("whoever types the code of such a card would be told that it is unknown")
                        .instead("restore the line from git; `benchleaf approve` writes this file"),
                );
            }
        }
        if Date::read(&card.date.text).is_none() {
            found.push(unreadable(&card.date));
        }
    }
}
