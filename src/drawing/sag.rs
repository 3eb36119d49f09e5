//! Between which heights sag is read: the fork off the ground, settled from above and settled from below.

use super::svg::{Drawing, block, dimension, line, picture, word};
use crate::quantity::Quantity;

/// Where the top stands: off the ground, settled from above, settled from below; and the middle of the last two.
const TOPS: [f64; 3] = [22.0, 44.0, 60.0];
const MIDDLE: f64 = 52.0;
const AXLE: f64 = 112.0;

/// The drawing for a sag of this size.
pub(super) fn sag(set: &Quantity) -> Drawing {
    let mut body = String::new();
    for (n, top) in (0u8..).zip(TOPS) {
        let x = 62.0 + 40.0 * f64::from(n);
        body.push_str(&block(x - 4.0, top, 8.0, AXLE - 34.0 - top, 0.0));
        body.push_str(&block(x - 7.0, AXLE - 34.0, 14.0, 34.0, 0.55));
        body.push_str(&block(x - 13.0, top - 4.0, 26.0, 5.0, 1.0));
        body.push_str(&format!(
            "<circle cx=\"{x}\" cy=\"{AXLE}\" r=\"5\" fill=\"none\" stroke=\"currentColor\"/>"
        ));
        body.push_str(&word(x - 4.0, AXLE + 22.0, &(n + 1).to_string()));
    }
    body.push_str(&line(&format!("M14 {}H49M14 {MIDDLE}H160", TOPS[0]), 0.8));
    body.push_str(&dimension(28.0, TOPS[0], MIDDLE, &set.main().shape.number().text()));
    let sentence = format!(
        "It is {}: from 1, off the ground, down to the middle of 2, settled from above, and 3, settled from below. \
         Friction holds the fork high at 2 and low at 3.",
        set.shown()
    );
    picture(168.0, 138.0, "Between which heights sag is read", &sentence, &body)
}
