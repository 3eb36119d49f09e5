//! What a text rests on: whoever vouches for a service vouches for the work, the warnings and the order in it.

use std::collections::BTreeSet;

use super::seen::{TextKey, TextKind};
use crate::record::{Condition, Procedure, Service, Text};
use crate::resolve::Shop;
use crate::syntax::Scheme;

/// The texts that one text names itself, by kind.
fn named<'s>(shop: &'s Shop, (kind, id): &TextKey) -> Vec<(TextKind, &'s str)> {
    let all = |kind: TextKind, lists: &[&'s [Text]]| -> Vec<(TextKind, &'s str)> {
        lists.iter().flat_map(|list| list.iter()).map(|id| (kind, id.text.as_str())).collect()
    };
    match kind {
        TextKind::Service => shop.service(id).map(|service| {
            let Service { procedures, start, hand_back, .. } = service;
            let common = [start, hand_back, &shop.conditions.start, &shop.conditions.hand_back];
            [all(TextKind::Procedure, &[procedures]), all(TextKind::Condition, &common.map(Vec::as_slice))]
                .concat()
        }),
        TextKind::Procedure => shop.procedure(id).map(|procedure| {
            let Procedure { needs, brings, ends, body, .. } = procedure;
            let cautions = body.references.iter().filter(|link| link.scheme == Scheme::Caution);
            let mut out = all(TextKind::Condition, &[needs, brings, ends]);
            out.extend(cautions.map(|link| (TextKind::Caution, link.target.as_str())));
            out
        }),
        TextKind::Condition => shop.conditions.list.iter().find(|one| one.id.text == *id).map(|condition| {
            let Condition { implies, excludes, only_after, cautions, .. } = condition;
            [all(TextKind::Condition, &[implies, excludes, only_after]), all(TextKind::Caution, &[cautions])]
                .concat()
        }),
        TextKind::Caution => None,
    }
    .unwrap_or_default()
}

/// What a text rests on, without itself: a service on its procedures and on what holds at both its ends, a procedure on
/// its cautions and the conditions it names, a condition on its cautions and the conditions it names.
pub fn rests_on(shop: &Shop, key: &TextKey) -> BTreeSet<TextKey> {
    let mut out = BTreeSet::new();
    let mut open = vec![key.clone()];
    while let Some(next) = open.pop() {
        for (kind, id) in named(shop, &next) {
            let key = (kind, id.to_owned());
            if is_there(shop, kind, id) && !out.contains(&key) {
                out.insert(key.clone());
                open.push(key);
            }
        }
    }
    out.remove(key);
    out
}

fn is_there(shop: &Shop, kind: TextKind, id: &str) -> bool {
    match kind {
        TextKind::Procedure => shop.procedure(id).is_some(),
        TextKind::Caution => shop.caution(id).is_some(),
        TextKind::Service => shop.service(id).is_some(),
        TextKind::Condition => shop.conditions.list.iter().any(|one| one.id.text == id),
    }
}
