//! What a card says, apart from how it is laid out: the values, the steps, the cautions and what is worked out
//! from them. Its digest is the card's code: as long as the code is the same, a card on the bench is right,
//! however the sheet was filled and whoever has reviewed it since.

use std::collections::BTreeSet;
use std::sync::Arc;

use rayon::prelude::*;
use serde::Serialize;

use super::cautions::body_text;
use crate::book::Book;
use crate::book::facts::card_tables;
use crate::book::figure::{attribute_text, machines_line, state};
use crate::book::memo::Codes;
use crate::book::parts::{NUMBER, NumberedPart, listed, number};
use crate::book::sign::unsigned;
use crate::catalogue::Owner;
use crate::check::CheckedFork;
use crate::plan::{Plan, Planned};
use crate::quantity::write_value;
use crate::record::Phase;
use crate::resolve::{Resolved, ResolvedFork, Side};
use crate::review::code::short;
use crate::review::{CardNow, HANG};
use crate::syntax::Scheme;

/// The codes of a fork's cards, in the order of its services.
pub fn codes_of<'b, 's>(book: &'b Book<'s>, fork: &'s CheckedFork) -> &'b [Codes] {
    let made = book.memo.codes.get(fork.id.as_str());
    made.map_or(&[], |made| made.get_or_init(|| codes(book, fork)))
}

fn codes<'s>(book: &Book<'s>, fork: &'s CheckedFork) -> Vec<Codes> {
    let texts = book.texts(fork);
    let values = texts.values.get_or_init(|| values_text(book, fork));
    let record = &fork.record;
    let is_estimate =
        |id| Side::BOTH.iter().any(|side| fork.on(*side, id).is_some_and(|value| value.is_estimate()));
    let estimates = book.shop.catalogue.of(Owner::Fork).filter(|(id, _)| is_estimate(*id));
    let estimates: Vec<&str> = estimates.map(|(_, field)| field.key.as_str()).collect();
    let facts = texts.facts();
    let code = short(values.as_bytes());
    // What is the same for all services of the fork is written once.
    let [title, machines, values, estimates] =
        [json(&record.title()), json(&machines_line(record)), json(values), json(&estimates)];
    let [warned, tables, not_made] =
        [json(&facts.cautions), json(&card_tables(book.shop, fork)), json(&facts.not_made)]
            .map(|told| unsigned(&told));
    let of_service = |plan: &Plan<'_>| {
        let (service, steps, cautions) =
            (json(&plan.service.title), steps(book, plan), cautions(book, fork, plan));
        let mut content = format!(
            "[{title},{machines},{service},{values},{estimates},{steps},{cautions},{warned},{tables},{not_made}"
        );
        // Only where something is said, so that the code of a card without it stays what it was.
        let beside = beside(book, fork, plan);
        if !beside.is_empty() {
            content.push_str(&format!(",{}", json(&beside)));
        }
        content.push(']');
        Codes { values: code.clone(), card: short(content.as_bytes()) }
    };
    book.plans.of(fork).iter().map(of_service).collect()
}

/// The codes of a fork's cards as texts to be kept: of each service values and card, and of the hang card.
pub fn kept_codes<'s>(book: &Book<'s>, fork: &'s CheckedFork) -> Vec<String> {
    let hang = hang_codes(book, fork);
    let all = codes_of(book, fork).iter().chain([&hang]);
    all.flat_map(|codes| [codes.values.clone(), codes.card.clone()]).collect()
}

/// Takes texts that were kept for the codes of a fork's cards, unless they are known or are not so many.
pub fn take_codes(book: &Book<'_>, fork: &CheckedFork, kept: &[String]) {
    let memo = (book.memo.codes.get(fork.id.as_str()), book.memo.hang.get(fork.id.as_str()));
    let (Some(codes), Some(hang)) = memo else { return };
    let mut all: Vec<Codes> =
        kept.chunks_exact(2).map(|pair| Codes { values: pair[0].clone(), card: pair[1].clone() }).collect();
    if kept.len() != 2 * (book.plans.of(fork).len() + 1) {
        return;
    }
    // What is there already is the same.
    let _ = all.pop().map(|last| hang.set(last));
    let _ = codes.set(all);
}

