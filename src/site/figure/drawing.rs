//! A finished figure, and how a coordinate is written in it.

use std::fmt::{self, Write};

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
pub(super) struct Coordinate {
    /// Hundredths of a drawing unit.
    hundredths: i64,
}

/// A place or a length in drawing units.
pub(super) fn c(value: f64) -> Coordinate {
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

#[cfg(test)]
mod tests {
    use super::c;

    #[test]
    fn a_coordinate_has_no_more_digits_than_it_needs() {
        let texts = [0.0, -0.001, 12.0, 12.5, 12.05, -3.456, 720.0, 0.994, 0.999].map(|n| c(n).to_string());
        assert_eq!(texts, ["0", "0", "12", "12.5", "12.05", "-3.46", "720", "0.99", "1"]);
    }
}
