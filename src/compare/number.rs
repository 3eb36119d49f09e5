//! Differences as text.

/// A number with its sign.
pub(super) fn signed(value: f64, places: usize) -> String {
    let text = format!("{:.places$}", value.abs());
    if value < 0.0 { format!("−{text}") } else { format!("+{text}") }
}
