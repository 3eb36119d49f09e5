//! What is read at the bench and written down: on which legs, when, and how a sentence speaks of its box.

use crate::catalogue::{Field, FieldId, Per, Role};
use crate::plan::Plan;
use crate::quantity::{Dimension, Kind};
use crate::resolve::{Resolved, ResolvedFork, Side};
use crate::syntax::Scheme;

/// Whether a value is a number that can be set, not a word.
pub fn is_number(kind: &Kind) -> bool {
    matches!(kind, Kind::Quantity(_) | Kind::Setting | Kind::Count | Kind::Sections(_))
}

/// An amount that goes in: it is written as left, and beside the number itself.
pub fn is_amount(field: &Field) -> bool {
    field.role == Role::Set && matches!(field.kind, Kind::Quantity(Dimension::Volume))
}

/// The legs on which a step names a value, or asks for it to be written down.
pub fn named_on(plan: &Plan<'_>, key: &str) -> [bool; 2] {
    let (named, read) = (plan.legs_of(Scheme::Spec, key), plan.legs_of(Scheme::Reading, key));
    [named[0] || read[0], named[1] || read[1]]
}

/// Whether a number to set means anything in a service. The refill of an oil change beside the dry fill of a strip
/// would be poured by mistake.
pub fn is_meant(plan: &Plan<'_>, field: &Field) -> bool {
    !is_amount(field) || named_on(plan, &field.key) != [false; 2]
}

/// Whether left and right are written apart.
pub fn is_read_apart(field: &Field) -> bool {
    field.per == Per::Leg || field.read_apart
}

/// Whether this leg has what is to be read: it does that work, and the record does not say that it is not fitted.
pub fn holds(fork: &ResolvedFork, side: Side, id: FieldId, field: &Field) -> bool {
    (field.per != Per::Leg || fork.leg(side).work.holds(field.works))
        && !fork.on(side, id).is_some_and(Resolved::not_fitted)
}

/// A text in which `one` stands for each box, as a sentence: "Write it: <box>" is "Write it in the box below."
pub fn boxed(text: &str, singular: &str, plural: &str) -> String {
    let text = text.replace(&format!("{singular} {singular}"), plural);
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text.as_str();
    let at = |rest: &str| {
        [singular, plural].iter().filter_map(|phrase| rest.find(phrase).map(|at| (at, phrase.len()))).min()
    };
    while let Some((start, length)) = at(rest) {
        out.push_str(&rest[..start]);
        let phrase = &rest[start..start + length];
        if out.ends_with(": ") {
            let sentence = out.rfind(". ").map_or(0, |at| at + 2);
            let sentence_so_far = out[sentence..].trim_end_matches(": ").to_lowercase();
            if ["write it", "write them", "write both"].iter().any(|short| sentence_so_far.ends_with(short)) {
                out.truncate(out.len() - 2);
                out.push(' ');
            } else if !sentence_so_far.contains("write") && !sentence_so_far.contains("note") {
                out.push_str(if phrase == plural { "write them " } else { "write it " });
            }
        }
        out.push_str(phrase);
        rest = &rest[start + length..];
        if rest.is_empty() || rest.starts_with("</p>") {
            out.push('.');
        }
    }
    out.push_str(rest);
    out
}
