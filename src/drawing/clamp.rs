//! How far the tube stands above the upper clamp, and where a tube may be clamped in a vise.

use super::scene::Scene;
use super::svg::{Drawing, block, c, dimension, line, picture, small, word};
use crate::catalogue::{Key, key};
use crate::quantity::Quantity;

/// The values the height is drawn from.
pub(super) const HEIGHT_FROM: [Key; 1] = [key::SETUP_HEIGHT_ABOVE_CLAMP];

/// The values the zone is drawn from.
pub(super) const ZONE_FROM: [Key; 1] = [key::TUBES_CLAMP_ZONE];

/// The tube's left side, and how wide it is.
const TUBE: f64 = 66.0;
const WIDE: f64 = 36.0;

/// From which face to which edge the height is measured; `None` where it is not on record.
pub(super) fn height(scene: &Scene<'_>) -> Option<Drawing> {
    let set = scene.quantity(key::SETUP_HEIGHT_ABOVE_CLAMP)?;
    let edge = scene.state(key::SETUP_HEIGHT_ABOVE_CLAMP, "edge").replace('-', " ");
    let bar = scene.chose("bars", "above-clamp");
    let high = (set.main().middle_si() * 1e3 * if bar { 1.3 } else { 3.0 })
        .clamp(if bar { 52.0 } else { 16.0 }, 62.0);
    let (top, face) = (26.0, 26.0 + high);
    let mut body = block(TUBE, top, WIDE, face + 40.0 - top, 0.2);
    for x in [TUBE - 30.0, TUBE + WIDE] {
        body.push_str(&block(x, face, 30.0, 24.0, 0.55));
        if bar {
            body.push_str(&block(x + 8.0, face - 32.0, 14.0, 26.0, 0.0));
        }
    }
    body.push_str(&line(&format!("M14 {t}H{e}M14 {f}H{e}", t = c(top), f = c(face), e = c(TUBE - 1.0)), 0.8));
    body.push_str(&dimension(26.0, top, face, &set.main().shape.number().text()));
    let x = TUBE + WIDE + 36.0;
    if bar {
        body.push_str(&word(x, face - 14.0, "bar"));
    }
    body.push_str(&word(x, face + 17.0, "clamp"));
    let said = if edge.is_empty() { "edge ?" } else { edge.as_str() };
    body.push_str(&word(TUBE - 8.0, top - 6.0, said));
    let named = if edge.is_empty() {
        "the tube’s edge, which the record does not name,".to_owned()
    } else {
        format!("the edge “{edge}”")
    };
    let sentence = format!(
        "From the top face of the upper clamp up to {named} it is {}, both legs the same.{} Not to scale.",
        Quantity::shown(set),
        if bar { " The bar’s clamp grips above the upper clamp." } else { "" }
    );
    Some(picture(200.0, face + 44.0, "Where the tube’s height is measured", &sentence, &body))
}

/// A stretch of the leg, from the wheel's end at the right to the top at the left.
struct Stretch {
    from: f64,
    to: f64,
    name: &'static str,
    /// Words of the record that allow it.
    words: &'static [&'static str],
}

/// The stretches of a leg that lies on the bench.
fn stretches(inverted: bool) -> [Stretch; 3] {
    let grip: &[&str] = &["triple clamp", "clamps grip", "clamp grips", "lower clamp", "upper clamp"];
    let lug: &[&str] = &["lug"];
    if inverted {
        [
            Stretch { from: 10.0, to: 92.0, name: "outer tube", words: grip },
            Stretch { from: 104.0, to: 164.0, name: "stanchion", words: &[] },
            Stretch { from: 172.0, to: 206.0, name: "lug", words: lug },
        ]
    } else {
        [
            Stretch { from: 10.0, to: 62.0, name: "clamps", words: grip },
            Stretch { from: 72.0, to: 116.0, name: "seal runs", words: &[] },
            Stretch { from: 122.0, to: 206.0, name: "slider, lug", words: lug },
        ]
    }
}

/// The middle of a leg that lies, and half of its thick tube.
const AXIS: f64 = 56.0;
const THICK: f64 = 14.0;

