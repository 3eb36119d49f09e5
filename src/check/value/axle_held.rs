//! How the axle is held, in the words of the record, beside the choice that decides which lug is tightened when.

use crate::catalogue::{FieldId, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{ResolvedFork, Shop, Side};

/// axle-held: the lug that the axle is screwed into is not the one that pinches and floats, and where both lugs pinch the
/// text does not speak of one, nor the reverse.
pub(crate) fn sides(_: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    let Some(value) = fork.on(Side::Left, FieldId::from(key::SETUP_AXLE_HELD)) else { return };
    let text = value.entry.text.to_lowercase();
    let Some(what) = twice_one_side(&text).or_else(|| against_choice(fork, &text)) else { return };
    findings.push(
        rules::AXLE_HELD
            .graded(weight(fork), value.entry.span, what)
            .bench(
                "the wrong lug is clamped first, the floating leg cannot find its place, and the fork binds",
            )
            .instead(
                "read on the sheet which leg the axle is screwed into, and which lug pinches and floats",
            ),
    );
}

/// A leg that the axle is screwed into, and whose lug is said to float.
fn twice_one_side(text: &str) -> Option<String> {
    let side =
        ["left", "right"].into_iter().find(|side| text.contains(&format!("screwed into the {side}")))?;
    text.contains(&format!("{side} lug pinches and floats"))
        .then(|| format!("the axle is screwed into the {side} leg, and the {side} lug is said to float"))
}

fn against_choice(fork: &ResolvedFork, text: &str) -> Option<String> {
    let chosen = fork.choices.get("axle")?;
    match chosen.as_str() {
        "one-lug" if text.contains("both lugs") => {
            Some("both lugs are said to pinch, and `axle:` is `one-lug`".to_owned())
        }
        "both-lugs" if text.contains("screwed into the") => {
            Some("the axle is said to be screwed into one leg, and `axle:` is `both-lugs`".to_owned())
        }
        _ => None,
    }
}
