//! The top of the leg to scale, in the state its gap is measured in, dimensioned from the record alone.

use super::drawing::{Drawing, c};
use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{Key, MadeChoice, key};
use crate::quantity::Value;
use crate::resolve::{Resolved, ResolvedFork, Side};
use crate::words::escape;

/// Drawing units for a millimetre.
const SCALE: f64 = 2.4;
const WIDTH: f64 = 560.0;
const TOP: f64 = 44.0;
const AXIS: f64 = 210.0;
const WALL: f64 = 3.0;

/// A diameter down to a distance from the edge, both in mm.
type Stretch = (f64, Option<f64>);

fn value(fork: &ResolvedFork, side: Side, key: Key) -> Option<&Resolved> {
    fork.on(side, key.id()).filter(|resolved| !resolved.not_fitted())
}

fn millimetres(resolved: &Resolved) -> Option<f64> {
    resolved.quantity().map(|quantity| quantity.middle_si() * 1000.0)
}

fn stretches(resolved: &Resolved) -> Vec<Stretch> {
    match resolved.value() {
        Some(Value::Sections(sections)) => sections
            .iter()
            .map(|part| {
                (part.value.middle_si() * 1000.0, part.until.as_ref().map(|until| until.middle_si() * 1000.0))
            })
            .collect(),
        _ => millimetres(resolved).map(|width| vec![(width, None)]).unwrap_or_default(),
    }
}

/// The cuts of a list of stretches down to `depth`: (from, to, diameter).
fn pieces(list: &[Stretch], depth: f64) -> Vec<(f64, f64, f64)> {
    let mut from = 0.0;
    let mut out = Vec::new();
    for (diameter, until) in list {
        let to = until.unwrap_or(depth).min(depth);
        if to > from {
            out.push((from, to, *diameter));
        }
        from = to.max(from);
    }
    out
}

