//! How the axle is held, in the words of the record, beside the choice that decides which lug is tightened when.

use crate::catalogue::{FieldId, key};
use crate::check::look::weight;
use crate::diagnostic::{Finding, rules};
use crate::resolve::{Resolved, ResolvedFork, Shop, Side};
use crate::text::Span;

/// The side that is tightened first, and the one that floats.
const PINCH_FIRST: &str = "setup.pinch_first";
const PINCH_LAST: &str = "setup.pinch_last";

/// axle-held: the lug that the axle is screwed into is not the one that pinches and floats, where both lugs pinch the
/// text does not speak of one, nor the reverse, and the two sides that are named apart say what the text says.
pub(crate) fn sides(shop: &Shop, fork: &ResolvedFork, findings: &mut Vec<Finding>) {
    if let Some(value) = fork.on(Side::Left, FieldId::from(key::SETUP_AXLE_HELD)) {
        let text = value.entry.text.to_lowercase();
        let what = twice_one_side(&text).or_else(|| against_choice(fork, &text));
        findings.extend(what.map(|what| finding(fork, value.entry.span, what)));
    }
    findings.extend(named_apart(shop, fork));
}

fn finding(fork: &ResolvedFork, at: Span, what: String) -> Finding {
    rules::AXLE_HELD
        .graded(weight(fork), at, what)
        .bench("the wrong lug is clamped first, the floating leg cannot find its place, and the fork binds")
        .instead("read on the sheet which leg the axle is screwed into, and which lug pinches and floats")
}

/// The side that a value names, where it names one.
fn side<'f>(shop: &Shop, fork: &'f ResolvedFork, key: &str) -> Option<(&'f Resolved, &'f str)> {
    let value = fork.on(Side::Left, shop.catalogue.find(key)?)?;
    let text = value.entry.text.trim();
    ["left", "right"].contains(&text).then_some((value, text))
}

/// What `pinch_first` and `pinch_last` say against each other, or against the words beside them.
fn named_apart(shop: &Shop, fork: &ResolvedFork) -> Option<Finding> {
    let (first, last) = (side(shop, fork, PINCH_FIRST), side(shop, fork, PINCH_LAST));
    if let (Some((value, first)), Some((_, last))) = (first, last)
        && first == last
    {
        let what = format!("the {first} lug is said to be tightened first, and to float");
        return Some(finding(fork, value.entry.span, what));
    }
    let held = fork.on(Side::Left, FieldId::from(key::SETUP_AXLE_HELD))?.entry.text.to_lowercase();
    if let Some((value, first)) = first
        && let Some(other) = other(first).filter(|other| held.contains(&format!("the {other} one first")))
    {
        let what = format!("`pinch_first` is {first}, and `axle_held` says the {other} one first");
        return Some(finding(fork, value.entry.span, what));
    }
    let (value, last) = last?;
    let floats = |side: &str| {
        held.contains(&format!("{side} lug pinches and floats"))
            || held.contains(&format!("screwed into the {}", other(side).unwrap_or_default()))
    };
    let other = other(last).filter(|other| floats(other))?;
    let what = format!("`pinch_last` is {last}, and by `axle_held` the {other} lug floats");
    Some(finding(fork, value.entry.span, what))
}

fn other(side: &str) -> Option<&'static str> {
    match side {
        "left" => Some("right"),
        "right" => Some("left"),
        _ => None,
    }
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
