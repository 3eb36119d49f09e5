//! A fork made complete: its family's values laid under its own, split into left and right leg.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::by_field::ByField;
use super::fork::{Leg, Origin, Resolved, ResolvedFork, Side, Work};
use super::kind::NamedParts;
use super::shop::Shop;
use crate::catalogue::choice::Legs;
use crate::catalogue::{Choices, MadeChoice, NAMES, Per};
use crate::output::Digest;
use crate::record::{Entry, RecordKind, Sides, SpecLine, SpecRecord};

/// Resolves one fork of the shop, which names these parts.
pub fn resolve(shop: &Shop, record: &Arc<SpecRecord>, parts: &NamedParts) -> ResolvedFork {
    let family = record.family.as_ref().and_then(|id| shop.family(&id.text));
    let under = shop.under(record);
    let all = || under.iter().chain([record]);
    let mut choices: Choices = Choices::new();
    for from in all() {
        choices.extend(from.choices.iter().map(|(key, text)| (key.clone(), text.text.clone())));
    }
    // Only a `for:` names forks.
    choices.retain(|key, _| !NAMES.contains(&key.as_str()));
    let mut open = BTreeSet::new();
    for choice in &shop.catalogue.choices {
        let is_option = |chosen: &String| choice.options.iter().any(|(id, _)| id == chosen);
        let made = choices.get(&choice.key).is_some_and(is_option);
        if made {
            continue;
        }
        choices.remove(&choice.key);
        if choice.applies.holds(&choices) || choice.applies.undecided(&choices, &open) {
            open.insert(choice.key.clone());
        }
    }
    choices.extend(names(shop, record));
    let works = match Legs::of(&choices) {
        Some(Legs::SpringLeft) => [Work::Spring, Work::Damper],
        Some(Legs::SpringRight) => [Work::Damper, Work::Spring],
        Some(Legs::Alike) | None => [Work::Both, Work::Both],
    };
    let leg = |side, work| Leg { side, work, values: ByField::default() };
    let mut fork = ResolvedFork {
        record: Arc::clone(record),
        family: family.cloned(),
        under: under.clone(),
        id: record.id.text.clone(),
        choices,
        open,
        family_lost: record.family.is_some() && family.is_none()
            || record.build().is_some() && shop.built_over(record).is_none(),
        legs: [leg(Side::Left, works[0]), leg(Side::Right, works[1])],
        whole: ByField::default(),
        stray: Vec::new(),
        kind: Digest::of(&[]),
    };
    let lines: ByField<(&SpecLine, &SpecRecord)> = all()
        .flat_map(|from| from.values.iter().map(move |line| (line.field, (line, from.as_ref()))))
        .collect();
    for (line, from) in lines.values() {
        place(shop, &mut fork, line, from);
    }
    fork.kind = parts.kind(&fork);
    fork
}

/// The names by which some text of the shop singles this fork out.
fn names(shop: &Shop, record: &SpecRecord) -> Choices {
    // What a text says of a fork, it says of the builds over it.
    let fork = record.build().map_or(&record.id.text, |build| &build.fork.text);
    let own = |by: &str| match by {
        "fork" => Some(fork),
        "family" => record.family.as_ref().map(|family| &family.text),
        _ => Some(&record.maker),
    };
    let mine = shop.singled.iter().filter(|singled| own(singled.by) == Some(&singled.name.text));
    mine.map(|singled| (singled.by.to_owned(), singled.name.text.clone())).collect()
}

fn place(shop: &Shop, fork: &mut ResolvedFork, line: &SpecLine, from: &SpecRecord) {
    let field = shop.catalogue.field(line.field);
    let origin = match from.kind {
        RecordKind::Family => Origin::Family(from.id.text.clone()),
        RecordKind::Spring => Origin::Spring(from.id.text.clone()),
        RecordKind::Fork if fork.record.build().is_some() => Origin::Fork(from.id.text.clone()),
        _ => Origin::Own,
    };
    let made = |entry: &Arc<Entry>| {
        let named: Vec<&str> = if entry.sources.is_empty() {
            from.source.iter().map(|text| text.text.as_str()).collect()
        } else {
            entry.sources.iter().map(|text| text.text.as_str()).collect()
        };
        Resolved {
            field: line.field,
            entry: Arc::clone(entry),
            origin: origin.clone(),
            key_span: line.key_span,
            others: (entry.also_said.iter())
                .filter_map(|said| from.source_note(&said.source.text).cloned())
                .collect(),
            sources: named.into_iter().filter_map(|id| from.source_note(id).cloned()).collect(),
        }
    };
    let (left, right) = match &line.sides {
        Sides::Each(entry) => (entry, entry),
        Sides::Legs(left, right) => (left, right),
    };
    let inherited = origin != Origin::Own;
    if !field.applies.holds(&fork.choices) && !field.applies.undecided(&fork.choices, &fork.open) {
        // A family may hold values for members that have chosen otherwise.
        if !inherited {
            fork.stray.push(made(left));
        }
        return;
    }
    if field.per != Per::Leg {
        fork.whole.insert(line.field, made(left));
        return;
    }
    let both = matches!(line.sides, Sides::Legs(..));
    for (n, entry) in [left, right].into_iter().enumerate() {
        // A figure given once goes to the leg that can hold it; one given for a leg that cannot is kept, to be found.
        if both || fork.legs[n].work.holds(field.works) {
            fork.legs[n].values.insert(line.field, made(entry));
        }
    }
}
