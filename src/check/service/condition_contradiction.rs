//! Nothing that is asked to hold together excludes another part of it.

use super::condition_words::{lists, quoted};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::{Bits, Vocabulary};
use crate::record::{Condition, Text};
use crate::resolve::Shop;

/// condition-contradiction: nothing that is asked to hold together excludes another part of it.
pub(crate) fn contradictions(shop: &Shop, _: &[CheckedFork], found: &mut Vec<Finding>) {
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

fn quoted_text(vocabulary: &Vocabulary<'_>, slots: &Bits) -> String {
    slots.iter().next().map_or_else(String::new, |slot| quoted(vocabulary.condition(slot)))
}
