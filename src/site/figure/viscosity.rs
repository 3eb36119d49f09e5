//! Viscosity against temperature on the standard's scale, all oils together.

use crate::bench::grade::Curve;
use crate::bench::units::celsius;
use crate::drawing::{Drawing, c};
use crate::words::escape;

const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 440.0;
const LEFT: f64 = 60.0;
const RIGHT: f64 = 170.0;
const TOP: f64 = 16.0;
const BOTTOM: f64 = 52.0;

/// Temperatures of the chart, °C.
const TEMPERATURES: (f64, f64) = (0.0, 100.0);
/// Viscosities of its lines, mm²/s.
const LINES: [f64; 11] = [2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0, 50.0, 100.0, 200.0];

/// Where a viscosity stands on the scale of ASTM D341, on which an oil is a straight line.
fn place(viscosity: f64) -> f64 {
    libm::log10(libm::log10(viscosity + 0.7))
}

/// Where a temperature stands, in °C.
fn x(celsius: f64) -> f64 {
    let kelvin = |celsius: f64| libm::log10(celsius + 273.15);
    let (cold, hot) = (kelvin(TEMPERATURES.0), kelvin(TEMPERATURES.1));
    LEFT + (kelvin(celsius) - cold) / (hot - cold) * (WIDTH - LEFT - RIGHT)
}

/// Where a viscosity stands, in mm²/s; what lies outside is put on the edge.
fn y(viscosity: f64) -> f64 {
    let (low, high) = (place(2.0), place(200.0));
    HEIGHT - BOTTOM - (place(viscosity.clamp(2.0, 200.0)) - low) / (high - low) * (HEIGHT - TOP - BOTTOM)
}

/// The lines of the grid, the figures beside them, and what the axes are.
fn grid() -> String {
    let mut out = String::from("<g class=\"grid\">");
    let temperatures: Vec<f64> = (0..=5).map(|n| f64::from(n) * 20.0).collect();
    for t in &temperatures {
        out.push_str(&format!("<path d=\"M{} {}V{}\"/>", c(x(*t)), c(TOP), c(HEIGHT - BOTTOM)));
    }
    for v in LINES {
        out.push_str(&format!("<path d=\"M{} {}H{}\"/>", c(LEFT), c(y(v)), c(WIDTH - RIGHT)));
    }
    out.push_str("</g><g class=\"tick\">");
    for t in &temperatures {
        out.push_str(&format!(
            "<text x=\"{}\" y=\"{}\" text-anchor=\"middle\">{t:.0}</text>",
            c(x(*t)),
            c(HEIGHT - BOTTOM + 18.0)
        ));
    }
    for v in LINES {
        out.push_str(&format!(
            "<text x=\"{}\" y=\"{}\" text-anchor=\"end\">{v:.0}</text>",
            c(LEFT - 8.0),
            c(y(v) + 4.5)
        ));
    }
    out.push_str("</g>");
    out.push_str(&format!(
        "<text class=\"axis\" x=\"{}\" y=\"{}\" text-anchor=\"middle\">temperature, °C</text><text class=\"axis\" transform=\"translate(14 {}) rotate(-90)\" text-anchor=\"middle\">viscosity, mm²/s</text>",
        c((LEFT + WIDTH - RIGHT) / 2.0),
        c(HEIGHT - 10.0),
        c((TOP + HEIGHT - BOTTOM) / 2.0)
    ));
    out
}

/// An oil's line, as far as the chart goes; `None` where that is less than two points.
fn line(n: usize, curve: &Curve) -> Option<String> {
    let points: Vec<String> = (0..=20)
        .filter_map(|n| {
            let t = f64::from(n) * 5.0;
            let v = curve.at(celsius(t)).ok()?.value * 1e6;
            (2.0..=200.0).contains(&v).then(|| format!("{} {}", c(x(t)), c(y(v))))
        })
        .collect();
    (points.len() > 1).then(|| format!("<path class=\"line oil-{}\" d=\"M{}\"/>", n % 4, points.join("L")))
}

/// The names of the oils at the ends of their lines, from bottom to top, each at least a line above the last.
fn names(mut ends: Vec<(f64, &str)>, out: &mut String) {
    ends.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut last = f64::INFINITY;
    for (end, name) in ends {
        let at = end.min(last - 15.0);
        last = at;
        out.push_str(&format!(
            "<path class=\"lead\" d=\"M{} {}L{} {}\"/><text class=\"name\" x=\"{}\" y=\"{}\">{}</text>",
            c(WIDTH - RIGHT),
            c(end),
            c(WIDTH - RIGHT + 12.0),
            c(at),
            c(WIDTH - RIGHT + 16.0),
            c(at + 4.5),
            escape(name)
        ));
    }
}

/// The chart of several oils by name; `None` when there is no oil to draw.
pub fn viscosity(id: &str, oils: &[(String, Curve)]) -> Option<Drawing> {
    if oils.is_empty() {
        return None;
    }
    let mut body = grid();
    let mut ends: Vec<(f64, &str)> = Vec::new();
    let mut readings = Vec::new();
    for (n, (name, curve)) in oils.iter().enumerate() {
        let Some(line) = line(n, curve) else { continue };
        body.push_str(&line);
        if let Ok(at_50) = curve.at(celsius(50.0)) {
            readings.push(format!("{name}: {:.1} mm²/s at 50 °C", at_50.value * 1e6));
        }
        ends.push((y(curve.at(celsius(100.0)).map_or(2.0, |v| v.value * 1e6)), name));
    }
    names(ends, &mut body);
    let title = "Viscosity against temperature".to_owned();
    let svg = format!(
        "<svg class=\"chart\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" aria-labelledby=\"{id}-t {id}-d\"><title id=\"{id}-t\">{title}</title><desc id=\"{id}-d\">{}.</desc>{body}</svg>",
        escape(&readings.join("; "))
    );
    let notes = vec!["Drawn on the scale of ASTM D341 through each oil's viscosities at 40 and 100 °C; between and beyond them it is worked out.".to_owned()];
    Some(Drawing { id: id.to_owned(), title, svg, notes })
}
