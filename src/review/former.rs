//! Texts as they read before a procedure was called otherwise: who saw them then has seen what they say now.

use std::collections::BTreeMap;

use super::seen::{Seen, TextKey, of_shop};
use crate::record::Text;
use crate::resolve::{ById, HasId, Shop};
use crate::syntax::Scheme;
use crate::syntax::markdown::Body;

/// What was seen of every text, by its name of today, once for each former name that a procedure has.
pub(super) fn before(shop: &Shop) -> Vec<BTreeMap<TextKey, Seen>> {
    let most = shop.procedures.iter().map(|one| one.was.len()).max().unwrap_or(0);
    let former = |at: usize| {
        let all = shop.procedures.iter();
        let named = all.filter_map(|one| Some((one.id.text.as_str(), one.was.get(at).or(one.was.last())?)));
        as_called(shop, &named.map(|(now, was)| (now, was.text.as_str())).collect())
    };
    (0..most).map(former).collect()
}

/// What is seen of every text where procedures are called by these names.
fn as_called(shop: &Shop, names: &BTreeMap<&str, &str>) -> BTreeMap<TextKey, Seen> {
    let of = |id: &str| names.get(id).map(|was| (*was).to_owned());
    let called = |text: &mut Text| {
        if let Some(was) = of(&text.text) {
            text.text = was;
        }
    };
    let body = |body: &mut Body| body.lead(Scheme::Procedure, of);
    let mut then = Shop { jobs: ById::default(), ..shop.clone() };
    change(&mut then.services, |service| {
        service.procedures.iter_mut().for_each(called);
        service.entries.iter_mut().flat_map(|entry| &mut entry.options).for_each(called);
    });
    change(&mut then.procedures, |procedure| body(&mut procedure.body));
    change(&mut then.cautions, |caution| body(&mut caution.body));
    of_shop(&then)
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
