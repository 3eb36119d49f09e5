//! The seals and bushings in their order on the tube, each with its size, and which side of the oil seal faces the oil.

use super::scene::Scene;
use super::svg::{Drawing, block, c, line, picture, small, word};
use crate::catalogue::stack::{STACK, named_in};
use crate::catalogue::{Key, key};
use crate::quantity::Value;

/// From one part to the next.
const PITCH: f64 = 36.0;
/// Where the first part stands.
const TOP: f64 = 28.0;
/// The tube's surface, and how far the parts reach from it.
const TUBE: f64 = 44.0;
const WIDE: f64 = 42.0;

/// The values it is drawn from.
pub(super) const FROM: [Key; 11] = [
    key::SEALS_ORDER,
    key::SEALS_LIP_SIDE,
    key::SEALS_OIL_SEAL,
    key::SEALS_DUST_SEAL,
    key::SEALS_CLIP,
    key::SEALS_CLIP_SINGLE_USE,
    key::SEALS_WASHER,
    key::BUSHINGS_OUTER_WALL,
    key::BUSHINGS_OUTER_WIDTH,
    key::BUSHINGS_INNER_WALL,
    key::BUSHINGS_INNER_WIDTH,
];

/// A part as it is drawn.
struct Drawn {
    /// Its place in the stack, from the outside inward.
    place: usize,
    /// When it goes on, from 1; `None` where the record names it apart from the others.
    turn: Option<usize>,
    size: String,
    /// How long it is along the tube, in mm; a thin one where that is not on record.
    long: f64,
}

/// The drawing; `None` where the record says no order.
pub(super) fn seals(scene: &Scene<'_>) -> Option<Drawing> {
    let order = scene.text(key::SEALS_ORDER)?.to_lowercase();
    let inverted = scene.chose("orientation", "inverted");
    // What is said apart, such as a bushing that sits in its groove beforehand, has no turn among the others.
    let turns = order.split(';').map(named_in).max_by_key(Vec::len).unwrap_or_default();
    let turn = |place: usize| turns.iter().position(|other| *other == place).map(|n| n + 1);
    let mut parts: Vec<Drawn> =
        named_in(&order).into_iter().map(|place| part(scene, place, turn(place))).collect();
    if parts.is_empty() {
        return None;
    }
    // The outside is below on an inverted leg and above on a conventional one.
    parts.sort_by_key(|part| if inverted { STACK.len() - part.place } else { part.place });
    let foot = TOP + PITCH * parts.iter().map(|_| 1.0).sum::<f64>();
    let lip = scene.text(key::SEALS_LIP_SIDE);
    let mut body = block(TUBE - 10.0, 8.0, 10.0, foot + 12.0, 0.55);
    let mut y = TOP;
    for part in &parts {
        body.push_str(&drawn(part, y, (inverted, lip.is_some())));
        y += PITCH;
    }
    let (oil, outside) = if inverted { (18.0, foot + 16.0) } else { (foot + 16.0, 18.0) };
    body.push_str(&word(TUBE + 8.0, oil, "oil this side"));
    body.push_str(&word(TUBE + 8.0, outside, "outside"));
    Some(picture(
        252.0,
        foot + 24.0,
        "Seals and bushings in fitting order",
        &sentence(&parts, lip.as_deref()),
        &body,
    ))
}

fn part(scene: &Scene<'_>, place: usize, turn: Option<usize>) -> Drawn {
    let bushing = |wall: Key, width: Key| {
        let shown = |key: Key| scene.shown(key);
        let size = match (shown(wall), shown(width)) {
            (Some(wall), Some(width)) => format!("wall {wall}, {width} wide"),
            (Some(wall), None) => format!("wall {wall}"),
            (None, Some(width)) => format!("{width} wide"),
            (None, None) => String::new(),
        };
        (size, scene.millimeters(width))
    };
    let ring = |key: Key| {
        let size = match scene.value(key) {
            Some(Value::Size(size)) => Some((size.shown(), size.parts_si().last().map(|part| part * 1e3))),
            _ => None,
        };
        size.unwrap_or_default()
    };
    let (size, long) = match STACK[place].key {
        Some(key::SEALS_CLIP) => (clip(scene), Some(2.0)),
        Some(key) => ring(key),
        None if STACK[place].words.contains(&"outer bushing") => {
            bushing(key::BUSHINGS_OUTER_WALL, key::BUSHINGS_OUTER_WIDTH)
        }
        None => bushing(key::BUSHINGS_INNER_WALL, key::BUSHINGS_INNER_WIDTH),
    };
    Drawn { place, turn, size, long: long.unwrap_or(2.0) }
}

