//! A finished figure, and how a coordinate is written in it.

use std::fmt::{self, Write};

use crate::words::escape;

/// A finished figure.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct Drawing {
    /// Its fragment identifier.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// The SVG, to be put into the page as it is.
    pub svg: String,
    /// What it assumes and leaves out, one sentence each.
    pub notes: Vec<String>,
}

/// A coordinate as it is written: two decimals are a hundredth of a drawing unit, finer than any printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Coordinate {
    /// Hundredths of a drawing unit.
    hundredths: i64,
}

/// A place or a length in drawing units.
pub fn c(value: f64) -> Coordinate {
    Coordinate { hundredths: libm::round(value * 100.0) as i64 }
}

impl fmt::Display for Coordinate {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.hundredths.unsigned_abs() / 100, self.hundredths.unsigned_abs() % 100);
        if self.hundredths < 0 {
            out.write_char('-')?;
        }
        match (rest / 10, rest % 10) {
            (0, 0) => write!(out, "{whole}"),
            (tenths, 0) => write!(out, "{whole}.{tenths}"),
            _ => write!(out, "{whole}.{rest:02}"),
        }
    }
}

/// A block filled with part of the ink, with an outline.
pub(super) fn block(x: f64, y: f64, wide: f64, high: f64, ink: f64) -> String {
    format!(
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"currentColor\" fill-opacity=\"{ink}\" stroke=\"currentColor\"/>",
        c(x),
        c(y),
        c(wide),
        c(high)
    )
}

/// A line along a path.
pub(super) fn line(path: &str, wide: f64) -> String {
    format!("<path d=\"{path}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"{wide}\"/>")
}

/// A dimension line down from one height to another, with an arrow at each end and its figure beside it.
pub(super) fn dimension(x: f64, top: f64, bottom: f64, figure: &str) -> String {
    let arrows = format!(
        "M{x} {t}V{b}M{l} {ta}L{x} {t}L{r} {ta}M{l} {ba}L{x} {b}L{r} {ba}",
        x = c(x),
        t = c(top),
        b = c(bottom),
        l = c(x - 3.5),
        r = c(x + 3.5),
        ta = c(top + 7.0),
        ba = c(bottom - 7.0)
    );
    let (at, middle) = (c(x - 6.0), c((top + bottom) / 2.0));
    format!(
        "{}<text x=\"{at}\" y=\"{middle}\" font-size=\"19\" font-weight=\"700\" text-anchor=\"middle\" transform=\"rotate(-90 {at} {middle})\">{}</text>",
        line(&arrows, 1.6),
        escape(figure)
    )
}

/// A word beside a part.
pub(super) fn word(x: f64, y: f64, text: &str) -> String {
    format!("<text x=\"{}\" y=\"{}\">{}</text>", c(x), c(y), escape(text))
}

/// The same, smaller: a size, or what is said below a word.
pub(super) fn small(x: f64, y: f64, text: &str) -> String {
    format!("<text x=\"{}\" y=\"{}\" font-size=\"13\">{}</text>", c(x), c(y), escape(text))
}

/// A low drawing without words, in quarters of a millimeter on a card.
pub(super) fn sketch(wide: f64, high: f64, sentence: &str, body: &str) -> String {
    format!(
        "<svg class=\"sketch\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\" fill=\"currentColor\">{body}</svg>",
        c(wide),
        c(high),
        escape(sentence)
    )
}

/// A drawing of this size, with a sentence for who cannot see it.
pub(super) fn picture(wide: f64, high: f64, title: &str, sentence: &str, body: &str) -> Drawing {
    let label = escape(&format!("{title}. {sentence}"));
    let svg = format!(
        "<svg class=\"where\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{label}\" font-family=\"Arial,Liberation Sans,sans-serif\" font-size=\"15\" fill=\"currentColor\">{body}</svg>",
        c(wide),
        c(high)
    );
    Drawing { id: String::new(), title: title.to_owned(), svg, notes: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::c;

    #[test]
    fn a_coordinate_has_no_more_digits_than_it_needs() {
        let texts = [0.0, -0.001, 12.0, 12.5, 12.05, -3.456, 720.0, 0.994, 0.999].map(|n| c(n).to_string());
        assert_eq!(texts, ["0", "0", "12", "12.5", "12.05", "-3.46", "720", "0.99", "1"]);
    }
}
