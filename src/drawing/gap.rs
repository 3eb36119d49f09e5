//! Where the gap or the level is read: the top of the leg in the state that stands beside the number, with the gauge in
//! place.

use super::scene::state;
use super::svg::{Drawing, block, dimension, line, picture, word};
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{MadeChoice, key};
use crate::check::CheckedFork;
use crate::quantity::Quantity;
use crate::resolve::Side;

/// Where the edge stands on the drawing.
const EDGE: f64 = 26.0;

/// How high a drawing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// As high as wide.
    Tall,
    /// Two thirds of that, with fewer words.
    Low,
}

impl Shape {
    /// Where the oil stands, and where the drawing ends.
    fn ends(self) -> (f64, f64) {
        match self {
            Shape::Tall => (122.0, 170.0),
            Shape::Low => (86.0, 110.0),
        }
    }
}

/// The middle of the leg.
const AXIS: f64 = 72.0;

/// The drawing; `None` for a leg whose oil is set by no height, or whose height is not on record.
pub fn gap(fork: &CheckedFork, side: Side, shape: Shape) -> Option<Drawing> {
    let (oil, foot) = shape.ends();
    let height = OilSetBy::of(&fork.choices)?.height()?;
    let set = fork.on(side, height.id()).filter(|value| !value.not_fitted() && !value.is_unknown())?;
    let figure = set.quantity()?.main().shape.number().text();
    let said = |name: &str| state(set, name);
    let (edge, spring, rod) = (said("edge"), said("spring"), said("rod"));
    let inverted = fork.choices.get("orientation").is_some_and(|made| made == "inverted");
    let has_rod = fork.on(side, key::TUBES_ROD_DIAMETER.id()).is_some_and(|value| !value.not_fitted());
    let mut body = tubes(inverted, shape);
    if spring == "in" {
        body.push_str(&coils(foot));
    }
    if has_rod {
        body.push_str(&rod_of(&rod, shape));
    }
    body.push_str(&gauge(oil));
    body.push_str(&line(&format!("M14 {EDGE}H{}M14 {oil}H{}", AXIS - 24.0, AXIS - 18.0), 0.8));
    body.push_str(&dimension(24.0, EDGE, oil, &figure));
    body.push_str(&words(&edge, inverted, has_rod.then_some(rod.as_str()), shape));
    let title = format!("Where the {} is read", OilSetBy::word_of(height));
    let sentence = format!(
        "From {} down to the oil it is {}; spring {}{}; the gauge hangs from its stop on the edge.",
        if edge.is_empty() { "the edge".to_owned() } else { edge.replace('-', " ") },
        set.quantity().map(Quantity::shown).unwrap_or_default(),
        if spring.is_empty() { "not said" } else { &spring },
        if rod.is_empty() { String::new() } else { format!(", rod {}", rod.replace('-', " ")) }
    );
    Some(picture(184.0, foot + 2.0, &title, &sentence, &body))
}

/// The walls, and the oil between them. Of an inverted leg the inner tube ends below the edge, and oil stands in it.
fn tubes(inverted: bool, shape: Shape) -> String {
    let (level, foot) = shape.ends();
    // Of a low drawing everything below the edge stands closer to it.
    let near = |far: f64| if shape == Shape::Low { far * 0.62 } else { far };
    let mut out = String::new();
    let (bore, wall) = (24.0, 7.0);
    for x in [AXIS - bore - wall, AXIS + bore] {
        out.push_str(&block(x, EDGE, wall, foot - EDGE, 0.55));
    }
    let mut oil = bore;
    if inverted {
        oil = bore - 6.0;
        for x in [AXIS - bore, AXIS + bore - 5.0] {
            out.push_str(&block(x, EDGE + near(44.0), 5.0, foot - EDGE - near(44.0), 0.0));
        }
    } else {
        // The lower tube stands outside, further down.
        for x in [AXIS - bore - wall - 7.0, AXIS + bore + wall] {
            out.push_str(&block(x, EDGE + near(76.0), 7.0, foot - EDGE - near(76.0), 0.2));
        }
    }
    out.push_str(&format!(
        "<rect x=\"{}\" y=\"{level}\" width=\"{}\" height=\"{}\" fill-opacity=\".2\"/>",
        AXIS - oil,
        2.0 * oil,
        foot - level
    ));
    out.push_str(&line(&format!("M{} {level}H{}", AXIS - oil, AXIS + oil), 2.2));
    out
}

/// The rod with its end down in the leg, or drawn up over the edge.
fn rod_of(state: &str, shape: Shape) -> String {
    let (_, foot) = shape.ends();
    let down = if shape == Shape::Low { 40.0 } else { 64.0 };
    let top = if state.contains("up") || state.contains("out") { 6.0 } else { EDGE + down };
    block(AXIS - 6.0, top, 12.0, foot - top, 0.0)
}

/// A spring in the leg.
fn coils(foot: f64) -> String {
    let mut path = format!("M{} {}", AXIS - 14.0, EDGE + 30.0);
    for n in 0..9 {
        let x = if n % 2 == 0 { AXIS + 14.0 } else { AXIS - 14.0 };
        let y = EDGE + 38.0 + 14.0 * f64::from(n);
        if y <= foot {
            path.push_str(&format!("L{x} {y}"));
        }
    }
    line(&path, 2.0)
}

/// The gauge: a stop across the edge, a tube down to the oil.
fn gauge(oil: f64) -> String {
    let x = AXIS + 13.0;
    let stop = block(x - 6.0, EDGE - 8.0, 26.0, 7.0, 1.0);
    format!("{stop}{}", line(&format!("M{x} {}V{oil}", EDGE - 18.0), 2.6))
}

fn words(edge: &str, inverted: bool, rod: Option<&str>, shape: Shape) -> String {
    let (oil, _) = shape.ends();
    let x = AXIS + if inverted { 34.0 } else { 41.0 };
    let mut out = word(x, EDGE + 12.0, if edge.is_empty() { "edge ?" } else { "edge" });
    if inverted && shape == Shape::Tall {
        out.push_str(&word(x, EDGE + 50.0, "inner"));
        out.push_str(&word(x, EDGE + 63.0, "tube"));
    }
    if let Some(rod) = rod {
        let short = rod.rsplit('-').next().unwrap_or_default();
        let down = if shape == Shape::Low { 40.0 } else { 80.0 };
        out.push_str(&word(x, EDGE + down, &format!("rod {short}")));
    }
    out.push_str(&word(x, oil + 5.0, "oil"));
    out.push_str(&word(x + 2.0, EDGE - 8.0, "gauge"));
    out
}
