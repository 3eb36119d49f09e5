//! Figures of several jobs that one wrong job does not move: median, spread, and a rate over distance.
//!
//! The spread is the median of the distances from the median, times 1.4826, so that for figures of a normal
//! distribution it is their standard deviation (F. R. Hampel, J. Am. Stat. Assoc. 69, 1974, 383–393; from memory). The
//! rate is the median of the slopes between every two readings (P. K. Sen, J. Am. Stat. Assoc. 63, 1968, 1379–1389; from
//! memory). Of five figures, two may be anything, and the median still lies among the others.

/// Makes the spread of a normal distribution its standard deviation.
const NORMAL: f64 = 1.4826;

/// The middle one of several figures; of an even count, the mean of the middle two. `None` of none, or where one is no
/// number.
///
/// ```
/// use benchleaf::bench::robust::median;
///
/// // One gap of five was written with a digit too many.
/// assert_eq!(median(&[110.0, 112.0, 109.0, 1110.0, 111.0]), Some(111.0));
/// ```
pub fn median(figures: &[f64]) -> Option<f64> {
    let mut sorted = figures.to_vec();
    if sorted.iter().any(|figure| !figure.is_finite()) {
        return None;
    }
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    let upper = *sorted.get(middle)?;
    if sorted.len() % 2 == 1 { Some(upper) } else { Some((sorted[middle - 1] + upper) / 2.0) }
}

/// How far figures lie apart, one wrong one among five not counted.
///
/// ```
/// use benchleaf::bench::robust::spread;
///
/// // Distances from 111: 1, 1, 2, 999, 0; their median is 1.
/// assert_eq!(spread(&[110.0, 112.0, 109.0, 1110.0, 111.0]), Some(1.4826));
/// ```
pub fn spread(figures: &[f64]) -> Option<f64> {
    let middle = median(figures)?;
    let apart: Vec<f64> = figures.iter().map(|figure| (figure - middle).abs()).collect();
    Some(median(&apart)? * NORMAL)
}

/// How much a reading changes for each unit of distance: the median of the slopes between every two readings. Pairs of
/// distance and reading; two readings at one distance say nothing. `None` of fewer than two distances.
///
/// ```
/// use benchleaf::bench::robust::rate;
///
/// // 0.01 mm for each 10,000 km, and one reading that was taken at the wrong place.
/// let read = [(10_000.0, 40.99), (20_000.0, 40.98), (30_000.0, 40.97), (40_000.0, 40.80), (50_000.0, 40.95)];
/// assert!((rate(&read).unwrap() * 10_000.0 + 0.01).abs() < 1e-9);
/// ```
pub fn rate(readings: &[(f64, f64)]) -> Option<f64> {
    let mut slopes = Vec::new();
    for (at, (from, first)) in readings.iter().enumerate() {
        for (to, second) in &readings[at + 1..] {
            if (to - from).abs() > f64::EPSILON * to.abs() {
                slopes.push((second - first) / (to - from));
            }
        }
    }
    median(&slopes)
}
