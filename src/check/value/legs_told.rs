//! What the notes of a record say of a leg, beside what its values say.

use crate::catalogue::{FieldId, Key, Works, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};

/// What a note may place in one leg.
enum Placed {
    /// A value that stands for that leg alone.
    Value(Key),
    /// What that leg does alone.
    Work(Works),
}

/// The words of a note, and what they place.
const WORDS: [(&str, Placed); 6] = [
    ("compression", Placed::Value(key::ADJUSTERS_COMPRESSION)),
    ("rebound", Placed::Value(key::ADJUSTERS_REBOUND)),
    ("preload", Placed::Value(key::ADJUSTERS_PRELOAD)),
    ("air", Placed::Work(Works::Spring)),
    ("spring", Placed::Work(Works::Spring)),
    ("damper", Placed::Work(Works::Damper)),
];

/// legs-contradict: what the notes of the record put into one leg (“rebound in the right”) is not on the other one alone.
pub(crate) fn told(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let Some(notes) = &fork.record.notes else { return };
    let notes = notes.to_lowercase();
    for (word, placed) in WORDS {
        for side in Side::BOTH {
            let other = if side == Side::Left { Side::Right } else { Side::Left };
            let says = says(&notes, word, side) && !says(&notes, word, other);
            if says && is_on(fork, &placed, other) && !is_on(fork, &placed, side) {
                findings.push(finding(shop, fork, word, (side, other), &placed));
            }
        }
    }
}

/// Whether a text puts a thing into a leg.
fn says(notes: &str, word: &str, side: Side) -> bool {
    notes.contains(&format!("{word} in the {}", side.word()))
}

fn is_on(fork: &ResolvedFork, placed: &Placed, side: Side) -> bool {
    match placed {
        Placed::Work(work) => fork.leg(side).work.holds(*work),
        Placed::Value(key) => fork.on(side, FieldId::from(*key)).is_some_and(|value| !value.not_fitted()),
    }
}

fn finding(
    shop: &Shop,
    fork: &ResolvedFork,
    word: &str,
    (said, there): (Side, Side),
    placed: &Placed,
) -> Finding {
    let at = match placed {
        Placed::Value(key) => fork.on(there, FieldId::from(*key)).map(|value| value.entry.span),
        Placed::Work(_) => None,
    };
    let bench = match placed {
        Placed::Value(key) => crate::words::lower_first(&shop.catalogue.field(FieldId::from(*key)).wrong),
        Placed::Work(_) => "the work of one leg would be done on the other".to_owned(),
    };
    rules::LEGS_CONTRADICT
        .graded(
            weight(fork),
            at.unwrap_or(fork.record.id.span),
            format!("the notes put {word} into the {} leg, and the values into the {} one", said.word(), there.word()),
        )
        .bench(bench)
        .instead("correct the notes, the side of the value, or which leg does what; left and right may be exchanged")
}
