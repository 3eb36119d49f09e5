//! Scales and their ticks.

/// A stretch of values laid over a stretch of the drawing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    /// First and last value.
    pub values: (f64, f64),
    /// Where they stand.
    pub places: (f64, f64),
}

impl Scale {
    /// Where a value stands; what lies outside is put on the edge.
    pub fn at(&self, value: f64) -> f64 {
        let span = self.values.1 - self.values.0;
        let share = if span == 0.0 { 0.0 } else { ((value - self.values.0) / span).clamp(0.0, 1.0) };
        self.places.0 + share * (self.places.1 - self.places.0)
    }
}

/// A step of 1, 2 or 5 times a power of ten that cuts `span` into at most `most` parts.
pub(super) fn step(span: f64, most: usize) -> f64 {
    let mut step = 1e-6;
    let factors = [2.0, 2.5, 2.0];
    let mut turn = 0;
    while span / step > most as f64 && step < 1e12 {
        step *= factors[turn % 3];
        turn += 1;
    }
    step
}

/// Round values from zero up to at least `greatest`.
pub(super) fn ticks(greatest: f64, most: usize) -> Vec<f64> {
    let step = step(greatest, most);
    let mut out = vec![0.0];
    let mut n = 1.0;
    while out.last().is_some_and(|last| *last < greatest - step * 1e-9) && out.len() <= most + 1 {
        out.push(n * step);
        n += 1.0;
    }
    out
}

/// A tick's text, without the digits its step does not need.
pub(super) fn label(value: f64, step: f64) -> String {
    let decimals = if step >= 1.0 {
        0
    } else if step >= 0.1 {
        1
    } else {
        2
    };
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_ticks_cover_the_values() {
        for (span, most, due) in [(122.0, 7, 20.0), (3000.0, 6, 500.0), (9.0, 5, 2.0), (0.3, 4, 0.1)] {
            assert!((step(span, most) - due).abs() < due * 1e-6, "{span}: {}", step(span, most));
        }
        let ticks = ticks(122.0, 7);
        assert_eq!(ticks.len(), 8);
        assert!(*ticks.last().unwrap() >= 122.0);
    }

    #[test]
    fn what_lies_outside_is_put_on_the_edge() {
        let scale = Scale { values: (0.0, 10.0), places: (100.0, 0.0) };
        assert_eq!((scale.at(-5.0), scale.at(5.0), scale.at(50.0)), (100.0, 50.0, 0.0));
    }
}
