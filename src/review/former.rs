//! Texts as they read before a record that they name was called otherwise: who saw them then has seen what they say
//! now.

use std::collections::BTreeMap;

use super::seen::{Seen, TextKey, of_shop};
use crate::catalogue::When;
use crate::record::{RecordKind, Text};
use crate::resolve::{ById, HasId, Shop};
use crate::syntax::Scheme;
use crate::syntax::markdown::Body;

/// Other names of records: by kind, and the name that a text has.
type Names = BTreeMap<(RecordKind, String), String>;

/// The kinds of record that a text names and that can be called otherwise.
const NAMED: [RecordKind; 3] = [RecordKind::Procedure, RecordKind::Fork, RecordKind::Family];

/// What was seen of every text, by its name of today, once for each former name that a record has which texts name.
pub(super) fn before(shop: &Shop) -> Vec<BTreeMap<TextKey, Seen>> {
    let all: Vec<(RecordKind, &str, &[Text])> = formerly(shop).collect();
    let most = all.iter().map(|(_, _, was)| was.len()).max().unwrap_or(0);
    let mut tried: Vec<Names> = Vec::new();
    for at in 0..most {
        // A review may be older than one renaming and younger than another.
        for kinds in [&NAMED[..1], &NAMED[1..], &NAMED] {
            let of_kinds = all.iter().filter(|(kind, _, _)| kinds.contains(kind));
            let names: Names = of_kinds
                .filter_map(|(kind, now, was)| {
                    let was = was.get(at).or(was.last())?;
                    Some(((*kind, (*now).to_owned()), was.text.clone()))
                })
                .collect();
            if !names.is_empty() && !tried.contains(&names) {
                tried.push(names);
            }
        }
    }
    tried.iter().map(|names| of_shop(&as_called(shop, names))).collect()
}

/// The records that a text may name, with their names of today and those they had.
fn formerly(shop: &Shop) -> impl Iterator<Item = (RecordKind, &str, &[Text])> {
    let procedures =
        shop.procedures.iter().map(|one| (RecordKind::Procedure, one.id.text.as_str(), one.was.as_slice()));
    let singled = |by: &str, id: &str| shop.singled.iter().any(|one| one.by == by && one.name.text == id);
    let forks = shop.forks.iter().filter(move |one| !one.was.is_empty() && singled("fork", &one.id.text));
    let families =
        shop.families.iter().filter(move |one| !one.was.is_empty() && singled("family", &one.id.text));
    procedures
        .chain(forks.map(|one| (RecordKind::Fork, one.id.text.as_str(), one.was.as_slice())))
        .chain(families.map(|one| (RecordKind::Family, one.id.text.as_str(), one.was.as_slice())))
}

/// A shop as it was, with every record that its texts name called as another one calls it.
pub(crate) fn called_as_in(old: &Shop, new: &Shop) -> Shop {
    let all = [
        (RecordKind::Procedure, old.known.get(&RecordKind::Procedure)),
        (RecordKind::Fork, old.known.get(&RecordKind::Fork)),
        (RecordKind::Family, old.known.get(&RecordKind::Family)),
    ];
    let ids = all.into_iter().flat_map(|(kind, ids)| ids.into_iter().flatten().map(move |id| (kind, id)));
    let names: Names =
        ids.filter_map(|(kind, id)| Some(((kind, id.clone()), new.called_now(kind, id)?))).collect();
    as_called(old, &names)
}

/// A shop where records are called by these names in its texts.
fn as_called(shop: &Shop, names: &Names) -> Shop {
    let mut then = Shop { jobs: ById::default(), ..shop.clone() };
    if names.is_empty() {
        return then;
    }
    let of = |kind: RecordKind, id: &str| names.get(&(kind, id.to_owned())).cloned();
    let procedure = |id: &str| of(RecordKind::Procedure, id);
    let called = |text: &mut Text| {
        if let Some(was) = procedure(&text.text) {
            text.text = was;
        }
    };
    let body = |body: &mut Body| body.lead(Scheme::Procedure, procedure);
    let applies = |when: &mut When| {
        let kind = |by: &str| if by == "fork" { RecordKind::Fork } else { RecordKind::Family };
        *when = when.renamed(|by, name| (by != "maker").then(|| of(kind(by), name)).flatten());
    };
    change(&mut then.services, |service| {
        service.procedures.iter_mut().for_each(called);
        service.entries.iter_mut().flat_map(|entry| &mut entry.options).for_each(called);
        applies(&mut service.applies);
    });
    change(&mut then.procedures, |procedure| {
        body(&mut procedure.body);
        applies(&mut procedure.applies);
    });
    change(&mut then.cautions, |caution| {
        body(&mut caution.body);
        applies(&mut caution.applies);
    });
    then.conditions.list.iter_mut().for_each(|condition| applies(&mut condition.applies));
    then
}

fn change<T: HasId>(list: &mut ById<T>, how: impl Fn(&mut T)) {
    let records = std::mem::take(list).into_records();
    *list = records
        .map(|mut record| {
            how(&mut record);
            record
        })
        .collect();
}
