//! Addresses as pictures that can be read with a telephone.

use qrcode::{Color, EcLevel, QrCode};

/// A text as a QR code (ISO/IEC 18004), finished SVG in black on white with its quiet zone; empty when the text
/// is too long for one.
pub fn qr(text: &str) -> String {
    let Ok(code) = QrCode::with_error_correction_level(text, EcLevel::M) else { return String::new() };
    let width = code.width();
    let mut path = String::new();
    for (y, row) in code.to_colors().chunks(width).enumerate() {
        // Dark squares side by side are one piece: half the bytes, and no seams in print.
        let mut x = 0;
        for run in row.chunk_by(|one, next| one == next) {
            if run[0] == Color::Dark {
                path.push_str(&format!("M{} {}h{n}v1h-{n}z", x + 4, y + 4, n = run.len()));
            }
            x += run.len();
        }
    }
    let size = width + 8;
    format!(
        "<svg viewBox=\"0 0 {size} {size}\" role=\"img\" aria-label=\"The page’s address as a QR code\" \
         shape-rendering=\"crispEdges\"><rect width=\"{size}\" height=\"{size}\" fill=\"#fff\"/>\
         <path fill=\"#000\" d=\"{path}\"/></svg>"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_is_too_long_has_no_picture() {
        assert!(qr(&"x".repeat(5000)).is_empty());
        assert!(qr("https://shop.example/forks/a.html").contains("<path"));
    }
}