/// What stands on the card beside or instead of the numbers that its steps name: notes, what is done instead of an
/// unknown figure, and what a step says where the fork has none.
fn beside(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> BTreeSet<(String, String)> {
    let mut out = BTreeSet::new();
    for reference in plan.references().filter(|reference| reference.scheme == Scheme::Spec) {
        let Some(id) = book.shop.catalogue.find(&reference.target) else { continue };
        let here: Vec<&Resolved> = Side::BOTH.into_iter().filter_map(|side| fork.on(side, id)).collect();
        let notes = here.iter().filter_map(|value| value.entry.note.as_ref());
        let instead = here.iter().filter_map(|value| value.entry.instead.as_ref());
        let silent = here.iter().all(|value| value.is_unknown() && value.entry.instead.is_none());
        let otherwise = reference.otherwise.as_ref().filter(|_| silent);
        let all = notes.chain(instead.map(|instead| &instead.what.text)).chain(otherwise);
        out.extend(all.map(|text| (reference.target.clone(), text.clone())));
    }
    out.extend(in_short(book, fork, plan));
    let part = |part: NumberedPart| {
        let count = part.count.map(|count| format!("{count} × ")).unwrap_or_default();
        ("parts".to_owned(), format!("{count}{} {}", part.title, part.number))
    };
    out.extend(listed(fork, &plan.service.id.text).map(part));
    // Shims are fitted by their order and number, and their title says neither.
    let stacks = fork.record.build().into_iter().flat_map(|build| build.stacks.iter().enumerate());
    out.extend(stacks.map(|(at, stack)| (format!("stack {}", at + 1), stack.clone())));
    out
}

/// What a card says of procedures and cautions beside their texts: what is signed for, hazards in a word, and what is
/// done about them for the whole job.
fn in_short(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> BTreeSet<(String, String)> {
    let signed =
        plan.procedures.iter().flat_map(|one| [(&one.id.text, &one.sign_off), (&one.id.text, &one.on_card)]);
    let again = plan.procedures.iter().filter(|one| !one.again.is_empty()).map(|one| {
        (one.id.text.clone(), one.again.iter().map(|key| key.text.as_str()).collect::<Vec<_>>().join(" "))
    });
    let named = plan.references().filter(|reference| reference.scheme == Scheme::Caution);
    let cautions = named.filter_map(|reference| book.shop.caution(&reference.target));
    let here = cautions.filter(|caution| caution.applies.holds(&fork.choices));
    let said =
        here.flat_map(|caution| [(&caution.id.text, &caution.word), (&caution.id.text, &caution.whole_job)]);
    let all = signed.chain(said).filter_map(|(id, text)| Some((id.clone(), text.clone()?)));
    all.chain(again).collect()
}

/// As JSON. What a card says is text and lists, and nothing in them that JSON cannot hold.
fn json(part: &impl Serialize) -> String {
    serde_json::to_string(part).unwrap_or_default()
}

/// Every procedure of a plan with its steps, as JSON: without a number of the fork.
fn steps(book: &Book, plan: &Plan<'_>) -> String {
    let of_item = |item: &Planned<'_>| {
        let procedure = item.procedure;
        book.memo.code_steps.or_make((procedure.into(), item.legs), || {
            let sentences: Vec<String> = procedure
                .body
                .steps()
                .map(|step| {
                    step.action.plain(|reference| {
                        format!("{} [{}:{}]", reference.text, reference.scheme, reference.target)
                    })
                })
                .collect();
            json(&(&procedure.title, procedure.phase.map_or("", Phase::id), item.legs, sentences)).into()
        })
    };
    let made: Vec<Arc<str>> = plan.items.iter().map(of_item).collect();
    format!("[{}]", made.join(","))
}

/// Every caution of a plan with its text, as JSON.
fn cautions(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>) -> String {
    let references = plan.references().filter(|reference| reference.scheme == Scheme::Caution);
    let ids: BTreeSet<&str> = references.map(|reference| reference.target.as_str()).collect();
    let mut cautions: Vec<(&str, &str, Arc<str>)> = ids
        .into_iter()
        .filter_map(|id| book.shop.caution(id))
        .filter(|caution| caution.applies.holds(&fork.choices))
        .map(|caution| (caution.signal.word(), caution.title.as_str(), body_text(book, caution)))
        .collect();
    cautions.sort();
    cautions.dedup();
    json(&cautions)
}

/// The codes of a fork's hang card. A step that reads otherwise leaves it as it is, since it has none.
pub fn hang_codes<'s>(book: &Book<'s>, fork: &'s CheckedFork) -> Codes {
    let make = || {
        let texts = book.texts(fork);
        let facts = texts.facts();
        let values_said = texts.values.get_or_init(|| values_text(book, fork));
        let plans = book.plans.of(fork);
        let services: Vec<_> = plans.iter().map(|plan| said_of(book, fork, plan)).collect();
        let content = (
            (HANG, fork.record.title(), machines_line(&fork.record), values_said),
            services,
            (&facts.short, card_tables(book.shop, fork), &facts.not_made),
        );
        // Text and lists alone: nothing that JSON cannot hold.
        let content = unsigned(&serde_json::to_string(&content).unwrap_or_default());
        let values = codes_of(book, fork).first().map(|codes| codes.values.clone());
        Codes {
            values: values.unwrap_or_else(|| short(values_said.as_bytes())),
            card: short(content.as_bytes()),
        }
    };
    let made = book.memo.hang.get(fork.id.as_str());
    made.map_or_else(make, |made| made.get_or_init(make).clone())
}

