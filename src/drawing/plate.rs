//! The slotted plate under the rod nut, with the spring held below it.

use super::scene::Scene;
use super::svg::{Drawing, block, line, picture, word};

const AXIS: f64 = 66.0;

/// The drawing; `None` for a leg in which no plate goes under the rod nut on top of a spring.
pub(super) fn plate(scene: &Scene<'_>) -> Option<Drawing> {
    let on_top = scene.chose("damping", "open-cartridge") || scene.chose("damping", "sealed-damper");
    let coil =
        ["coil-top", "coil-bottom", "air-assisted-coil"].iter().any(|one| scene.chose("springing", one));
    if !on_top || !coil {
        return None;
    }
    let mut body = block(AXIS - 5.0, 8.0, 10.0, 150.0, 0.0);
    // Nut, plate on the tube's edge, spacer, spring.
    body.push_str(&block(AXIS - 16.0, 30.0, 32.0, 14.0, 0.55));
    body.push_str(&block(AXIS - 50.0, 45.0, 100.0, 7.0, 1.0));
    for x in [AXIS - 40.0, AXIS + 33.0] {
        body.push_str(&block(x, 76.0, 7.0, 82.0, 0.2));
    }
    for x in [AXIS - 22.0, AXIS + 16.0] {
        body.push_str(&block(x, 52.0, 6.0, 50.0, 0.12));
    }
    let mut coils = String::from("M44 104");
    for n in 0..5u8 {
        let y = 110.0 + 10.0 * f64::from(n);
        coils.push_str(&format!("L{} {y}", if n % 2 == 0 { 88 } else { 44 }));
    }
    body.push_str(&line(&coils, 2.4));
    let x = AXIS + 56.0;
    for (y, text) in
        [(22.0, "rod"), (40.0, "nut"), (58.0, "plate"), (82.0, "spacer"), (104.0, "tube"), (134.0, "spring")]
    {
        body.push_str(&word(x, y, text));
    }
    let sentence = "The spacer is pressed down with the tool; the plate slips over the rod between nut and spacer; the \
                    spring then presses the plate up against the nut. Keep fingers out from between. Not to scale.";
    Some(picture(190.0, 162.0, "The plate under the rod nut", sentence, &body))
}
