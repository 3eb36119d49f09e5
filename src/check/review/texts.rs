//! Reviews of procedures, cautions, conditions and services: entries that vouch for nothing, what changed since, and
//! which guards went.

use rayon::prelude::*;

use super::dates::{ahead, unreadable};
use super::entries::{not_by_approver, resealed};
use crate::check::service::condition_words::otherwise;
use crate::date::{AsOf, Date};
use crate::diagnostic::{Finding, Severity, did_you_mean, rules};
use crate::record::TextReview;
use crate::resolve::Shop;
use crate::review::{
    CARRIED, Change, STEP_ORDER, Standing, TextKey, TextKind, TextReviews, Vouch, WORD_ORDER, is_approver,
    is_of_shop, rests_on, text_is_sealed,
};
use crate::text::Span;
use crate::words::lower_first;

/// guard-taken-away, review-stale, review-conflict, review-unknown, not-reviewed and what can be wrong with an entry, for
/// the reviews of texts.
pub(crate) fn texts(shop: &Shop, texts: &TextReviews, day: Option<AsOf>, findings: &mut Vec<Finding>) {
    findings.par_extend(shop.reviews.list.par_iter().filter_map(|review| entry(shop, review, day)));
    for (key, text) in &texts.texts {
        let Some(place) = place(shop, key) else { continue };
        match &text.standing {
            Standing::Changed(vouch) => findings.extend(changed(shop, key, &text.changes, vouch, place)),
            Standing::Disputed(first, second) => findings.push(disputed(key, first, second, place)),
            Standing::Reviewed(_) | Standing::NotCompared | Standing::Never => {}
        }
    }
    gone(texts, findings);
    never(shop, texts, findings);
}

/// What is wrong with an entry itself, one finding.
fn entry(shop: &Shop, review: &TextReview, day: Option<AsOf>) -> Option<Finding> {
    if !text_is_sealed(review) {
        return Some(resealed(review.digest.span).instead(
            "restore specs/reviews.yaml from git, or take the entry out and review the texts anew with `benchleaf approve`",
        ));
    }
    if !is_of_shop(shop, review) {
        return Some(of_another_shop(shop, review));
    }
    let Some(date) = Date::read(&review.date.text) else { return Some(unreadable(&review.date)) };
    if !is_approver(shop, &review.by.text) {
        return Some(not_by_approver(shop, &review.by));
    }
    ahead(review.date.span, date, day)
}

fn of_another_shop(shop: &Shop, review: &TextReview) -> Finding {
    let (there, here) = (&review.shop.text, &shop.settings.name);
    rules::REVIEW_UNKNOWN
        .at(review.shop.span, format!("this review was recorded in the shop `{there}`, and this one is called `{here}`"))
        .bench("nobody vouches for these texts here")
        .instead(
            "where it came from another shop, take specs/reviews.yaml out; where the shop was renamed, review the texts anew with `benchleaf approve`",
        )
}

/// Where a text says its id.
pub(super) fn place(shop: &Shop, (kind, id): &TextKey) -> Option<Span> {
    match kind {
        TextKind::Procedure => shop.procedure(id).map(|one| one.id.span),
        TextKind::Caution => shop.caution(id).map(|one| one.id.span),
        TextKind::Service => shop.service(id).map(|one| one.id.span),
        TextKind::Condition => {
            shop.conditions.list.iter().find(|one| one.id.text == *id).map(|one| one.id.span)
        }
    }
}

pub(super) fn name((kind, id): &TextKey) -> String {
    format!("the {} `{id}`", kind.word())
}

/// The command that records a review of this text.
pub(super) fn command((kind, id): &TextKey) -> String {
    format!("`benchleaf approve {}:{id}`", kind.word())
}

fn changed(shop: &Shop, key: &TextKey, changes: &[Change], vouch: &Vouch, place: Span) -> Option<Finding> {
    let first = changes.first()?;
    let said: Vec<&str> = changes
        .iter()
        .filter(|change| change.guard == first.guard)
        .map(|change| change.what.as_str())
        .collect();
    let said = said.join(", and ");
    if !first.guard {
        let message = format!("{} {said} since {} reviewed it on {}", name(key), vouch.by, vouch.date);
        let (severity, bench) = match changes.iter().all(Change::is_of_a_reason) {
            true => (Severity::Note, "the work is as it was reviewed; its reason is not"),
            false => (Severity::Warning, "the card carries words nobody has looked at"),
        };
        return Some(
            rules::REVIEW_STALE
                .graded(severity, place, message)
                .bench(bench)
                .instead(format!("look at the change, and record the review with {}", command(key))),
        );
    }
    let back = back(key.0, first);
    let message =
        format!("{} {said}; it was otherwise when {} reviewed it on {}", name(key), vouch.by, vouch.date);
    Some(
        rules::GUARD_TAKEN_AWAY
            .at(place, message)
            .bench(harm(shop, first))
            .instead(format!("{back}; or, where it is right, let an approver say so with {}", command(key))),
    )
}

