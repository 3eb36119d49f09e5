//! The joints of a fork in the order in which they are tightened, each where it is, the one that is worked on marked.

use super::scene::Scene;
use super::svg::{Drawing, block, c, line, picture, small};
use crate::catalogue::{FieldId, Owner};
use crate::quantity::{Quantity, Value};
use crate::resolve::Resolved;
use crate::words::escape;

/// Where a joint is on the drawing, by the end of its key.
const PLACES: [(&str, f64, f64); 16] = [
    ("torque.cap_to_tube", 150.0, 16.0),
    ("torque.cap_to_rod", 70.0, 16.0),
    ("torque.handlebar", 28.0, 28.0),
    ("torque.clamp_upper", 110.0, 44.0),
    ("torque.clamp_lower", 110.0, 78.0),
    ("torque.fender", 110.0, 122.0),
    ("torque.protector", 192.0, 140.0),
    ("torque.caliper", 24.0, 158.0),
    ("torque.axle", 110.0, 188.0),
    ("torque.axle_pinch_first", 36.0, 196.0),
    ("torque.axle_pinch", 184.0, 196.0),
    ("torque.drain", 192.0, 170.0),
    ("torque.bottom_bolt", 70.0, 214.0),
    ("torque.damper_to_foot", 150.0, 214.0),
    ("torque.rod_lock_bottom", 150.0, 214.0),
    ("torque.base_valve", 70.0, 16.0),
];

/// Joints of more than one bolt, which are drawn in turns.
const IN_TURNS: [&str; 4] =
    ["torque.clamp_upper", "torque.clamp_lower", "torque.axle_pinch", "torque.axle_pinch_first"];

/// A joint.
struct Joint {
    id: FieldId,
    key: String,
    short: String,
    turn: u32,
    torque: String,
    /// How many bolts there are on the machine, where that is on record.
    pieces: Option<u32>,
}

fn count(value: &Resolved, name: &str) -> Option<u32> {
    match value.entry.attributes.get(name).and_then(|named| named.value.as_ref()) {
        Some(Value::Count(count)) => Some(*count),
        _ => None,
    }
}

/// The joints that the record gives an order, in it.
fn joints(scene: &Scene<'_>) -> Vec<Joint> {
    let torques = scene.shop.catalogue.of(Owner::Fork).filter(|(_, field)| field.group == "torque");
    let mut joints: Vec<Joint> = torques
        .filter_map(|(id, field)| {
            let value = scene.fork.on(scene.side, id).filter(|value| !value.not_fitted())?;
            Some(Joint {
                id,
                key: field.key.clone(),
                short: field.short.clone(),
                turn: count(value, "sequence")?,
                torque: value.quantity().map(Quantity::main)?.shown(),
                pieces: count(value, "pieces"),
            })
        })
        .collect();
    joints.sort_by_key(|joint| joint.turn);
    joints
}

/// The values it is drawn from.
pub(super) fn from(scene: &Scene<'_>) -> Vec<FieldId> {
    let torques = scene.shop.catalogue.of(Owner::Fork).filter(|(_, field)| field.group == "torque");
    torques.map(|(id, _)| id).collect()
}

/// The drawing for a joint; `None` where the record gives it no place in the order.
pub(super) fn order(scene: &Scene<'_>, id: FieldId) -> Option<Drawing> {
    let joints = joints(scene);
    let now = joints.iter().find(|joint| joint.id == id)?;
    let mut body = fork();
    for joint in &joints {
        if let Some((_, x, y)) = PLACES.iter().find(|(key, ..)| *key == joint.key) {
            body.push_str(&balloon(*x, *y, joint.turn, joint.id == id));
        }
    }
    // What comes before it, and what after: all of them stand at their own steps.
    let mut y = 246.0;
    for joint in joints.iter().filter(|joint| joint.turn.abs_diff(now.turn) <= 1) {
        let here = joint.id == id;
        body.push_str(&balloon(18.0, y - 5.0, joint.turn, here));
        let weight = if here { " font-weight=\"700\"" } else { "" };
        body.push_str(&format!(
            "<text x=\"36\" y=\"{0}\"{weight}>{1}</text><text x=\"216\" y=\"{0}\" text-anchor=\"end\"{weight}>{2}</text>",
            c(y),
            escape(&joint.short),
            escape(&joint.torque)
        ));
        y += 26.0;
    }
    let turns = in_turns(now);
    if !turns.is_empty() {
        body.push_str(&small(12.0, y + 2.0, &turns));
        y += 18.0;
    }
    // The neighbors alone: each step has its own, and whoever hears the page hears the order once in all.
    let near = joints.iter().filter(|joint| joint.turn.abs_diff(now.turn) <= 1);
    let list: Vec<String> =
        near.map(|joint| format!("{} {}, {}", joint.turn, joint.short, joint.torque)).collect();
    let sentence = format!(
        "This one is number {} of the order on record. {}. {turns}{}",
        now.turn,
        list.join("; "),
        if turns.is_empty() { "" } else { "." }
    );
    Some(picture(224.0, y - 8.0, "The order of tightening", sentence.trim(), &body))
}

/// What is said of several bolts of one clamp.
fn in_turns(joint: &Joint) -> String {
    if !IN_TURNS.contains(&joint.key.as_str()) {
        return String::new();
    }
    match joint.pieces {
        Some(pieces) => format!("{pieces} bolts: in turns, until none moves"),
        None => "In turns, until none moves".to_owned(),
    }
}

/// The fork from the front: clamps, legs, axle.
fn fork() -> String {
    let mut out = String::new();
    for x in [60.0, 140.0] {
        out.push_str(&block(x, 26.0, 20.0, 104.0, 0.2));
        out.push_str(&block(x + 3.0, 130.0, 14.0, 62.0, 0.0));
        out.push_str(&block(x - 1.0, 180.0, 22.0, 20.0, 0.2));
    }
    out.push_str(&block(50.0, 38.0, 120.0, 12.0, 0.4));
    out.push_str(&block(50.0, 72.0, 120.0, 12.0, 0.4));
    // A caliper, and the axle.
    out.push_str(&block(42.0, 146.0, 12.0, 24.0, 0.4));
    out.push_str(&line("M48 190H172", 3.0));
    out
}

/// A number in a ring; a double ring where the work is now. The paper shows through, so that any ground will do.
fn balloon(x: f64, y: f64, turn: u32, here: bool) -> String {
    let (x, y) = (c(x), c(y));
    let ring = if here {
        format!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"12\" class=\"ground\" stroke=\"currentColor\" stroke-width=\"4\"/>"
        )
    } else {
        format!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"10\" class=\"ground\" stroke=\"currentColor\" stroke-width=\"1.4\"/>"
        )
    };
    format!(
        "{ring}<text x=\"{x}\" y=\"{y}\" dy=\"5\" text-anchor=\"middle\" font-weight=\"700\">{turn}</text>"
    )
}