/// A stretch by its name, with the jaws that may grip it, or struck out.
fn marks(one: &Stretch, allowed: bool) -> String {
    let (axis, thick, mut out) = (AXIS, THICK, String::new());
    let middle = if one.words.contains(&"lug") { 190.0 } else { (one.from + one.to) / 2.0 };
    let never = one.words.is_empty();
    if allowed {
        // Two jaws that press.
        for (edge, tip) in
            [(axis - thick - 20.0, axis - thick - 2.0), (axis + thick + 20.0, axis + thick + 2.0)]
        {
            out.push_str(&format!(
                "<path d=\"M{} {e}H{}L{m} {t}z\" fill=\"currentColor\"/>",
                c(middle - 11.0),
                c(middle + 11.0),
                m = c(middle),
                e = c(edge),
                t = c(tip)
            ));
        }
        out.push_str(&format!(
            "<text x=\"{}\" y=\"16\" text-anchor=\"middle\" font-weight=\"700\">here</text>",
            c(middle)
        ));
    } else if never {
        out.push_str(&line(
            &format!(
                "M{l} {t}L{r} {b}M{r} {t}L{l} {b}",
                l = c(middle - 16.0),
                r = c(middle + 16.0),
                t = c(axis - 16.0),
                b = c(axis + 16.0)
            ),
            3.0,
        ));
        out.push_str(&format!(
            "<text x=\"{}\" y=\"16\" text-anchor=\"middle\" font-weight=\"700\">never</text>",
            c(middle)
        ));
    }
    let at = (one.from + one.to) / 2.0;
    out.push_str(&small(at - 3.2 * one.name.chars().map(|_| 1.0).sum::<f64>(), 108.0, one.name));
    out
}

/// Whether a record's text in small letters allows a stretch: a clause that forbids names what is not allowed.
fn allows(text: &str, words: &[&str]) -> bool {
    let forbids =
        |clause: &&str| ["never", "not ", "no ", "nowhere"].iter().any(|word| clause.contains(word));
    let allowing = text.split([';', ',', '.']).filter(|clause| !forbids(clause));
    allowing.into_iter().any(|clause| words.iter().any(|word| clause.contains(word)))
}

/// Where jaws may grip and where never; `None` where the record does not say, or in words that no drawing knows.
pub(super) fn zone(scene: &Scene<'_>) -> Option<Drawing> {
    let text = scene.text(key::TUBES_CLAMP_ZONE)?;
    let small_letters = text.to_lowercase();
    let inverted = scene.chose("orientation", "inverted");
    let stretches = stretches(inverted);
    let allowed = |one: &Stretch| allows(&small_letters, one.words);
    if !stretches.iter().any(allowed) {
        return None;
    }
    let (axis, thin, thick) = (AXIS, 9.0, THICK);
    let mut body = if inverted {
        block(92.0, axis - thin, 114.0, 2.0 * thin, 0.0) + &block(8.0, axis - thick, 90.0, 2.0 * thick, 0.2)
    } else {
        block(8.0, axis - thin, 114.0, 2.0 * thin, 0.0) + &block(118.0, axis - thick, 88.0, 2.0 * thick, 0.2)
    };
    let lug =
        "<circle cx=\"198\" cy=\"56\" r=\"6\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.6\"/>";
    body.push_str(lug);
    for one in &stretches {
        body.push_str(&marks(one, allowed(one)));
    }
    let never = "never on the stanchion where seal and bushings run";
    let sentence =
        format!("As the record says: {text}; {never}. Soft jaws, no tighter than needed. Not to scale.");
    Some(picture(216.0, 114.0, "Where the tube may be clamped", &sentence, &body))
}

#[cfg(test)]
mod tests {
    use super::allows;

    /// For the apprentice at the vise: what the record forbids is never drawn as allowed.
    #[test]
    fn a_clause_that_forbids_allows_nothing() {
        assert!(allows("by the axle lug only, in soft jaws", &["lug"]));
        assert!(!allows("where the triple clamps grip; never by the lug", &["lug"]));
        assert!(allows("where the triple clamps grip; never by the lug", &["triple clamp"]));
        assert!(!allows("not on the lug", &["lug"]));
    }
}
