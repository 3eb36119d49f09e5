//! A chart of lines and bands over one pair of axes.

use std::fmt::Write;

use super::scale::{Scale, label, step, ticks};
use crate::drawing::c;
use crate::words::escape;

const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 400.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 150.0;
const TOP: f64 = 16.0;
const BOTTOM: f64 = 52.0;

/// How a series is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Stroke {
    /// A filled band with solid edges.
    Band,
    /// A band of which only the edges are drawn, dashed.
    Dashed,
    /// As above, dotted.
    Dotted,
}

/// A band from a lower to an upper line, as pairs of x and (lower, upper).
#[derive(Debug, Clone)]
pub(super) struct Series {
    pub label: String,
    pub stroke: Stroke,
    pub points: Vec<(f64, f64, f64)>,
}

/// A level line across the chart, with a drop to the x axis where it is met.
#[derive(Debug, Clone)]
pub(super) struct Mark {
    pub label: String,
    pub y: f64,
    pub x: Option<(f64, String)>,
}

#[derive(Debug, Clone)]
pub(super) struct Chart {
    pub id: String,
    pub title: String,
    pub description: String,
    pub x_label: String,
    pub y_label: String,
    pub x_greatest: f64,
    pub y_greatest: f64,
    pub series: Vec<Series>,
    pub marks: Vec<Mark>,
}

/// The chart as SVG.
pub(super) fn svg(chart: &Chart) -> String {
    let x_ticks = ticks(chart.x_greatest, 8);
    let y_ticks = ticks(chart.y_greatest, 6);
    let highest = y_ticks.last().copied().unwrap_or(1.0);
    let axes = Axes {
        x: Scale { values: (0.0, chart.x_greatest), places: (LEFT, WIDTH - RIGHT) },
        y: Scale { values: (0.0, highest), places: (HEIGHT - BOTTOM, TOP) },
    };
    let mut out = format!(
        "<svg class=\"chart\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" aria-labelledby=\"{id}-t {id}-d\"><title id=\"{id}-t\">{}</title><desc id=\"{id}-d\">{}</desc>",
        escape(&chart.title),
        escape(&chart.description),
        id = chart.id
    );
    axes.grid(chart, &x_ticks, &y_ticks, &mut out);
    let mut taken: Vec<f64> = Vec::new();
    for series in &chart.series {
        out.push_str(&band(series, &axes.x, &axes.y));
        axes.name(series, &mut taken, &mut out);
    }
    for mark in &chart.marks {
        axes.mark(mark, &mut taken, &mut out);
    }
    out.push_str("</svg>");
    out
}

/// The two scales of a chart.
struct Axes {
    x: Scale,
    y: Scale,
}

impl Axes {
    /// The lines of the grid, the figures beside them, and what the axes are.
    fn grid(&self, chart: &Chart, x_ticks: &[f64], y_ticks: &[f64], out: &mut String) {
        let x_ticks = || x_ticks.iter().filter(|tick| **tick <= chart.x_greatest);
        out.push_str("<g class=\"grid\">");
        for tick in x_ticks() {
            out.push_str(&format!(
                "<path d=\"M{} {}V{}\"/>",
                c(self.x.at(*tick)),
                c(TOP),
                c(HEIGHT - BOTTOM)
            ));
        }
        for tick in y_ticks {
            out.push_str(&format!("<path d=\"M{} {}H{}\"/>", c(LEFT), c(self.y.at(*tick)), c(WIDTH - RIGHT)));
        }
        out.push_str("</g><g class=\"tick\">");
        for tick in x_ticks() {
            let text = label(*tick, step(chart.x_greatest, 8));
            out.push_str(&format!(
                "<text x=\"{}\" y=\"{}\" text-anchor=\"middle\">{text}</text>",
                c(self.x.at(*tick)),
                c(HEIGHT - BOTTOM + 18.0)
            ));
        }
        for tick in y_ticks {
            let text = label(*tick, step(chart.y_greatest, 6));
            out.push_str(&format!(
                "<text x=\"{}\" y=\"{}\" text-anchor=\"end\">{text}</text>",
                c(LEFT - 8.0),
                c(self.y.at(*tick) + 4.5)
            ));
        }
        out.push_str("</g>");
        out.push_str(&format!(
            "<text class=\"axis\" x=\"{}\" y=\"{}\" text-anchor=\"middle\">{}</text><text class=\"axis\" transform=\"translate(16 {}) rotate(-90)\" text-anchor=\"middle\">{}</text>",
            c((LEFT + WIDTH - RIGHT) / 2.0),
            c(HEIGHT - 10.0),
            escape(&chart.x_label),
            c((TOP + HEIGHT - BOTTOM) / 2.0),
            escape(&chart.y_label)
        ));
    }

