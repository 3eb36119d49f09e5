//! How run-out is read: the tube on its supports, the dial gauge midway between them.

use super::svg::{Drawing, block, line, picture, sketch as low, word};
use crate::quantity::Quantity;

const TUBE: f64 = 50.0;
const WIDE: f64 = 12.0;

/// The drawing for a limit of this size, with the distance between the supports where it is on record.
pub(super) fn run_out(limit: &Quantity, spacing: Option<&Quantity>) -> Drawing {
    let (left, right, middle) = (44.0, 124.0, 84.0);
    let mut body = block(14.0, TUBE, 140.0, WIDE, 0.2);
    for x in [left, right] {
        let foot = TUBE + WIDE;
        body.push_str(&line(
            &format!("M{} {}L{x} {foot}L{} {}z", x - 9.0, foot + 22.0, x + 9.0, foot + 22.0),
            1.6,
        ));
    }
    body.push_str(&format!(
        "<circle cx=\"{middle}\" cy=\"24\" r=\"13\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.6\"/>"
    ));
    body.push_str(&line(&format!("M{middle} 37V{TUBE}M{middle} 24l6 -7"), 1.6));
    body.push_str(&word(middle + 18.0, 20.0, "gauge"));
    let below = TUBE + WIDE + 34.0;
    body.push_str(&line(
        &format!("M{left} {}v10M{right} {}v10M{left} {below}H{right}", below - 5.0, below - 5.0),
        1.2,
    ));
    let apart = spacing.map(Quantity::shown).unwrap_or_else(|| "spacing ?".to_owned());
    body.push_str(&word(middle - 22.0, below + 18.0, &apart));
    let sentence = format!(
        "The tube lies on two supports{}; the gauge stands midway. The whole swing of the needle in one turn is {}; the \
         bend is half of it.",
        spacing.map(|apart| format!(", {} apart", apart.shown())).unwrap_or_default(),
        limit.shown()
    );
    picture(168.0, 118.0, "How run-out is read", &sentence, &body)
}

/// The same without words: the tube on two vee blocks, turned once under the gauge, whose needle swings.
pub(super) fn sketch() -> String {
    let (top, wide, foot, middle) = (21.0, 7.0, 28.0, 72.0);
    let mut body = block(6.0, top, 132.0, wide, 0.2);
    for x in [30.0, 114.0] {
        body.push_str(&line(
            &format!("M{} {}L{x} {foot}L{} {}z", x - 6.0, foot + 9.0, x + 6.0, foot + 9.0),
            1.4,
        ));
    }
    body.push_str(&format!(
        "<circle cx=\"{middle}\" cy=\"9.5\" r=\"8.5\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.4\"/>"
    ));
    // The two ends of the needle's swing.
    body.push_str(&line(&format!("M{middle} 18V{top}M{middle} 13l-4.5 -7M{middle} 13l4.5 -7"), 1.4));
    // One turn.
    body.push_str(&line("M146 17a5 7.5 0 1 1 -1 14m1 0l4.5 -3m-4.5 3l4 3.5", 1.3));
    let sentence = "The tube lies on two vee blocks, the gauge midway between them. The whole swing of its needle in one \
                    turn is what is read.";
    low(156.0, 38.0, sentence, &body)
}
