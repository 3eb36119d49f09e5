//! The conditions themselves: names that lead somewhere, implications that do not loop, lists that do
//! not contradict themselves.

use std::collections::{BTreeMap, BTreeSet};

use super::CheckedFork;
use super::links;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::plan::{Bits, Vocabulary};
use crate::record::{Condition, RecordKind, Text};
use crate::resolve::Shop;

/// Every list of conditions that is not a condition's own.
fn lists(shop: &Shop) -> impl Iterator<Item = (&'static str, &[Text])> {
    let common = [("start", shop.conditions.start.as_slice()), ("hand_back", &shop.conditions.hand_back)];
    let services =
        shop.services.iter().flat_map(|s| [("start", s.start.as_slice()), ("hand_back", &s.hand_back)]);
    let procedures = shop
        .procedures
        .iter()
        .flat_map(|p| [("needs", p.needs.as_slice()), ("brings", &p.brings), ("ends", &p.ends)]);
    common.into_iter().chain(services).chain(procedures)
}

/// unknown-condition, dangling-reference: every condition and every caution named is there.
pub(super) fn names(shop: &Shop, _: &[CheckedFork], found: &mut Vec<Finding>) {
    // A file that cannot be read has been told about; what it would have held stays silent.
    if shop.unread(RecordKind::Conditions) {
        return;
    }
    if shop.conditions.file.is_none() {
        found.extend(no_file(shop));
        return;
    }
    let known: BTreeSet<&str> =
        shop.conditions.list.iter().map(|condition| condition.id.text.as_str()).collect();
    let own =
        shop.conditions.list.iter().flat_map(|condition| condition.implies.iter().chain(&condition.excludes));
    for name in lists(shop).flat_map(|(_, names)| names).chain(own) {
        if known.contains(name.text.as_str()) {
            continue;
        }
        let add = || "say it in procedures/conditions.yaml, or name one that is there".to_owned();
        found.push(
            rules::UNKNOWN_CONDITION
                .at(name.span, format!("there is no condition `{}`", name.text))
                .bench("the order it should guard is not checked")
                .instead(did_you_mean(&name.text, known.iter().copied(), add)),
        );
    }
    for caution in shop.conditions.list.iter().flat_map(|condition| &condition.cautions) {
        links::dangling(shop, RecordKind::Caution, &caution.text, caution.span, found);
    }
}

/// The whole file of conditions is not there: one finding, however many it should hold.
fn no_file(shop: &Shop) -> Option<Finding> {
    let names: Vec<&Text> = lists(shop).flat_map(|(_, names)| names).collect();
    let first = names.iter().min_by_key(|name| name.span)?;
    let count = names.iter().map(|name| name.text.as_str()).collect::<BTreeSet<_>>().len();
    let what = if count == 1 {
        format!("there is no condition `{}`: procedures/conditions.yaml is not there", first.text)
    } else {
        format!("there are no conditions: procedures/conditions.yaml is not there, and {count} are named")
    };
    Some(
        rules::UNKNOWN_CONDITION
            .at(first.span, what)
            .bench("no service's order is checked")
            .instead("restore procedures/conditions.yaml from git, or write it anew"),
    )
}

/// condition-loop: no condition implies itself through others.
pub(super) fn loops(shop: &Shop, _: &[CheckedFork], found: &mut Vec<Finding>) {
    let index: BTreeMap<&str, &Condition> =
        shop.conditions.list.iter().map(|condition| (condition.id.text.as_str(), condition)).collect();
    let mut done: BTreeSet<&str> = BTreeSet::new();
    for condition in &shop.conditions.list {
        // Depth first without recursion, since a chain may be as long as the file.
        let mut path: Vec<(&Condition, usize)> = vec![(condition, 0)];
        let mut on_path: BTreeSet<&str> = BTreeSet::from([condition.id.text.as_str()]);
        while let Some((at, next)) = path.last_mut() {
            let Some(name) = at.implies.get(*next) else {
                done.insert(&at.id.text);
                on_path.remove(at.id.text.as_str());
                path.pop();
                continue;
            };
            *next += 1;
            if on_path.contains(name.text.as_str()) {
                let from = path.iter().position(|(on, _)| on.id.text == name.text).unwrap_or(0);
                let round: Vec<&str> = path[from..].iter().map(|(on, _)| on.id.text.as_str()).collect();
                found.push(looped(name, &round));
            } else if let Some(next) =
                index.get(name.text.as_str()).filter(|next| !done.contains(next.id.text.as_str()))
            {
                on_path.insert(&next.id.text);
                path.push((next, 0));
            }
        }
    }
}

fn looped(name: &Text, round: &[&str]) -> Finding {
    let shown = if round.len() > 5 { &round[..5] } else { round };
    let mut way = shown.join("` implies `");
    if round.len() > shown.len() {
        way.push_str(&format!("` implies {} others, the last of which implies `", round.len() - shown.len()));
        way.push_str(&name.text);
    } else {
        way.push_str("` implies `");
        way.push_str(&name.text);
    }
    rules::CONDITION_LOOP
        .at(name.span, format!("implications run in a circle: `{way}`"))
        .bench("conditions that imply each other cannot be told apart, so neither guards anything")
        .instead("take out the one of these that does not follow, or make the conditions one")
}

