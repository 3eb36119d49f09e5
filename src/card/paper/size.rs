//! The sizes of a card's sheet, as its style sheet `templates/card.css` declares them.

include!(concat!(env!("OUT_DIR"), "/sizes.rs"));

/// What a browser rounds up on a block with a frame, in mm.
pub(super) const ROUNDING: f64 = 0.07;

/// The frame of a box to write in, in mm.
pub(super) const FRAME: f64 = 0.3;

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    const STYLE: &str = include_str!("../../../templates/card.css");

    /// The names that stand behind each `before`, up to the next sign that is part of no name.
    fn names(before: &str) -> BTreeSet<&str> {
        let is_name = |letter: char| letter.is_ascii_alphanumeric() || letter == '-';
        let pieces = STYLE.split(before).skip(1);
        pieces.map(|piece| piece.split(|letter| !is_name(letter)).next().unwrap_or_default()).collect()
    }

    #[test]
    fn the_style_sheet_uses_every_size_that_the_fit_reckons_with() {
        let (used, declared) = (names("var(--"), names("  --").union(&names("; --")).copied().collect());
        assert_eq!(used, declared);
        assert!(declared.len() > 35, "{declared:?}");
    }

    #[test]
    fn the_sheet_fits_on_both_papers() {
        // ISO 216: A4 is 210 × 297 mm. ANSI/ASME Y14.1: Letter is 8.5 × 11 in. Margins of 7 mm all round.
        let (wide, high) = (f64::min(210.0, 8.5 * 25.4) - 14.0, f64::min(297.0, 11.0 * 25.4) - 14.0);
        assert!(SHEET_WIDTH <= wide && SHEET_HEIGHT <= high, "{wide} × {high} mm are free");
    }
}