/// What to put back where a guard went.
pub(super) fn back(kind: TextKind, change: &Change) -> String {
    match change.part.as_str() {
        "steps" => "put the step back".to_owned(),
        STEP_ORDER => "put the steps back into their order".to_owned(),
        WORD_ORDER => format!("put “{}” first again", change.name),
        CARRIED => format!("put the caution `{}` back at its step", change.name),
        "says" => format!("put “{}” back", change.name),
        "called" => format!("call it “{}” again", change.name),
        "pours" => format!("put `pours: {}` back", change.name),
        "renews" => format!("take `{}` out of `renews:` again", change.name),
        "waits" => format!("put `waiting: {}` back", change.name),
        "uses_up" => format!("put `{}` back under `consumables:`", change.name),
        "worn" => format!("put `{}` back under `tools:` or `consumables:`", change.name),
        "signal" => "put the signal word back".to_owned(),
        "for" | "text" => "put its words back".to_owned(),
        "start" => format!("take `{}` out of `start:` again", change.name),
        "brings" if change.what.starts_with("now ") => {
            format!("take `{}` out of `brings:` again", change.name)
        }
        "sets" => format!("put the link `spec:{}` back into its step", change.name),
        "writes" => format!("put the box `<reading:{}>` back into its step", change.name),
        "cautions" if kind == TextKind::Procedure => {
            format!("put the link `caution:{}` back into its step", change.name)
        }
        part => format!("put `{}` back under `{part}:`", change.name),
    }
}

/// What the loss of a guard does.
pub(super) fn harm(shop: &Shop, change: &Change) -> String {
    let of_condition = || otherwise(shop, &change.name);
    let of_value = || {
        let field = shop.catalogue.field(shop.catalogue.find(&change.name)?);
        Some(lower_first(&field.wrong)).filter(|wrong| !wrong.is_empty())
    };
    let known = match change.part.as_str() {
        "needs" | "hand_back" | "only_after" | "brings" | "start" | "implies" => of_condition(),
        "sets" | "writes" | "evidence" | "only_then" => of_value(),
        "says" => Some("a sentence that held somebody back reads otherwise, or is gone".to_owned()),
        "called" => {
            Some("the card and the page call the hazard something else, or something milder".to_owned())
        }
        "pours" => Some("too little oil is fetched, or too much is poured".to_owned()),
        "on_card" => Some("what must not be left out stands on the page alone".to_owned()),
        "again" => Some("a bolt that moved on the first ride is not found".to_owned()),
        "renews" => Some("its next day is counted from work that was not done".to_owned()),
        "waits" => Some("what wants time to settle, drip or leak is not given it".to_owned()),
        "uses_up" => Some("the step that wants it is done without it, or with what is at hand".to_owned()),
        "worn" => Some("eyes and hands are bare where something springs, sprays or burns".to_owned()),
        STEP_ORDER => Some("what one step makes safe for the next is done too late".to_owned()),
        WORD_ORDER => Some("what makes the work safe is done after it".to_owned()),
        "cautions" | "signal" | CARRIED => Some("the hazard meets somebody who has not been told".to_owned()),
        _ => None,
    };
    known.unwrap_or_else(|| "what held somebody back is gone from the page and the card".to_owned())
}

fn disputed(key: &TextKey, first: &Vouch, second: &Vouch, place: Span) -> Finding {
    let (name, date) = (name(key), first.date);
    rules::REVIEW_CONFLICT
        .at(
            place,
            format!("{} and {} reviewed {name} on {date} and saw different things", first.by, second.by),
        )
        .bench("the card carries words nobody has looked at")
        .instead(format!("settle which holds, and review it again with {}", command(key)))
}

/// review-unknown: a reviewed text that is not there any more, under this name.
fn gone(texts: &TextReviews, findings: &mut Vec<Finding>) {
    for gone in &texts.gone {
        let (name, Vouch { by, date, .. }) = (name(&gone.key), &gone.vouch);
        let message = format!("{name} is not there any more; {by} reviewed it on {date}");
        let ids = texts.texts.keys().filter(|(kind, _)| *kind == gone.key.0).map(|(_, id)| id.as_str());
        let instead = match &gone.renamed {
            Some(now) => {
                let now = (gone.key.0, now.clone());
                format!(
                    "{} reads the same: if it is the one, rename it back, or review it under its new name with {} and let an approver see that the old one is gone with {}",
                    self::name(&now),
                    command(&now),
                    command(&gone.key)
                )
            }
            None => did_you_mean(&gone.key.1, ids, || {
                format!(
                    "restore it from git; or, where it is right, let an approver say so with {}",
                    command(&gone.key)
                )
            }),
        };
        findings.push(
            rules::REVIEW_UNKNOWN
                .at(gone.span, message)
                .bench(
                    "its review does not go with it to another name: nobody vouches for what took its place",
                )
                .instead(instead),
        );
    }
}

/// not-reviewed: what a reviewed service rests on and no review covers, one finding a service.
fn never(shop: &Shop, texts: &TextReviews, findings: &mut Vec<Finding>) {
    let is_never = |key: &TextKey| texts.texts.get(key).is_some_and(|text| text.standing == Standing::Never);
    for service in &shop.services {
        let key = (TextKind::Service, service.id.text.clone());
        if is_never(&key) || !texts.texts.contains_key(&key) {
            continue;
        }
        let never: Vec<TextKey> = rests_on(shop, &key).into_iter().filter(is_never).collect();
        let Some(first) = never.first() else { continue };
        let what = match never.len() {
            1 => format!("{} is in none of this shop's reviews, and the service rests on it", name(first)),
            n => format!(
                "{n} of the texts this service rests on are in none of this shop's reviews, among them {}",
                name(first)
            ),
        };
        findings.push(
            rules::NOT_REVIEWED
                .at(service.id.span, what)
                .bench("the card says UNREVIEWED of its steps, and the person at the bench has to decide")
                .instead(format!("read them, then `benchleaf approve service:{} --whole`", service.id.text)),
        );
    }
}
