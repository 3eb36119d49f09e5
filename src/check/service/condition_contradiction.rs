//! Nothing that is asked to hold together excludes another part of it.

use super::condition_words::{lists, quoted};
use crate::diagnostic::{Finding, rules};
use crate::plan::{Bits, Vocabulary};
use crate::record::{Condition, Procedure, Text};
use crate::resolve::Shop;

/// condition-contradiction: nothing that is asked to hold together excludes another part of it.
pub(crate) fn contradictions(shop: &Shop, findings: &mut Vec<Finding>) {
    let vocabulary = Vocabulary::of(shop);
    let mut everywhere = vocabulary.none();
    (0..vocabulary.size()).for_each(|slot| everywhere.add(slot));
    // On one leg alone, so that a clash is said once.
    let slots = |names: &[Text]| vocabulary.slots(names, [true, false], &everywhere);
    findings.extend(
        vocabulary.conditions.iter().filter_map(|condition| in_itself(&vocabulary, &slots, condition)),
    );
    let asked = lists(shop).filter(|(list, _)| *list != "ends");
    findings.extend(asked.filter_map(|(_, names)| in_a_list(&vocabulary, &slots, names)));
    for procedure in &shop.procedures {
        brings_and_ends(&vocabulary, &slots, procedure, findings);
    }
}

/// A condition whose implications bring an exclusion with them.
fn in_itself(
    vocabulary: &Vocabulary<'_>,
    slots: &impl Fn(&[Text]) -> Bits,
    condition: &Condition,
) -> Option<Finding> {
    let whole = vocabulary.with_implied(&slots(std::slice::from_ref(&condition.id)));
    let (first, second) = clash(vocabulary, &whole)?;
    let message = format!(
        "`{}` cannot hold: it brings {} and {} with it, and one excludes the other",
        condition.id.text,
        quoted(first),
        quoted(second)
    );
    Some(
        rules::CONDITION_CONTRADICTION
            .at(condition.id.span, message)
            .bench("a procedure that brings it about would end it at once")
            .instead("take out the implication or the exclusion that is not true"),
    )
}

/// A list in which one condition excludes another. One that contradicts itself is told where it is declared.
fn in_a_list(
    vocabulary: &Vocabulary<'_>,
    slots: &impl Fn(&[Text]) -> Bits,
    names: &[Text],
) -> Option<Finding> {
    let whole = vocabulary.with_implied(&slots(names));
    let (first, second) = clash(vocabulary, &whole)?;
    let brings = |name: &Text, condition: &Condition| {
        let implied = vocabulary.with_implied(&slots(std::slice::from_ref(name)));
        implied.iter().any(|slot| vocabulary.condition(slot).id.text == condition.id.text)
    };
    let at = |condition: &Condition| names.iter().find(|name| brings(name, condition));
    let (here, there) = (at(second)?, at(first)?);
    (here != there).then(|| {
        rules::CONDITION_CONTRADICTION
            .at(here.span, format!("{} and {} cannot hold together", quoted(first), quoted(second)))
            .bench("no leg can be in this state, so whatever is proved from it is worth nothing")
            .instead("leave out the one that is not true here")
            .also(there.span, "the other one")
    })
}

/// A procedure that both brings a condition about and ends it.
fn brings_and_ends(
    vocabulary: &Vocabulary<'_>,
    slots: &impl Fn(&[Text]) -> Bits,
    procedure: &Procedure,
    findings: &mut Vec<Finding>,
) {
    let brings = vocabulary.with_implied(&slots(&procedure.brings));
    for name in &procedure.ends {
        let ends = slots(std::slice::from_ref(name));
        if ends.is_empty() || !ends.iter().all(|slot| brings.has(slot)) {
            continue;
        }
        let both = quoted_text(vocabulary, &ends);
        findings.push(
            rules::CONDITION_CONTRADICTION
                .at(name.span, format!("`{}` both brings about and ends {both}", procedure.id.text))
                .bench("nobody could say which of the two holds after it")
                .instead("keep the one that is true when it is done"),
        );
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
