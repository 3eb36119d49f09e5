//! What to do about a reading that is outside: a table by the value's key, and what the fork's own figures make of it.

use crate::bench::oil::Surface;
use crate::bench::thread::{NutHeight, Way, nut_turns};
use crate::bench::units::length;
use crate::catalogue::{FieldId, Key, key};
use crate::derive::Derived;
use crate::quantity::Value;
use crate::resolve::{ResolvedFork, Side};

/// What to do about a reading that is outside.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// Nothing that a table can say.
    None,
    /// Oil is drawn off or added: the surface that says how much.
    Oil(Box<Surface>),
    /// A nut is turned: its pitch in metres, and which way from a reading that is too small and from one too large.
    Nut(f64, [Way; 2]),
    /// An adjuster is turned: which way from a reading that is too small and from one too large.
    Turn([&'static str; 2]),
    /// The same words whatever the figure, for a reading that is too small and for one too large.
    Words([&'static str; 2]),
}

/// What is done by words alone, by the beginning of the key.
const BY_WORDS: [(&str, [&str; 2]); 7] = [
    ("torque.", ["tighten it again", "slacken it, look at its thread and its part, and tighten it again"]),
    ("air.", ["pump it up", "let it down"]),
    ("tubes.stanchion_limit", ["replace the tube", "replace the tube"]),
    ("tubes.runout_limit", ["replace the tube", "replace the tube"]),
    ("tubes.bend_limit", ["replace the tube", "replace the tube"]),
    ("spring.free_length", ["replace both", "replace both"]),
    ("bushings.", ["replace both", "replace both"]),
];

pub(super) fn remedy(fork: &ResolvedFork, derived: &Derived, leg: usize, id: FieldId) -> Remedy {
    let Some(known) = Key::of(id) else { return Remedy::None };
    let its = &derived.legs[leg];
    if its.height == Some(known) {
        return its.surface.value().map_or(Remedy::None, |surface| Remedy::Oil(Box::new(surface.clone())));
    }
    if known == key::ROD_NUT_HEIGHT {
        return its.nut.value().map_or(Remedy::None, |nut| turns(nut.pitch.value, nut.faces));
    }
    if known.name().starts_with("adjusters.") {
        return counted(fork, Side::BOTH[leg], id);
    }
    let found = BY_WORDS.iter().find(|(begins, _)| known.name().starts_with(begins));
    found.map_or(Remedy::None, |(_, words)| Remedy::Words(*words))
}

/// Which way a nut goes from a height that is too small and from one that is too large.
fn turns(pitch: f64, faces: NutHeight) -> Remedy {
    let way =
        |reading: f64| nut_turns(length(reading), length(0.02), length(pitch), faces).map(|turns| turns.way);
    match (way(0.019), way(0.021)) {
        (Ok(small), Ok(large)) => Remedy::Nut(pitch, [small, large]),
        _ => Remedy::None,
    }
}

/// Which way an adjuster goes: counted outward from closed, fewer clicks are mended by turning out.
fn counted(fork: &ResolvedFork, side: Side, id: FieldId) -> Remedy {
    let said = fork.on(side, id).and_then(|resolved| resolved.entry.attributes.get("counted"));
    match said.and_then(|named| named.value.as_ref()) {
        Some(Value::Choice(from)) if from == "from-closed" => Remedy::Turn(["turn out", "turn in"]),
        Some(Value::Choice(_)) => Remedy::Turn(["turn in", "turn out"]),
        _ => Remedy::None,
    }
}
