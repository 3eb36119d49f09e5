//! Between which heights sag is read: the fork off the ground, settled from above and settled from below.

use super::svg::{Drawing, block, c, dimension, line, picture, sketch, word};
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

/// How wide a box of a row is, in quarters of a millimeter.
const BOX: f64 = 59.2;

/// The fork above each box of a row, as it stands when that is read: the extended length is the greatest; friction holds
/// the fork low when it has settled from below and high when it has settled from above.
pub(super) fn over_boxes(names: &[String]) -> String {
    let (axle, high) = (33.5, 38.0);
    let top_of = |name: &str| match name {
        "extended" => 2.0,
        "below" => 17.0,
        _ => 10.0,
    };
    let places = names.iter().enumerate();
    let places: Vec<(f64, f64)> = places.map(|(n, name)| (BOX * (n as f64 + 0.5), top_of(name))).collect();
    let mut body = String::new();
    for (x, top) in &places {
        body.push_str(&fork(*x, *top, axle));
        body.push_str(&length(x - 16.0, *top, axle));
    }
    // From the extended length down: what is read as sag.
    if let Some((first, _)) = places.first().filter(|(_, top)| *top < 3.0) {
        let path = format!("M{} 2H{}", c(first + 13.0), c(BOX * names.len() as f64 - 8.0));
        body.push_str(&line(&path, 0.8).replacen("/>", " stroke-dasharray=\"4 3\"/>", 1));
    }
    let sentence = "Between clamp and axle: extended, off the ground; then settled from below, where friction holds the \
                    fork low; then settled from above, where it holds it high. Sag is the extended length less the \
                    middle of the two.";
    sketch(BOX * names.len() as f64, high, sentence, &body)
}

/// A fork with its clamp at this height, wheel and all.
fn fork(x: f64, top: f64, axle: f64) -> String {
    let clamp = block(x - 8.0, top - 1.5, 16.0, 4.0, 1.0);
    let stanchion = block(x - 2.5, top + 2.5, 5.0, axle - 12.0 - top - 2.5, 0.0);
    let lower = block(x - 4.5, axle - 12.0, 9.0, 12.0, 0.55);
    let axle = format!("<circle cx=\"{}\" cy=\"{}\" r=\"3.2\"/>", c(x), c(axle));
    format!("{clamp}{stanchion}{lower}{axle}")
}

/// A length with an arrow at each end.
fn length(x: f64, top: f64, foot: f64) -> String {
    let path = format!(
        "M{x} {t}V{f}m-3 -4.5l3 4.5l3 -4.5M{l} {a}L{x} {t}L{r} {a}",
        x = c(x),
        t = c(top),
        f = c(foot),
        l = c(x - 3.0),
        r = c(x + 3.0),
        a = c(top + 4.5)
    );
    line(&path, 1.3)
}
