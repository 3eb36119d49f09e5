//! Which sentences of a procedure forbid, limit or look: whoever takes one away, or writes it otherwise, takes a guard
//! away, though every link and box of the step is still there.

use crate::syntax::Scheme;
use crate::syntax::markdown::{Body, Part, Prose};

/// A sentence with one of these words forbids, limits, holds something still, or has somebody look. What a step has
/// written down is guarded by its box, and what it is for is told by its reason.
const WORDS: [&str; 79] = [
    // Forbids.
    "no",
    "not",
    "never",
    "nothing",
    "nobody",
    "none",
    "without",
    "cannot",
    "nor",
    "neither",
    // Limits: how far, how long, how often, when, which.
    "only",
    "alone",
    "until",
    "unless",
    "before",
    "first",
    "most",
    "least",
    "more",
    "than",
    "further",
    "beyond",
    "over",
    "limit",
    "once",
    "turn",
    "turns",
    "full",
    "fully",
    "half",
    "quarter",
    "third",
    "thirds",
    "minute",
    "minutes",
    "stroke",
    "strokes",
    "times",
    "one",
    "two",
    "both",
    "each",
    "every",
    // How something stands or is held.
    "stop",
    "leave",
    "keep",
    "stay",
    "stays",
    "clear",
    "slack",
    "loose",
    "tight",
    "collapse",
    "collapsed",
    "extended",
    "upright",
    "straight",
    "hold",
    "strap",
    "clamp",
    "faces",
    "side",
    "above",
    "below",
    "between",
    // How the work is done.
    "slowly",
    "slow",
    "gently",
    "hand",
    "must",
    "wear",
    "new",
    "dry",
    "oiled",
    "greased",
    // Somebody looks.
    "check",
    "compare",
    "see",
    "look",
];

/// The sentences of a text as a reader sees them, links by their words, and by what is done
/// where there is no such figure.
fn of_prose(prose: &Prose) -> Vec<String> {
    let paragraphs = prose.paragraphs(|link| match &link.otherwise {
        // A box is a guard by itself, and no word of the sentence.
        _ if link.scheme == Scheme::Reading => String::new(),
        Some(otherwise) => format!("{} (where there is none: {otherwise})", link.text),
        None => link.text.clone(),
    });
    paragraphs.iter().flat_map(|text| text.split(". ")).filter_map(plain).collect()
}

/// One sentence without the point at its end; nothing where it has no words.
fn plain(sentence: &str) -> Option<String> {
    let plain = sentence.trim().trim_end_matches(['.', ' ']);
    plain.chars().any(char::is_alphabetic).then(|| plain.to_owned())
}

/// Whether a sentence forbids, limits or has somebody look.
fn limits(sentence: &str) -> bool {
    let words = sentence.split(|letter: char| !letter.is_alphabetic());
    words.map(str::to_lowercase).any(|word| WORDS.contains(&word.as_str()))
}

/// Sorted, each once.
fn once(mut sentences: Vec<String>) -> Vec<String> {
    sentences.sort();
    sentences.dedup();
    sentences
}

/// The sentences of a procedure that forbid, limit or have somebody look: those of its steps and those beside them, not
/// those of the reasons. Where in the procedure one stands does not count.
pub(super) fn of_procedure(body: &Body) -> Vec<String> {
    let of_part = |part: &Part| match part {
        Part::Prose(prose) => of_prose(prose),
        Part::Step(step) => of_prose(&step.action),
        Part::Heading(_) => Vec::new(),
    };
    once(body.parts.iter().flat_map(of_part).filter(|sentence| limits(sentence)).collect())
}

/// Every sentence of a caution.
pub(super) fn of_caution(body: &Body) -> Vec<String> {
    let of_part = |part: &Part| match part {
        Part::Prose(prose) => of_prose(prose),
        Part::Step(step) => {
            of_prose(&step.action).into_iter().chain(step.reason.iter().flat_map(of_prose)).collect()
        }
        Part::Heading(_) => Vec::new(),
    };
    once(body.parts.iter().flat_map(of_part).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// For the apprentice: what the library forbids or limits inside a step is known for one.
    #[test]
    fn what_forbids_or_limits_is_told_from_what_only_says_what_to_do() {
        for guard in [
            "Slacken the upper clamp bolts of one leg only",
            "Leave the lower clamp tight",
            "Stroke the rod slowly over about 100 mm, no more",
            "Hands clear of the tubes",
            "The floating side's pinch bolts still slack: bounce the fork hard, five times",
            "Slide the upper tube slowly up and down three times, collapse the leg, cover it",
            "Loosen it by two full turns",
            "Over the limit: replace the tube",
            "Check the bottle's label against the record",
        ] {
            assert!(limits(guard), "{guard}");
        }
        for plain in
            ["Write what you find", "Lay it disc up", "Lift cartridge and spring out through the top"]
        {
            assert!(!limits(plain), "{plain}");
        }
    }
}
