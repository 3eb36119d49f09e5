//! The seals as they are fitted: which way the oil seal faces, and in which order the parts stand on the tube.

use crate::catalogue::stack::{STACK, named_in};
use crate::catalogue::{FieldId, Key, key};
use crate::check::look::{each, weight};
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::words::lower_first;

/// So many of the parts make a text the order of them.
const AN_ORDER: usize = 3;

/// What a face of the seal looks at, and what it never does.
const FACES: [(&[&str], &str, &[&str]); 2] = [
    (&["spring", "lip"], "oil", &["dust", "outside", "road", "air"]),
    (&["mark", "number"], "dust seal", &["oil"]),
];

/// seal-order, seal-lip: what the text says of seals is as they are fitted on every fork.
pub(crate) fn stack(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    for value in each(fork) {
        let wrong = if value.field == FieldId::from(key::SEALS_ORDER) {
            order(fork, value).map(|why| (&rules::SEAL_ORDER, why, ORDER))
        } else if value.field == FieldId::from(key::SEALS_LIP_SIDE) {
            face(&value.entry.text).map(|why| (&rules::SEAL_LIP, why, LIP))
        } else {
            None
        };
        let Some((rule, why, instead)) = wrong else { continue };
        let wrong = lower_first(&shop.catalogue.field(value.field).wrong);
        findings.push(rule.graded(weight(fork), value.entry.span, why).bench(wrong).instead(instead));
    }
}

const ORDER: &str = "look at the parts as they come off: dust seal, clip, oil seal, washer, outer bushing, inner bushing, or the other way round";
const LIP: &str =
    "look at the seal: the side with the garter spring faces the oil, the marked face the dust seal";

/// What is wrong with the order of the parts that a text names.
fn order(fork: &ResolvedFork, value: &Resolved) -> Option<String> {
    let text = value.entry.text.to_lowercase();
    let mut inward = Vec::new();
    for clause in text.split(';') {
        let named = named_in(clause);
        for pair in named.windows(2) {
            inward.push((pair[0] < pair[1], pair[0], pair[1]));
        }
    }
    let first = inward.first()?;
    let word = |n: usize| STACK[n].words[0];
    if let Some((_, one, other)) = inward.iter().find(|(way, ..)| *way != first.0) {
        return Some(format!(
            "the {} stands before the {} in it, against the rest",
            word(*one),
            word(*other)
        ));
    }
    let named = named_in(&text);
    if named.len() < AN_ORDER {
        return None;
    }
    let has = |key: Key| {
        let mut values = Side::BOTH.into_iter().filter_map(|side| fork.on(side, FieldId::from(key)));
        values.next().map(|value| !value.not_fitted())
    };
    STACK.iter().enumerate().find_map(|(n, part)| match (named.contains(&n), has(part.key?)?) {
        (false, true) => Some(format!("it leaves out the {}, which the record has", word(n))),
        (true, false) => Some(format!("it names the {}, which the record says is not fitted", word(n))),
        _ => None,
    })
}

/// What is wrong with what a text says of the faces of a seal.
fn face(text: &str) -> Option<String> {
    let text = text.to_lowercase();
    for clause in text.split([',', ';']).flat_map(|clause| clause.split(" and ")) {
        for (words, right, wrong) in FACES {
            let speaks = words.iter().any(|word| clause.contains(word));
            let seen = wrong.iter().find(|word| clause.contains(**word));
            if let (true, false, Some(seen)) = (speaks, clause.contains(right), seen) {
                return Some(format!(
                    "“{}”: that side faces the {right}, never the {}",
                    clause.trim(),
                    seen.replace("dust", "dust seal")
                ));
            }
        }
    }
    None
}
