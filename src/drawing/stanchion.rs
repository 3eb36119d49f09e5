//! Where a stanchion is measured for wear: six places in the bushings' path, each two ways across.

use super::scene::Scene;
use super::svg::{Drawing, block, c, line, picture, small, word};
use crate::catalogue::{Key, key};
use crate::quantity::Quantity;

/// The values it is drawn from.
pub(super) const FROM: [Key; 2] = [key::TUBES_STANCHION_LIMIT, key::TUBES_STANCHION_DIAMETER];

/// The drawing, with the limit where it is on record.
pub(super) fn places(scene: &Scene<'_>) -> Option<Drawing> {
    let mut body = block(20.0, 12.0, 26.0, 128.0, 0.12);
    for (n, y) in (1u8..).zip([26.0, 46.0, 66.0, 86.0, 106.0, 126.0]) {
        body.push_str(&line(&format!("M12 {y}H54"), 1.6));
        body.push_str(&word(58.0, y + 5.0, &n.to_string()));
    }
    let (x, y, r) = (130.0, 62.0, 30.0);
    body.push_str(&format!(
        "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"4\"/>",
        c(x),
        c(y),
        c(r)
    ));
    body.push_str(&line(
        &format!("M{} {y}H{}M{x} {}V{}", c(x - r - 12.0), c(x + r + 12.0), c(y - r - 12.0), c(y + r + 12.0)),
        1.6,
    ));
    body.push_str(&small(x - 38.0, y + r + 26.0, "two ways across"));
    let limit = scene.quantity(key::TUBES_STANCHION_LIMIT).map(Quantity::shown);
    let said = limit.clone().unwrap_or_else(|| "limit ?".to_owned());
    body.push_str(&word(x - 38.0, y + r + 44.0, &said));
    let sentence = format!(
        "Six places along the path of the bushings, each measured two ways across. The smallest counts{}. Not to scale.",
        limit.map_or_else(|| "; no limit is on record".to_owned(), |limit| format!(": {limit}"))
    );
    Some(picture(200.0, 148.0, "Where the stanchion is measured", &sentence, &body))
}