/// The drawing; `None` for a leg that is set by no gap, or whose gap or bore is not on record.
pub fn drawing(id: &str, fork: &ResolvedFork, side: Side) -> Option<Drawing> {
    let gap = value(fork, side, OilSetBy::of(&fork.choices)?.height()?)?;
    let depth_of_oil = millimetres(gap)?;
    let bore = stretches(value(fork, side, key::TUBES_BORE)?);
    let rod = value(fork, side, key::TUBES_ROD_DIAMETER).map(stretches).unwrap_or_default();
    let nut = value(fork, side, key::ROD_NUT_HEIGHT);
    let depth = depth_of_oil * 1.25 + 18.0;
    if bore.is_empty() || !(1.0..600.0).contains(&depth_of_oil) {
        return None;
    }
    let widest = bore.iter().map(|(width, _)| *width).fold(0.0, f64::max);
    let scale = (190.0 / widest).min(SCALE);
    let y = |mm: f64| TOP + mm * scale;
    let half = |mm: f64| mm * scale / 2.0;
    let part = |name: &str| -> String {
        let text = gap.entry.state.get(name).and_then(|named| match &named.value {
            Some(Value::Choice(option)) => {
                crate::catalogue::state_part(name).and_then(|part| match &part.kind {
                    crate::quantity::Kind::Choice(options) => {
                        options.iter().find(|(id, _)| id == option).map(|(_, title)| title.clone())
                    }
                    _ => None,
                })
            }
            _ => None,
        });
        text.unwrap_or_default()
    };
    let edge = match part("edge") {
        text if text.is_empty() => "edge".to_owned(),
        text => text.trim_start_matches("from ").to_owned(),
    };
    let mut body = String::new();
    // Walls: the gap between the widest bore plus a wall and the bore itself.
    for (from, to, width) in pieces(&bore, depth) {
        for sign in [-1.0, 1.0] {
            let inner = AXIS + sign * half(width);
            let outer = AXIS + sign * half(widest + 2.0 * WALL);
            body.push_str(&format!(
                "<rect class=\"wall\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
                c(inner.min(outer)),
                c(y(from)),
                c((outer - inner).abs()),
                c((to - from) * scale)
            ));
        }
        let (top, bottom) = (from.max(depth_of_oil), to);
        if bottom > top {
            body.push_str(&format!(
                "<rect class=\"oil\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
                c(AXIS - half(width)),
                c(y(top)),
                c(2.0 * half(width)),
                c((bottom - top) * scale)
            ));
        }
    }
    for (from, to, width) in pieces(&rod, depth) {
        body.push_str(&format!(
            "<rect class=\"rod\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            c(AXIS - half(width)),
            c(y(from)),
            c(2.0 * half(width)),
            c((to - from) * scale)
        ));
    }
    let right = AXIS + half(widest + 2.0 * WALL);
    let left = AXIS - half(widest + 2.0 * WALL);
    let written =
        |resolved: &Resolved| resolved.quantity().map(|quantity| quantity.shown()).unwrap_or_default();
    body.push_str(&format!(
        "<path class=\"edge\" d=\"M{} {}H{}\"/><path class=\"surface\" d=\"M{} {}H{}\"/>",
        c(left - 14.0),
        c(y(0.0)),
        c(right + 60.0),
        c(left - 14.0),
        c(y(depth_of_oil)),
        c(right + 60.0)
    ));
    let at = right + 44.0;
    body.push_str(&dimension(at, y(0.0), y(depth_of_oil)));
    let label = |x: f64, y: f64, class: &str, text: &str| {
        format!("<text class=\"{class}\" x=\"{}\" y=\"{}\">{}</text>", c(x), c(y), escape(text))
    };
    body.push_str(&label(at + 14.0, (y(0.0) + y(depth_of_oil)) / 2.0, "big", &written(gap)));
    body.push_str(&label(at + 22.0, y(0.0) + 5.0, "name", &edge));
    body.push_str(&label(at + 22.0, y(depth_of_oil) + 5.0, "name", "oil surface"));
    let bottom = y(depth);
    let widths: Vec<String> = bore
        .iter()
        .map(|(width, until)| match until {
            Some(until) => format!("{} mm to {} mm", c(*width), c(*until)),
            None => format!("{} mm", c(*width)),
        })
        .collect();
    body.push_str(&label(24.0, bottom + 26.0, "name", &format!("bore {}", widths.join("; "))));
    let mut height = bottom + 44.0;
    if let Some((nut, tall)) = nut.and_then(|nut| Some((nut, millimetres(nut)?))) {
        let from = value(fork, side, key::ROD_NUT_FROM)
            .map(|r| r.entry.text.clone())
            .unwrap_or_else(|| "nut".to_owned());
        let to = value(fork, side, key::ROD_NUT_TO)
            .map(|r| r.entry.text.clone())
            .unwrap_or_else(|| "rod end".to_owned());
        let zoom = (54.0 / tall).min(5.0);
        let top = height + 26.0;
        let base = top + tall * zoom;
        body.push_str(&format!(
            "<rect class=\"rod\" x=\"{}\" y=\"{}\" width=\"36\" height=\"{}\"/><rect class=\"wall\" x=\"{}\" y=\"{}\" width=\"76\" height=\"24\"/>",
            c(AXIS - 18.0),
            c(top),
            c(tall * zoom + 44.0),
            c(AXIS - 38.0),
            c(base)
        ));
        body.push_str(&format!(
            "<path class=\"edge\" d=\"M{0} {1}H{2}M{0} {3}H{2}\"/>",
            c(AXIS - 50.0),
            c(top),
            c(at + 10.0),
            c(base)
        ));
        body.push_str(&dimension(at, top, base));
        body.push_str(&label(at + 14.0, (top + base) / 2.0 + 6.0, "big", &written(nut)));
        body.push_str(&label(at + 14.0, top - 2.0, "name", &to));
        body.push_str(&label(at + 14.0, base + 14.0, "name", &from));
        body.push_str(&label(24.0, top - 10.0, "name", "Rod nut, drawn larger"));
        height = base + 60.0;
    }
    let state: Vec<String> =
        ["leg", "spring", "rod"].iter().map(|name| part(name)).filter(|text| !text.is_empty()).collect();
    let title = format!("Top of the leg to scale: {}", state.join(", "));
    let description = format!(
        "Cut through the leg from the edge down. The gap from {edge} down to the oil surface is {}.{}",
        written(gap),
        nut.map_or_else(String::new, |nut| format!(" The rod-nut height is {}.", written(nut)))
    );
    let svg = format!(
        "<svg class=\"drawing\" viewBox=\"0 0 {WIDTH} {}\" role=\"img\" aria-labelledby=\"{id}-t {id}-d\"><title id=\"{id}-t\">{}</title><desc id=\"{id}-d\">{}</desc>{body}</svg>",
        c(height),
        escape(&title),
        escape(&description)
    );
    let notes = vec![
        "Drawn from this record's own values; walls and the nut's own shape are not to scale.".to_owned(),
    ];
    Some(Drawing { id: id.to_owned(), title, svg, notes })
}

/// A dimension line with an arrow at each end.
fn dimension(x: f64, top: f64, bottom: f64) -> String {
    format!(
        "<path class=\"dim\" d=\"M{x} {t}V{b}M{l} {ta}L{x} {t}L{r} {ta}M{l} {ba}L{x} {b}L{r} {ba}\"/>",
        x = c(x),
        t = c(top),
        b = c(bottom),
        l = c(x - 4.0),
        r = c(x + 4.0),
        ta = c(top + 8.0),
        ba = c(bottom - 8.0)
    )
}