/// The order of a service, its hazards, and what is said beside its numbers.
fn said_of(book: &Book, fork: &CheckedFork, plan: &Plan<'_>) -> impl serde::Serialize + use<> {
    let order: Vec<(String, Vec<String>)> = plan
        .items
        .iter()
        .map(|item| {
            let links = item.procedure.body.references.iter();
            let values = links.filter(|link| matches!(link.scheme, Scheme::Spec | Scheme::Reading));
            (item.procedure.title.clone(), values.map(|link| link.target.clone()).collect())
        })
        .collect();
    let cautions: BTreeSet<(String, String)> = plan
        .references()
        .filter(|link| link.scheme == Scheme::Caution)
        .filter_map(|link| book.shop.caution(&link.target))
        .filter(|caution| caution.applies.holds(&fork.choices))
        .map(|caution| (caution.signal.word().to_owned(), caution.title.clone()))
        .collect();
    (order, cautions, beside(book, fork, plan))
}

/// Every card of the shop as it is now, by fork and service; a fork's hang card last.
pub fn cards<'s>(book: &Book<'s>) -> Vec<CardNow> {
    let published = book.forks.par_iter().filter(|fork| !fork.record.draft);
    let of_fork = |fork: &'s CheckedFork| {
        let plans = book.plans.of(fork).iter().zip(codes_of(book, fork));
        let card_now = |(plan, codes): (&Plan<'_>, &Codes)| CardNow {
            fork: fork.id.clone(),
            service: plan.service.id.text.clone(),
            values: codes.values.clone(),
            card: codes.card.clone(),
        };
        let Codes { values, card } = hang_codes(book, fork);
        let hang = CardNow { fork: fork.id.clone(), service: HANG.to_owned(), values, card };
        // A fork that no service is for has no card of any kind.
        let hang = (plans.len() > 0).then_some(hang);
        plans.map(card_now).chain(hang).collect::<Vec<_>>()
    };
    published.flat_map_iter(of_fork).collect()
}

/// Every value of the fork in one text, for the digest.
fn values_text(book: &Book, fork: &ResolvedFork) -> String {
    let mut out = String::new();
    for (id, field) in book.shop.catalogue.of(Owner::Fork) {
        for side in Side::BOTH {
            let Some(resolved) = fork.on(side, id) else { continue };
            let Some(value) = resolved.value() else { continue };
            let state = state(&resolved.entry);
            out.push_str(&format!("{} {} {} {state}", field.key, side.word(), write_value(value)));
            // A part's number only where it is said, so that the code of a card without one stays what it was.
            let told = |key: &&String| key.as_str() != NUMBER || number(&resolved.entry).is_some();
            for key in field.attributes.iter().filter(told) {
                out.push_str(&format!(" {}", attribute_text(&resolved.entry, key)));
            }
            out.push('\n');
        }
    }
    out
}
