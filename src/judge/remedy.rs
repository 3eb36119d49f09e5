//! What to do about a reading that is outside: a table by the value's key, and what the fork's own figures make of it.

use crate::bench::adjusters::turns_for;
use crate::bench::leg::{is_beyond, preload_for};
use crate::bench::oil::Surface;
use crate::bench::thread::{NutHeight, Way, nut_turns};
use crate::bench::units::{Length, length};
use crate::catalogue::{FieldId, Key, key};
use crate::derive::Derived;
use crate::quantity::{Dimension, Unit, Value};
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
    /// The springs are preloaded: readings in the record's unit, each with the turns of the adjuster (or the millimetres
    /// of preload, where no turn is on record) that bring it to the target, more than nothing inward; straight lines
    /// between them. And whether they are turns.
    Preload(Vec<[f64; 2]>, bool),
    /// An adjuster is turned: which way from a reading that is too small and from one too large.
    Turn([&'static str; 2]),
    /// The same words whatever the figure, for a reading that is too small and for one too large.
    Words([&'static str; 2]),
}

/// What is done by words alone, by the beginning of the key.
const BY_WORDS: [(&str, [&str; 2]); 10] = [
    ("torque.", ["tighten it again", "slacken it, look at its thread and its part, and tighten it again"]),
    // A gas charge is no air, and no pump belongs on its valve.
    ("air.gas_pressure", ["have it charged by the maker's manual", "have it let down by the maker's manual"]),
    ("air.", ["pump it up", "let it down"]),
    ("tubes.stanchion_limit", ["replace the tube", "replace the tube"]),
    ("tubes.runout_limit", ["replace the tube", "replace the tube"]),
    ("tubes.bend_limit", ["replace the tube", "replace the tube"]),
    ("spring.free_length", ["replace both", "replace both"]),
    // No bushing grows.
    ("bushings.inner_wall", ["replace both", "measure it again"]),
    ("bushings.outer_wall", ["replace both", "measure it again"]),
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
    if is_sag(id) {
        return preload(fork, derived, id, unit).unwrap_or(Remedy::None);
    }
    if known.name().starts_with("adjusters.") {
        return counted(fork, Side::BOTH[leg], id);
    }
    // Of what an air spring has only its pressures are pumped up and let down.
    let pumped = |begins: &str| begins != "air." || unit.dimension == Dimension::Pressure;
    let found = BY_WORDS.iter().find(|(begins, _)| known.name().starts_with(begins) && pumped(begins));
    found.map_or(Remedy::None, |(_, words)| Remedy::Words(*words))
}

/// Whether a value is a sag: one figure for both legs together.
pub(super) fn is_sag(id: FieldId) -> bool {
    [key::SETUP_SAG_STATIC, key::SETUP_SAG_RIDER].iter().any(|sag| sag.id() == id)
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
        push_point(&mut out, [unit.from_si(depth.value), oil.value * 1e6]);
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

/// By how much a preload may be beyond the room of its adjuster, twice over, m: what arithmetic alone is out by.
const ROOM: f64 = 2e-9;

/// The preload that brings a sag to the record's, for every millimetre of sag that the legs can have.
fn preload(fork: &ResolvedFork, derived: &Derived, id: FieldId, unit: &Unit) -> Option<Remedy> {
    let [left, right] = [&derived.legs[0], &derived.legs[1]].map(|leg| leg.forces.value());
    let (left, right) = (left?, right?);
    let wanted = length(fork.any(id)?.quantity()?.middle_si());
    let counted = fork.any(key::ADJUSTERS_PRELOAD).and_then(|set| set.quantity());
    let per_turn = counted
        .filter(|set| set.dimension() == Dimension::Turns)
        .and_then(|_| fork.any(key::ADJUSTERS_PRELOAD_PER_TURN)?.quantity()?.length());
    let room = per_turn.map(|_| room(derived));
    let stroke = left.stroke.value.min(right.stroke.value);
    let mut points: Vec<[f64; 2]> = Vec::new();
    for mm in 0..=(stroke * 1e3) as u32 {
        let found = length(f64::from(mm) / 1e3);
        // Beyond the preload that there is, another spring is wanted and no turn.
        let widely = room.map(|[least, greatest]| [least - ROOM, greatest + ROOM]);
        if widely.is_some_and(|room| is_beyond([left, right], (found, wanted), room)) {
            continue;
        }
        let Ok(more) = preload_for(left, right, found, wanted) else { continue };
        if room.is_some_and(|[least, greatest]| {
            more.value < least - ROOM / 2.0 || more.value > greatest + ROOM / 2.0
        }) {
            continue;
        }
        let more = match per_turn {
            Some(turn) => turns_for(more, turn).ok()?,
            None => more.value * 1e3,
        };
        push_point(&mut points, [unit.from_si(found.value), more]);
    }
    (points.len() > 1).then_some(Remedy::Preload(points, per_turn.is_some()))
}

/// How far the adjusters can take back preload and add some, from where the record sets them, m; without a range on
/// record they add as much as is asked.
fn room(derived: &Derived) -> [f64; 2] {
    let legs = derived.legs.iter().filter_map(|leg| leg.preload.value());
    legs.fold([f64::NEG_INFINITY, f64::INFINITY], |[least, greatest], preload| match &preload.set {
        Ok(set) => {
            let back = (preload.backed_off - set.baseline).value;
            let more = if set.range_unknown { f64::INFINITY } else { (set.greatest - set.baseline).value };
            [least.max(back), greatest.min(more)]
        }
        Err(_) => [least, greatest],
    })
}

/// Adds a point to a line of straight parts; a point on the way between its neighbors goes.
fn push_point(line: &mut Vec<[f64; 2]>, point: [f64; 2]) {
    if let [.., a, b] = line.as_slice()
        && ((b[1] - a[1]) / (b[0] - a[0]) - (point[1] - b[1]) / (point[0] - b[0])).abs() < 1e-6
    {
        line.pop();
    }
    line.push(point);
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