/// condition-contradiction: nothing that is asked to hold together excludes another part of it.
pub(super) fn contradictions(shop: &Shop, _: &[CheckedFork], found: &mut Vec<Finding>) {
    let vocabulary = Vocabulary::of(shop);
    let mut everywhere = vocabulary.none();
    (0..vocabulary.size()).for_each(|slot| everywhere.add(slot));
    // On one leg alone, so that a clash is said once.
    let of = |names: &[Text]| vocabulary.slots(names, [true, false], &everywhere);
    for condition in vocabulary.conditions {
        let whole = vocabulary.with_implied(&of(std::slice::from_ref(&condition.id)));
        if let Some((one, other)) = clash(&vocabulary, &whole) {
            found.push(
                rules::CONDITION_CONTRADICTION
                    .at(
                        condition.id.span,
                        format!(
                            "`{}` cannot hold: it brings {} and {} with it, and one excludes the other",
                            condition.id.text,
                            quoted(one),
                            quoted(other)
                        ),
                    )
                    .bench("a procedure that brings it about would end it at once")
                    .instead("take out the implication or the exclusion that is not true"),
            );
        }
    }
    for (list, names) in lists(shop) {
        if list == "ends" {
            continue;
        }
        let whole = vocabulary.with_implied(&of(names));
        let Some((one, other)) = clash(&vocabulary, &whole) else { continue };
        let at = |wanted: &Condition| {
            names.iter().find(|name| {
                vocabulary
                    .with_implied(&of(std::slice::from_ref(*name)))
                    .iter()
                    .any(|slot| vocabulary.condition(slot).id.text == wanted.id.text)
            })
        };
        let (Some(first), Some(second)) = (at(one), at(other)) else { continue };
        if first == second {
            // It contradicts itself, which is said where it is declared.
            continue;
        }
        found.push(
            rules::CONDITION_CONTRADICTION
                .at(second.span, format!("{} and {} cannot hold together", quoted(one), quoted(other)))
                .bench("no leg can be in this state, so whatever is proved from it is worth nothing")
                .instead("leave out the one that is not true here")
                .also(first.span, "the other one"),
        );
    }
    for procedure in &shop.procedures {
        let brings = vocabulary.with_implied(&of(&procedure.brings));
        for name in &procedure.ends {
            let ends = of(std::slice::from_ref(name));
            if !ends.is_empty() && ends.iter().all(|slot| brings.has(slot)) {
                found.push(
                    rules::CONDITION_CONTRADICTION
                        .at(
                            name.span,
                            format!(
                                "`{}` both brings about and ends {}",
                                procedure.id.text,
                                quoted_text(&vocabulary, &ends)
                            ),
                        )
                        .bench("nobody could say which of the two holds after it")
                        .instead("keep the one that is true when it is done"),
                );
            }
        }
    }
}

/// Two conditions among these of which one excludes the other.
fn clash<'s>(vocabulary: &Vocabulary<'s>, slots: &Bits) -> Option<(&'s Condition, &'s Condition)> {
    vocabulary.excluding(slots).iter().find_map(|slot| {
        let other = vocabulary.excluded(slot).and(slots).iter().next()?;
        let (low, high) = (slot.min(other), slot.max(other));
        Some((vocabulary.condition(low), vocabulary.condition(high)))
    })
}

/// unused-condition: what is declared guards something.
pub(super) fn unused(shop: &Shop, _: &[CheckedFork], found: &mut Vec<Finding>) {
    let named =
        lists(shop).filter(|(list, _)| matches!(*list, "needs" | "hand_back")).flat_map(|(_, names)| names);
    let own =
        shop.conditions.list.iter().flat_map(|condition| condition.implies.iter().chain(&condition.excludes));
    let used: BTreeSet<&str> = named.chain(own).map(|name| name.text.as_str()).collect();
    for condition in &shop.conditions.list {
        if !used.contains(condition.id.text.as_str()) && condition.excludes.is_empty() {
            found.push(
                rules::UNUSED_CONDITION
                    .at(condition.id.span, format!("nothing needs the condition `{}`", condition.id.text))
                    .bench("work that brings it about could be left out without a word")
                    .instead(
                        "name it under a procedure's `needs:` or a service's `hand_back:`, or remove it",
                    ),
            );
        }
    }
}

/// A condition as a mechanic says it, between quotation marks.
pub(super) fn quoted(condition: &Condition) -> String {
    format!("“{}”", condition.says)
}

fn quoted_text(vocabulary: &Vocabulary<'_>, slots: &Bits) -> String {
    slots.iter().next().map_or_else(String::new, |slot| quoted(vocabulary.condition(slot)))
}
