//! The top of the leg to scale, in the state its gap is measured in, dimensioned from the record alone.

use crate::catalogue::choice::OilSetBy;
use crate::catalogue::{Key, MadeChoice, key, state_part};
use crate::drawing::{Drawing, c};
use crate::quantity::{Kind, Value};
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
    fork.on(side, key.id()).filter(|resolved| !resolved.not_fitted() && !resolved.is_unknown())
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

/// The top of a leg, as it is drawn.
struct Top<'f> {
    /// The gap from the edge down to the oil.
    gap: &'f Resolved,
    /// What a person calls it.
    word: &'static str,
    /// The same in mm.
    oil: f64,
    bore: Vec<Stretch>,
    rod: Vec<Stretch>,
    /// How far down is drawn, in mm.
    depth: f64,
    /// The widest bore, in mm.
    widest: f64,
    /// Drawing units for a millimetre.
    scale: f64,
}

/// The drawing; `None` for a leg that is set by no gap, or whose gap or bore is not on record.
pub fn drawing(id: &str, fork: &ResolvedFork, side: Side) -> Option<Drawing> {
    let top = Top::of(fork, side)?;
    let edge = match top.state("edge") {
        text if text.is_empty() => "edge".to_owned(),
        text => text.trim_start_matches("from ").to_owned(),
    };
    let mut body = top.tubes();
    body.push_str(&top.dimensions(&edge));
    let mut height = top.y(top.depth) + 44.0;
    let nut = value(fork, side, key::ROD_NUT_HEIGHT);
    if let Some((nut, tall)) = nut.and_then(|nut| Some((nut, millimetres(nut)?))) {
        let [from, to] =
            [(key::ROD_NUT_FROM, "nut"), (key::ROD_NUT_TO, "rod end")].map(|(face, otherwise)| {
                value(fork, side, face).map_or_else(|| otherwise.to_owned(), |face| face.entry.text.clone())
            });
        let (drawn, base) = rod_nut(top.right() + 44.0, height, (nut, tall), &from, &to);
        body.push_str(&drawn);
        height = base + 60.0;
    }
    let state: Vec<String> =
        ["leg", "spring", "rod"].iter().map(|part| top.state(part)).filter(|text| !text.is_empty()).collect();
    let title = format!("Top of the leg to scale: {}", state.join(", "));
    let description = format!(
        "Cut through the leg from the edge down. The {} from {edge} down to the oil surface is {}.{}",
        top.word,
        written(top.gap),
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

impl<'f> Top<'f> {
    fn of(fork: &'f ResolvedFork, side: Side) -> Option<Top<'f>> {
        let height = OilSetBy::of(&fork.choices)?.height()?;
        let gap = value(fork, side, height)?;
        let oil = millimetres(gap)?;
        let bore = stretches(value(fork, side, key::TUBES_BORE)?);
        let rod = value(fork, side, key::TUBES_ROD_DIAMETER).map(stretches).unwrap_or_default();
        if bore.is_empty() || !(1.0..600.0).contains(&oil) {
            return None;
        }
        let widest = bore.iter().map(|(width, _)| *width).fold(0.0, f64::max);
        let scale = (190.0 / widest).min(SCALE);
        Some(Top {
            gap,
            word: OilSetBy::word_of(height),
            oil,
            bore,
            rod,
            depth: oil * 1.25 + 18.0,
            widest,
            scale,
        })
    }

    /// Where a depth stands, in mm.
    fn y(&self, depth: f64) -> f64 {
        TOP + depth * self.scale
    }

    /// Half of a diameter as it is drawn.
    fn half(&self, diameter: f64) -> f64 {
        diameter * self.scale / 2.0
    }

    /// Half of the outer tube as it is drawn.
    fn outer(&self) -> f64 {
        self.half(self.widest + 2.0 * WALL)
    }

    fn right(&self) -> f64 {
        AXIS + self.outer()
    }

    /// A part of the state the gap is measured in, in words; empty where the record does not say it.
    fn state(&self, name: &str) -> String {
        let option = match self.gap.entry.state.get(name).and_then(|named| named.value.as_ref()) {
            Some(Value::Choice(option)) => option,
            _ => return String::new(),
        };
        let options = match state_part(name).map(|part| &part.kind) {
            Some(Kind::Choice(options)) => options,
            _ => return String::new(),
        };
        options.iter().find(|(id, _)| id == option).map(|(_, title)| title.clone()).unwrap_or_default()
    }

    /// A block from one depth to another.
    fn block(&self, class: &str, left: f64, wide: f64, from: f64, to: f64) -> String {
        format!(
            "<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            c(left),
            c(self.y(from)),
            c(wide),
            c((to - from) * self.scale)
        )
    }

    /// The walls, the oil between them, and the rod.
    fn tubes(&self) -> String {
        let mut out = String::new();
        // Walls: the gap between the widest bore plus a wall and the bore itself.
        for (from, to, width) in pieces(&self.bore, self.depth) {
            for sign in [-1.0, 1.0] {
                let (inner, outer) = (AXIS + sign * self.half(width), AXIS + sign * self.outer());
                out.push_str(&self.block("wall", inner.min(outer), (outer - inner).abs(), from, to));
            }
            let surface = from.max(self.oil);
            if to > surface {
                let half = self.half(width);
                out.push_str(&self.block("oil", AXIS - half, 2.0 * half, surface, to));
            }
        }
        for (from, to, width) in pieces(&self.rod, self.depth) {
            let half = self.half(width);
            out.push_str(&self.block("rod", AXIS - half, 2.0 * half, from, to));
        }
        out
    }

    /// The edge, the oil's surface and the gap between them; below, the bore.
    fn dimensions(&self, edge: &str) -> String {
        let (left, right) = (AXIS - self.outer() - 14.0, self.right() + 60.0);
        let (top, surface) = (self.y(0.0), self.y(self.oil));
        let at = self.right() + 44.0;
        let widths = self.bore.iter().map(|(width, until)| match until {
            Some(until) => format!("{} mm to {} mm", c(*width), c(*until)),
            None => format!("{} mm", c(*width)),
        });
        let bore = format!("bore {}", widths.collect::<Vec<_>>().join("; "));
        [
            format!(
                "<path class=\"edge\" d=\"M{} {}H{}\"/><path class=\"surface\" d=\"M{} {}H{}\"/>",
                c(left),
                c(top),
                c(right),
                c(left),
                c(surface),
                c(right)
            ),
            dimension(at, top, surface),
            label(at + 14.0, (top + surface) / 2.0, "big", &written(self.gap)),
            label(at + 22.0, top + 5.0, "name", edge),
            label(at + 22.0, surface + 5.0, "name", "oil surface"),
            label(24.0, self.y(self.depth) + 26.0, "name", &bore),
        ]
        .concat()
    }
}

/// The rod nut, drawn larger below the leg, and where its lower face stands.
fn rod_nut(at: f64, above: f64, (nut, tall): (&Resolved, f64), from: &str, to: &str) -> (String, f64) {
    let zoom = (54.0 / tall).min(5.0);
    let top = above + 26.0;
    let base = top + tall * zoom;
    let drawn = [
        format!(
            "<rect class=\"rod\" x=\"{}\" y=\"{}\" width=\"36\" height=\"{}\"/><rect class=\"wall\" x=\"{}\" y=\"{}\" width=\"76\" height=\"24\"/>",
            c(AXIS - 18.0),
            c(top),
            c(tall * zoom + 44.0),
            c(AXIS - 38.0),
            c(base)
        ),
        format!(
            "<path class=\"edge\" d=\"M{0} {1}H{2}M{0} {3}H{2}\"/>",
            c(AXIS - 50.0),
            c(top),
            c(at + 10.0),
            c(base)
        ),
        dimension(at, top, base),
        label(at + 14.0, (top + base) / 2.0 + 6.0, "big", &written(nut)),
        label(at + 14.0, top - 2.0, "name", to),
        label(at + 14.0, base + 14.0, "name", from),
        label(24.0, top - 10.0, "name", "Rod nut, drawn larger"),
    ];
    (drawn.concat(), base)
}

fn label(x: f64, y: f64, class: &str, text: &str) -> String {
    format!("<text class=\"{class}\" x=\"{}\" y=\"{}\">{}</text>", c(x), c(y), escape(text))
}

/// A quantity as the record has it.
fn written(resolved: &Resolved) -> String {
    resolved.quantity().map(|quantity| quantity.shown()).unwrap_or_default()
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
