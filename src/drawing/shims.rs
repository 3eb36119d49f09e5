//! A stack of shims on its piston's face: widths to scale, and thicknesses to a scale of their own.

use super::svg::{Drawing, block, c, line, picture, small, word};
use crate::quantity::Quantity;
use crate::record::Arrangement;

/// How wide the widest shim is drawn.
const WIDEST: f64 = 110.0;
/// How high the stack may grow.
const HIGHEST: f64 = 96.0;
/// The middle of the stack.
const AXIS: f64 = 66.0;
/// From one size to the next beside it.
const ROW: f64 = 17.0;

/// The drawing; `None` where a shim cannot be read, or there is none.
pub fn shims(title: &str, stack: &Arrangement) -> Option<Drawing> {
    let mut sizes = Vec::new();
    for shim in &stack.shims {
        let size = shim.size.as_ref()?;
        let parts = size.parts_si();
        sizes.push((parts.first()? * 1e3, parts.get(1)? * 1e3, shim.count, size.shown()));
    }
    let widest = sizes.iter().map(|(wide, ..)| *wide).fold(0.0, f64::max);
    let thick: f64 = sizes.iter().map(|(_, thick, count, _)| thick * f64::from(*count)).sum();
    if widest <= 0.0 || thick <= 0.0 {
        return None;
    }
    let (across, up) = (WIDEST / widest, (HIGHEST / thick).min(60.0));
    let rows: f64 = sizes.iter().map(|_| ROW).sum();
    let face = (thick * up).max(rows) + 44.0;
    let mut body = block(AXIS - WIDEST / 2.0, face, WIDEST, 22.0, 0.55);
    let (mut y, mut label) = (face, face - 2.0);
    for (wide, thick, count, shown) in &sizes {
        let (wide, from) = (wide * across, y);
        for _ in 0..*count {
            y -= thick * up;
            body.push_str(&block(AXIS - wide / 2.0, y, wide, thick * up, 0.12));
        }
        let middle = (from + y) / 2.0;
        body.push_str(&line(&format!("M{} {}L126 {}", c(AXIS + wide / 2.0), c(middle), c(label - 4.0)), 0.6));
        body.push_str(&small(129.0, label, &format!("{count} × ⌀ {shown}")));
        label -= ROW;
    }
    let clamp = stack.clamp.as_ref();
    if let Some(clamp) = clamp {
        let wide = (clamp.main().middle_si() * 1e3 * across).clamp(8.0, WIDEST);
        body.push_str(&block(AXIS - wide / 2.0, y - 12.0, wide, 12.0, 0.55));
    }
    let said = clamp.map_or_else(|| "clamp ?".to_owned(), |clamp| format!("clamp {}", clamp.main().shown()));
    body.push_str(&word(AXIS - 44.0, y - 18.0, &said));
    body.push_str(&word(AXIS - 40.0, face + 38.0, "piston’s face"));
    let list: Vec<String> =
        sizes.iter().map(|(_, _, count, shown)| format!("{count} of ⌀ {shown}")).collect();
    let more = [("bleed", &stack.bleed), ("float", &stack.float)];
    let more: String = more
        .into_iter()
        .filter_map(|(name, value)| Some(format!("; {name} {}", Quantity::shown(value.as_ref()?))))
        .collect();
    let sentence = format!(
        "From the piston’s face outward: {}; {said}{more}. Widths to one scale, thicknesses to another.",
        list.join(", ")
    );
    Some(picture(256.0, face + 46.0, title, &sentence, &body))
}
