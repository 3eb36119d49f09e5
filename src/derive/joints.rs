//! The joints: torque against what the fastener carries, and whether its pitch is one that bolts have.

use super::answer::{Answer, Ask, Given};
use crate::bench::thread::{coarse_pitch, preferred_pitches};
use crate::bench::torque::{Strain, ThreadState, strain};
use crate::bench::units::{Length, millimetres, torque};
use crate::catalogue::FieldId;
use crate::quantity::{Dimension, Kind, Value};

/// The greatest diameter of a thread without a class that is taken for one of a bolt or an axle, m (common
/// practice, no source).
const BOUGHT: f64 = 0.024;

/// A joint with a torque.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Which torque.
    pub field: FieldId,
    /// Preload beside proof load: only for a declared property class.
    pub strain: Answer<Strain>,
    /// What it would do to the strongest bolt there is, where that is more than such a bolt carries and its class
    /// is not said.
    pub over_strongest: Option<Strain>,
    /// The greatest torque that may be set, N·m.
    pub applied: f64,
    /// The pitches ISO 261 has for the diameter, where the one that is written is not among them.
    pub pitches_there_are: Option<Vec<Length>>,
}

/// Every torque of one leg (or, with `whole`, of the fork).
pub(super) fn joints(ask: &Ask, whole: bool) -> Vec<Joint> {
    let values = if whole { &ask.fork.whole } else { &ask.fork.leg(ask.side).values };
    values
        .keys()
        .filter(|id| ask.shop.catalogue.field(**id).kind == Kind::Quantity(Dimension::Torque))
        .filter_map(|id| joint(ask, *id))
        .collect()
}

fn joint(ask: &Ask, field: FieldId) -> Option<Joint> {
    let key = &ask.shop.catalogue.field(field).key;
    let Given::Value(resolved, Value::Quantity(applied)) = ask.look(field) else { return None };
    let attribute = |name: &str| resolved.entry.attributes.get(name);
    let unreadable = |name: &str| attribute(name).is_some_and(|named| named.value.is_none());
    let mut asking = ask.clone();
    asking.may(field);
    let thread = match attribute("thread").and_then(|named| named.value.as_ref()) {
        Some(Value::Thread(thread)) => Some(thread),
        _ => None,
    };
    let class = match attribute("property_class").and_then(|named| named.value.as_ref()) {
        Some(Value::PropertyClass(class)) => Some(class.mark()),
        _ => None,
    };
    let state = match attribute("thread_state").and_then(|named| named.value.as_ref()) {
        Some(Value::Choice(state)) => thread_state(state),
        _ => None,
    };
    let diameter = thread.map(|thread| millimetres(thread.diameter_mm.float()));
    let written = thread.and_then(|thread| thread.pitch_mm.as_ref()).map(|pitch| millimetres(pitch.float()));
    // `M8` alone is the coarse one; where the standard has none for the diameter, nothing is judged.
    let pitch = written.or_else(|| diameter.and_then(|d| coarse_pitch(d).ok().flatten()));

    let mut pitches_there_are = None;
    // Caps and other wide threads in soft metal choose their own pitch; bolts, screws and axles do not.
    let bought = |d: Length| class.is_some() || d.value <= BOUGHT;
    if let (Some(d), Some(p)) = (diameter.filter(|d| bought(*d)), written) {
        pitches_there_are = preferred_pitches(d)
            .ok()
            .filter(|pitches| !pitches.iter().any(|k| (k.value - p.value).abs() < 1e-9));
    }

    let fastener = |class| Fastener { class, diameter, pitch, state };
    let unreadable = ["thread", "property_class", "thread_state"].iter().any(|name| unreadable(name));
    let is_bolt = class.is_none() && !unreadable && pitches_there_are.is_none();
    let no_class = diameter.filter(|d| is_bolt && bought(*d));
    let over_strongest = strongest(no_class, pitch, state, applied.greatest_si());
    let answer = match class {
        _ if unreadable => Answer::Silent,
        None => Answer::NotHere,
        // Stainless classes follow another standard, whose proof stresses are not carried.
        Some(class) if class.starts_with('A') => Answer::NotHere,
        Some(class) => strain_of(asking, key, applied.greatest_si(), fastener(class)),
    };
    Some(Joint { field, strain: answer, over_strongest, applied: applied.greatest_si(), pitches_there_are })
}

/// The strongest class of ISO 898-1 (from memory of the standard).
const STRONGEST: &str = "12.9";

/// What a torque does to a bolt of the strongest class, where that is certainly more than it carries. A state of the
/// thread that nobody said is taken as the one in which the bolt is pulled least.
fn strongest(
    d: Option<Length>,
    pitch: Option<Length>,
    state: Option<ThreadState>,
    applied: f64,
) -> Option<Strain> {
    let state = state.unwrap_or(ThreadState::Dry);
    strain(torque(applied), STRONGEST, d?, pitch?, state).ok().filter(Strain::certainly_over)
}

/// What is known of a fastener.
struct Fastener<'c> {
    class: &'c str,
    diameter: Option<Length>,
    pitch: Option<Length>,
    state: Option<ThreadState>,
}

/// What a torque does to a fastener, or which of its attributes are missing.
fn strain_of(mut ask: Ask, key: &str, applied: f64, fastener: Fastener<'_>) -> Answer<Strain> {
    if fastener.diameter.is_none() {
        ask.lack_text(format!("{key}: thread"));
    }
    if fastener.state.is_none() {
        ask.lack_text(format!("{key}: thread_state"));
    }
    match (fastener.diameter, fastener.pitch, fastener.state) {
        (Some(diameter), Some(pitch), Some(state)) => {
            let result = strain(torque(applied), fastener.class, diameter, pitch, state);
            ask.assume("the short torque formula with a handbook range of friction");
            ask.answer(result)
        }
        (Some(_), None, Some(_)) => {
            ask.lack_text(format!("{key}: thread pitch"));
            ask.lacking()
        }
        _ => ask.lacking(),
    }
}

fn thread_state(option: &str) -> Option<ThreadState> {
    Some(match option {
        "dry" => ThreadState::Dry,
        "oiled" => ThreadState::Oiled,
        "anti-seize" => ThreadState::AntiSeize,
        "locking-compound" => ThreadState::LockingCompound,
        _ => return None,
    })
}