/// What is said of the clip beside its name: what it is, in its first words, and whether it is renewed.
fn clip(scene: &Scene<'_>) -> String {
    let what = scene.text(key::SEALS_CLIP).unwrap_or_default();
    let what = what.split([',', ';']).next().unwrap_or_default().to_owned();
    let renewed =
        matches!(scene.value(key::SEALS_CLIP_SINGLE_USE), Some(Value::Choice(option)) if option == "replace");
    if renewed { format!("{what}, a new one") } else { what }
}

/// A part beside the tube, as long as it is on record, with its turn, its name and its size.
fn drawn(part: &Drawn, y: f64, (inverted, lip): (bool, bool)) -> String {
    let long = (part.long * 1.5).clamp(3.0, 26.0);
    let (top, middle) = (y + (PITCH - 6.0 - long) / 2.0, y + (PITCH - 6.0) / 2.0);
    let is = |word: &str| STACK[part.place].words.contains(&word);
    let mut out = if is("oil seal") && lip {
        faces(top, long, inverted)
    } else if is("dust seal") {
        // A lip that points outward.
        let (root, tip) = if inverted { (top, top + long) } else { (top + long, top) };
        line(
            &format!(
                "M{} {}H{}V{}M{} {}L{TUBE} {}",
                c(TUBE + WIDE),
                c(root),
                c(TUBE + 8.0),
                c(root),
                c(TUBE + 8.0),
                c(root),
                c(tip)
            ),
            3.0,
        ) + &line(&format!("M{} {}V{}", c(TUBE + WIDE), c(root), c(tip)), 3.0)
    } else {
        block(TUBE, top, WIDE, long, if is("clip") { 1.0 } else { 0.2 })
    };
    if let Some(turn) = part.turn {
        out.push_str(&format!(
            "<circle cx=\"16\" cy=\"{0}\" r=\"11\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.4\"/><text x=\"16\" y=\"{1}\" text-anchor=\"middle\" font-weight=\"700\">{turn}</text>",
            c(middle),
            c(middle + 5.0)
        ));
    }
    let x = TUBE + WIDE + 8.0;
    out.push_str(&word(x, middle - 1.0, STACK[part.place].words[0]));
    let size = if part.size.is_empty() { "size not on record" } else { &part.size };
    out.push_str(&small(x, middle + 13.0, &shortened(size)));
    out
}

/// The oil seal, open to the oil, with its garter spring on that side.
fn faces(top: f64, long: f64, inverted: bool) -> String {
    let (back, open, spring) =
        if inverted { (top + long, top, top + 5.0) } else { (top, top + long, top + long - 5.0) };
    let shell = line(
        &format!(
            "M{TUBE} {o}L{i} {b}H{r}V{o}",
            o = c(open),
            i = c(TUBE + 6.0),
            b = c(back),
            r = c(TUBE + WIDE)
        ),
        3.2,
    );
    format!("{shell}<circle cx=\"{}\" cy=\"{}\" r=\"3.6\" fill=\"currentColor\"/>", c(TUBE + 9.0), c(spring))
}

/// No more of a text than there is room for.
fn shortened(text: &str) -> String {
    const ROOM: usize = 26;
    if text.chars().count() <= ROOM {
        return text.to_owned();
    }
    let cut: String = text.chars().take(ROOM - 1).collect();
    format!("{}…", cut.trim_end())
}

fn sentence(parts: &[Drawn], lip: Option<&str>) -> String {
    let mut by_turn: Vec<&Drawn> = parts.iter().collect();
    by_turn.sort_by_key(|part| part.turn.unwrap_or(usize::MAX));
    let said = by_turn.iter().map(|part| {
        let size = if part.size.is_empty() { "size not on record" } else { &part.size };
        let name = STACK[part.place].words[0];
        match part.turn {
            Some(turn) => format!("{turn} {name}, {size}"),
            None => format!("named apart from the order: {name}, {size}"),
        }
    });
    let order = said.collect::<Vec<_>>().join("; ");
    let faces = lip.map_or_else(
        || "Which side of the oil seal faces the oil is not on record: not drawn.".to_owned(),
        |lip| format!("The oil seal: {lip}."),
    );
    format!("{order}. {faces} Lengths to scale, from the record; widths not.")
}
