//! A service brings each procedure once.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnostic::{Finding, rules};
use crate::resolve::Shop;
use crate::text::Span;

/// procedure-twice: a service brings each procedure once.
pub(crate) fn repeated(shop: &Shop, findings: &mut Vec<Finding>) {
    for service in &shop.services {
        let mut first: BTreeMap<&str, Span> = BTreeMap::new();
        let mut reported: BTreeSet<&str> = BTreeSet::new();
        for id in &service.procedures {
            let Some(earlier) = first.get(id.text.as_str()).copied() else {
                first.insert(&id.text, id.span);
                continue;
            };
            if reported.insert(&id.text) {
                findings.push(
                    rules::PROCEDURE_TWICE
                        .at(id.span, format!("`{}` is in this service more than once", id.text))
                        .bench("the same boxes stand on the card twice, and one of them stays empty")
                        .instead("name it once, or split what is done later into a procedure of its own")
                        .also(earlier, "first here"),
                );
            }
        }
    }
}