    /// The name of a series at its end.
    fn name(&self, series: &Series, taken: &mut Vec<f64>, out: &mut String) {
        let Some((end, low, high)) = series.points.last() else { return };
        let place = free(self.y.at((low + high) / 2.0), taken);
        out.push_str(&format!(
            "<text class=\"name\" x=\"{}\" y=\"{}\">{}</text>",
            c(self.x.at(*end).max(WIDTH - RIGHT - 60.0) + 8.0),
            c(place + 4.5),
            escape(&series.label)
        ));
    }

    /// A level line with its name, and where it is met.
    fn mark(&self, mark: &Mark, taken: &mut Vec<f64>, out: &mut String) {
        let at = self.y.at(mark.y);
        let place = free(at, taken);
        out.push_str(&format!(
            "<path class=\"mark\" d=\"M{} {}H{}\"/><text class=\"name\" x=\"{}\" y=\"{}\">{}</text>",
            c(LEFT),
            c(at),
            c(WIDTH - RIGHT),
            c(WIDTH - RIGHT + 8.0),
            c(place + 4.5),
            escape(&mark.label)
        ));
        if let Some((met, text)) = &mark.x {
            out.push_str(&format!(
                "<path class=\"mark\" d=\"M{0} {1}V{2}\"/><circle class=\"met\" cx=\"{0}\" cy=\"{1}\" r=\"4\"/><text class=\"name\" x=\"{3}\" y=\"{4}\">{5}</text>",
                c(self.x.at(*met)),
                c(at),
                c(HEIGHT - BOTTOM),
                c(self.x.at(*met) + 6.0),
                c(HEIGHT - BOTTOM - 6.0),
                escape(text)
            ));
        }
    }
}

/// The outline of a band, and its area where that is filled.
fn band(series: &Series, x: &Scale, y: &Scale) -> String {
    /// Which edge of a band.
    type Edge = fn(&(f64, f64, f64)) -> f64;
    let (low, high): (Edge, Edge) = (|point| point.1, |point| point.2);
    let add = |out: &mut String, points: &mut dyn Iterator<Item = &(f64, f64, f64)>, edge: Edge| {
        for (n, point) in points.enumerate() {
            let between = if n > 0 { "L" } else { "" };
            // A string takes all that is written to it.
            let _ = write!(out, "{between}{} {}", c(x.at(point.0)), c(y.at(edge(point))));
        }
    };
    let class = match series.stroke {
        Stroke::Band => "band",
        Stroke::Dashed => "dashed",
        Stroke::Dotted => "dotted",
    };
    let mut out = String::new();
    if series.points.is_empty() {
        return out;
    }
    if series.stroke == Stroke::Band {
        out.push_str("<path class=\"fill\" d=\"M");
        add(&mut out, &mut series.points.iter(), low);
        out.push('L');
        add(&mut out, &mut series.points.iter().rev(), high);
        out.push_str("Z\"/>");
    }
    for edge in [low, high] {
        out.push_str(&format!("<path class=\"line {class}\" d=\"M"));
        add(&mut out, &mut series.points.iter(), edge);
        out.push_str("\"/>");
    }
    out
}

/// The place nearest to the one wanted at which a label of 15 units stands free of the others.
fn free(best: f64, taken: &mut Vec<f64>) -> f64 {
    let clear = |place: f64, taken: &[f64]| taken.iter().all(|other| (other - place).abs() >= 15.0);
    let mut place = best;
    for n in 0..40 {
        let shift = f64::from(n / 2 + n % 2) * 5.0 * if n % 2 == 0 { -1.0 } else { 1.0 };
        if clear(best + shift, taken) {
            place = best + shift;
            break;
        }
    }
    taken.push(place);
    place
}
