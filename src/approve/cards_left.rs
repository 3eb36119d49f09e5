//! Which cards say that their steps are not reviewed, once some texts are: a card is as well reviewed as all that its
//! service rests on.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Book, text_review};
use crate::pipeline::Checked;
use crate::review::{TextKey, TextKind, rests_on};

/// A service whose cards say that steps are not reviewed as they are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardsLeft {
    /// The service, by id.
    pub service: String,
    /// The forks whose cards say so, by id.
    pub forks: Vec<String>,
    /// What they say: `steps UNREVIEWED`, or `steps CHANGED since 2026-05-04`; each once.
    pub say: BTreeSet<String>,
}

/// The services that rest on one of these texts, or every one, whose cards say that steps are not reviewed.
pub fn cards_left(checked: &Checked, texts: Option<&BTreeSet<TextKey>>) -> Vec<CardsLeft> {
    let book = Book::new(checked);
    let shop = &checked.shop;
    let is_meant = |id: &str| {
        let key: TextKey = (TextKind::Service, id.to_owned());
        texts.is_none_or(|texts| texts.contains(&key) || !rests_on(shop, &key).is_disjoint(texts))
    };
    let mut out: BTreeMap<&str, CardsLeft> = BTreeMap::new();
    for fork in checked.forks.iter().filter(|fork| !fork.record.draft) {
        for plan in book.plans.of(fork) {
            let service = plan.service.id.text.as_str();
            let said = text_review::on_card(&book, fork, plan);
            let said = said.trim_start_matches([';', ' ']);
            if said.is_empty() || !is_meant(service) {
                continue;
            }
            let left = out.entry(service).or_insert_with(|| CardsLeft {
                service: service.to_owned(),
                forks: Vec::new(),
                say: BTreeSet::new(),
            });
            left.forks.push(fork.id.clone());
            left.say.insert(said.replace('\u{2011}', "-"));
        }
    }
    out.into_values().collect()
}
