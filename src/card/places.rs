//! Where in a service each value of the fork is read, set or named; and where its number stands: once, where it is used.

use std::collections::HashMap;

use crate::book::Book;
use crate::catalogue::{FieldId, Owner};
use crate::plan::{Plan, Planned};
use crate::record::Phase;
use crate::syntax::Scheme;

/// A value that a procedure asks for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    /// The field.
    pub id: FieldId,
    /// Whether it is written down.
    pub read: bool,
}

/// Whether a procedure comes before anything is set: what it reads is as found.
pub(super) fn is_as_found(item: &Planned<'_>) -> bool {
    item.procedure.phase.is_some_and(Phase::is_as_found)
}

/// The values of the fork that a procedure's steps name or ask for, each once, in their order.
pub(super) fn asked(book: &Book, item: &Planned<'_>) -> Vec<Asked> {
    let all = || asked_by(book, item).into_iter().map(|asked| (asked.id, asked.read)).collect();
    let all = book.memo.asked.or_make(item.procedure.into(), all);
    all.iter().map(|(id, read)| Asked { id: *id, read: *read }).collect()
}

/// Whether a procedure says nothing of a fork but what its kind does: it names no value, and tries none again.
pub(super) fn is_still(book: &Book, item: &Planned<'_>) -> bool {
    item.procedure.again.is_empty() && asked(book, item).is_empty()
}

fn asked_by(book: &Book, item: &Planned<'_>) -> Vec<Asked> {
    let mut out: Vec<Asked> = Vec::new();
    for reference in &item.procedure.body.references {
        let read = reference.scheme == Scheme::Reading;
        if !read && reference.scheme != Scheme::Spec {
            continue;
        }
        let Some(id) = book.shop.catalogue.find(&reference.target) else { continue };
        let field = book.shop.catalogue.field(id);
        if field.of != Owner::Fork || (read && field.page_only) {
            continue;
        }
        match out.iter_mut().find(|asked| asked.id == id) {
            Some(asked) => asked.read |= read,
            None => out.push(Asked { id, read }),
        }
    }
    out
}

/// The procedure at which a number stands, for the left leg and for the right.
pub(super) type Home = [Option<usize>; 2];

/// For each field the procedure at which its number stands, leg by leg: where it is written after the work; else where
/// it is written as found; else where it is first named.
pub(super) fn homes(book: &Book, plan: &Plan<'_>) -> HashMap<FieldId, Home> {
    let mut best: HashMap<FieldId, [Option<(u8, usize)>; 2]> = HashMap::new();
    for (at, item) in plan.items.iter().enumerate() {
        for asked in asked(book, item) {
            let rank = match (asked.read, is_as_found(item)) {
                (true, false) => 0,
                (true, true) => 1,
                (false, false) => 2,
                (false, true) => 3,
            };
            let known = best.entry(asked.id).or_default();
            for (leg, _) in item.legs.iter().enumerate().filter(|(_, on)| **on) {
                known[leg] = Some(known[leg].map_or((rank, at), |before| before.min((rank, at))));
            }
        }
    }
    best.into_iter().map(|(id, legs)| (id, legs.map(|leg| leg.map(|(_, at)| at)))).collect()
}

/// The first procedure at which a sag is read.
pub(super) fn first_sag(book: &Book, plan: &Plan<'_>) -> Option<usize> {
    let is_sag = |asked: &Asked| asked.read && book.shop.catalogue.field(asked.id).settled;
    plan.items.iter().position(|item| asked(book, item).iter().any(is_sag))
}

/// The legs for which a number stands at this procedure.
pub(super) fn at_home(homes: &HashMap<FieldId, Home>, id: FieldId, at: usize) -> [bool; 2] {
    homes.get(&id).map_or([false; 2], |legs| legs.map(|home| home == Some(at)))
}
