//! What to do about a reading that is outside: a table by the value's key, and what the fork's own figures make of it.

use crate::bench::oil::Surface;
use crate::bench::thread::{NutHeight, Way, nut_turns};
use crate::bench::units::{Length, length};
use crate::catalogue::{FieldId, Key, key};
use crate::derive::Derived;
use crate::quantity::Unit;
use crate::quantity::Value;
use crate::resolve::{ResolvedFork, Side};

/// What to do about a reading that is outside.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// Nothing that a table can say.
    None,
    /// Oil is drawn off or added: depths in the unit of the record, each with the millilitres above it, in straight lines
    /// between them.
    Oil(Vec<[f64; 2]>),
    /// A nut is turned: turns for one of the record's unit, and which way from a reading that is too small and from one too large.
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

pub(super) fn remedy(
    fork: &ResolvedFork,
    derived: &Derived,
    leg: usize,
    id: FieldId,
    unit: &'static Unit,
) -> Remedy {
    let Some(known) = Key::of(id) else { return Remedy::None };
    let its = &derived.legs[leg];
    if its.height == Some(known) {
        let target = fork.on(Side::BOTH[leg], id).and_then(|resolved| resolved.quantity()?.length());
        return match (its.surface.value(), target) {
            (Some(surface), Some(target)) => Remedy::Oil(depths(surface, target, unit)),
            _ => Remedy::None,
        };
    }
    if known == key::ROD_NUT_HEIGHT {
        return its.nut.value().map_or(Remedy::None, |nut| turns(nut.pitch.value, nut.faces, unit));
    }
    if known.name().starts_with("adjusters.") {
        return counted(fork, Side::BOTH[leg], id);
    }
    let found = BY_WORDS.iter().find(|(begins, _)| known.name().starts_with(begins));
    found.map_or(Remedy::None, |(_, words)| Remedy::Words(*words))
}

/// How far above and below the target a table of depths goes, in millimetres.
const DEPTHS_MM: i32 = 150;

/// The oil above each depth about the target, millimetre by millimetre, without the points that lie on a straight line.
fn depths(surface: &Surface, target: Length, unit: &Unit) -> Vec<[f64; 2]> {
    let mut out: Vec<[f64; 2]> = Vec::new();
    for mm in -DEPTHS_MM..=DEPTHS_MM {
        let depth = target + length(f64::from(mm) / 1e3);
        // Above the edge, or below the tube's end, there is no oil to be drawn.
        let Ok(oil) = surface.between(length(0.0), depth) else { continue };
        let point = [unit.from_si(depth.value), oil.value * 1e6];
        if let [.., a, b] = out.as_slice()
            && ((b[1] - a[1]) / (b[0] - a[0]) - (point[1] - b[1]) / (point[0] - b[0])).abs() < 1e-6
        {
            out.pop();
        }
        out.push(point);
    }
    out
}

/// Which way a nut goes from a height that is too small and from one that is too large.
fn turns(pitch: f64, faces: NutHeight, unit: &Unit) -> Remedy {
    let way =
        |reading: f64| nut_turns(length(reading), length(0.02), length(pitch), faces).map(|turns| turns.way);
    match (way(0.019), way(0.021)) {
        (Ok(small), Ok(large)) => Remedy::Nut(unit.to_si(1.0) / pitch, [small, large]),
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
