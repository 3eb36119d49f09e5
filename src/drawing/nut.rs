//! Between which faces the rod nut's height is measured, and which way it is turned.

use super::svg::{Drawing, block, dimension, line, picture, word};
use crate::bench::thread::NutHeight;
use crate::catalogue::key;
use crate::check::CheckedFork;
use crate::quantity::Quantity;
use crate::resolve::Side;

const AXIS: f64 = 72.0;

/// The drawing; `None` where the height or its faces are not on record.
pub fn nut(fork: &CheckedFork, side: Side) -> Option<Drawing> {
    let set = fork.on(side, key::ROD_NUT_HEIGHT.id()).and_then(|value| value.quantity())?;
    let faces = fork.derived.leg(side).nut.value()?.faces;
    let figure = set.main().shape.number().text();
    // The nut, and the two faces of the height.
    let (nut, top, bottom) = match faces {
        NutHeight::NutToRodEnd => (64.0, 14.0, 64.0),
        NutHeight::BelowToNut => (30.0, 30.0, 88.0),
    };
    let mut body = block(AXIS - 8.0, 14.0, 16.0, 92.0, 0.0);
    body.push_str(&threads());
    body.push_str(&block(AXIS - 20.0, nut, 40.0, 17.0, 0.55));
    if faces == NutHeight::BelowToNut {
        body.push_str(&block(AXIS - 26.0, 88.0, 52.0, 10.0, 0.2));
    }
    body.push_str(&line(&format!("M20 {top}H{}M20 {bottom}H{}", AXIS - 9.0, AXIS - 9.0), 0.8));
    body.push_str(&dimension(26.0, top, bottom, &figure));
    // Anticlockwise, looking at the rod's end, is towards the end.
    body.push_str(&line(&format!("M{} {}a26 7 0 1 0 -4 7m4 -7l1 8m-1 -8l-8 1", AXIS + 26.0, nut + 6.0), 1.6));
    body.push_str(&word(AXIS + 14.0, 14.0 + 8.0, "rod end"));
    body.push_str(&word(AXIS + 32.0, nut + 14.0, "nut"));
    let between = match faces {
        NutHeight::NutToRodEnd => "from the nut to the rod’s end",
        NutHeight::BelowToNut => "from the face below to the nut",
    };
    let sentence = format!(
        "It is {} {between}. Anticlockwise, looking at the rod’s end, brings the nut to the end.",
        Quantity::shown(set)
    );
    Some(picture(168.0, 113.0, "Where the rod-nut height is read", &sentence, &body))
}

fn threads() -> String {
    let marks = (0..12).map(|n| format!("M{} {}l16 -3", AXIS - 8.0, 20.0 + 4.0 * f64::from(n)));
    line(&marks.collect::<String>(), 0.6)
}
