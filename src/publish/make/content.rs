//! What a card says, apart from how it is laid out: the values, the steps, the cautions and what is worked out
//! from them. Its digest is the card's code: as long as the code is the same, a card on the bench is right,
//! however the sheet was filled and whoever has reviewed it since.

use serde_json::json;

use super::Book;
use super::facts::{self, Facts};
use super::fit::body_text;
use super::show::{attribute_text, machines_line, state};
use crate::catalogue::Owner;
use crate::plan::{Plan, plans};
use crate::quantity::write_value;
use crate::resolve::{ResolvedFork, Side};
use crate::review::CardNow;
use crate::review::code::short;

/// The codes of a card: of the fork's values, and of all that the card says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Codes {
    /// Of the fork's values.
    pub values: String,
    /// Of the card.
    pub card: String,
}

/// The codes of the card of a fork and a service.
pub fn codes(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>, facts: &Facts) -> Codes {
    let values = values_text(book, fork);
    let record = fork.record(book.shop);
    let estimates: Vec<&str> = book
        .shop
        .catalogue
        .of(Owner::Fork)
        .filter(|(id, _)| {
            Side::BOTH.iter().any(|side| fork.on(*side, *id).is_some_and(|value| value.is_estimate()))
        })
        .map(|(_, field)| field.key.as_str())
        .collect();
    let steps: Vec<_> = plan
        .items
        .iter()
        .map(|item| {
            let said = item.procedure.body.steps().map(|step| {
                step.action.plain(|reference| {
                    format!("{} [{}:{}]", reference.text, reference.scheme, reference.target)
                })
            });
            json!([item.procedure.title, item.procedure.phase, item.legs, said.collect::<Vec<_>>()])
        })
        .collect();
    let mut cautions: Vec<_> = plan
        .references()
        .filter(|reference| reference.scheme == "caution")
        .filter_map(|reference| book.shop.caution(&reference.target))
        .map(|caution| (caution.signal.word(), caution.title.as_str(), body_text(caution)))
        .collect();
    cautions.sort();
    cautions.dedup();
    let said = json!([
        record.title(),
        machines_line(record),
        plan.service.title,
        values,
        estimates,
        steps,
        cautions,
        facts.cautions,
        facts::card_tables(book, fork),
        facts.not_made,
    ]);
    Codes { values: short(values.as_bytes()), card: short(said.to_string().as_bytes()) }
}

/// Every card of the shop as it is now, by fork and service.
pub fn cards(book: &Book) -> Vec<CardNow> {
    use rayon::prelude::*;
    let of_fork = |fork: &ResolvedFork| {
        if fork.record(book.shop).draft {
            return Vec::new();
        }
        let facts = Facts::of(book, fork);
        let all = plans(book.shop, fork);
        let one = |plan: &Plan<'_>| {
            let Codes { values, card } = codes(book, fork, plan, &facts);
            CardNow { fork: fork.id.clone(), service: plan.service.id.text.clone(), values, card }
        };
        all.iter().map(one).collect()
    };
    book.forks.par_iter().map(of_fork).collect::<Vec<_>>().into_iter().flatten().collect()
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
            for key in &field.attributes {
                out.push_str(&format!(" {}", attribute_text(&resolved.entry, key)));
            }
            out.push('\n');
        }
    }
    out
}
