//! Addresses as pictures that can be read with a telephone.

use std::fmt::Write;

use fast_qr::{ECL, QRBuilder};

/// A text as a QR code (ISO/IEC 18004), finished SVG in black on white with its quiet zone; empty when the text
/// is too long for one.
pub fn qr(text: &str) -> String {
    let Ok(code) = QRBuilder::new(text).ecl(ECL::M).build() else { return String::new() };
    let width = code.size;
    let mut path = String::new();
    for y in 0..width {
        // Dark squares side by side are one piece: half the bytes, and no seams in print.
        let mut x = 0;
        for run in code[y][..width].chunk_by(|square, next| square.value() == next.value()) {
            if run[0].value() {
                // Writing into a string does not fail.
                let _ = write!(path, "M{} {}h{n}v1h-{n}z", x + 4, y + 4, n = run.len());
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

/// The most letters that always have room in such a picture (ISO/IEC 18004, table 7: version 40, level M, bytes; from
/// memory).
const MOST: usize = 2331;

/// Stands for the picture of an address as long as it is only asked whether there is one.
pub(super) fn stand_in(address: &str) -> String {
    match address.len() {
        0 => String::new(),
        1..=MOST => "-".to_owned(),
        _ => qr(address),
    }
}

/// Puts the picture of an address where something stands for it.
pub(super) fn draw(picture: &mut String, address: &str) {
    if !picture.is_empty() {
        *picture = qr(address);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_something_stands_for_a_picture_there_is_one() {
        for letters in [0, 1, 40, MOST, MOST + 1, 4000] {
            let address = "x".repeat(letters);
            let mut picture = stand_in(&address);
            let stood = !picture.is_empty();
            draw(&mut picture, &address);
            assert_eq!(picture, if letters == 0 { String::new() } else { qr(&address) }, "{letters}");
            assert_eq!(stood, !picture.is_empty(), "{letters}");
        }
    }

    /// The picture's squares, read back from its path: row by row, dark or light, with the quiet zone.
    fn squares(svg: &str) -> (usize, Vec<bool>) {
        let between = |from: &str, to: &str| {
            let rest = svg.split_once(from).expect("it is there").1;
            rest.split_once(to).expect("its end").0.to_owned()
        };
        let size: usize = between("viewBox=\"0 0 ", " ").parse().expect("a size");
        let mut dark = vec![false; size * size];
        for piece in between(" d=\"", "\"").split_terminator('z') {
            let numbers: Vec<usize> = piece
                .split(|letter: char| !letter.is_ascii_digit())
                .filter_map(|number| number.parse().ok())
                .collect();
            let [x, y, long, ..] = numbers[..] else { panic!("{piece}") };
            dark[y * size + x..y * size + x + long].fill(true);
        }
        (size, dark)
    }

    #[test]
    fn a_reader_of_codes_reads_the_address_back() {
        // The reader is a library of its own (rqrr), after ISO/IEC 18004 as the writer is.
        let long = format!("https://bench.lowshed.example/{}/full-service.html", "forks-of-1998/".repeat(12));
        for address in ["https://a.example/", "https://bench.lowshed.example/forks/ü-41/oil.html?n=7", &long]
        {
            let (size, dark) = squares(&qr(address));
            let at = |x: usize, y: usize| if dark[y / 4 * size + x / 4] { 0 } else { 255 };
            let mut image = rqrr::PreparedImage::prepare_from_greyscale(size * 4, size * 4, at);
            let grids = image.detect_grids();
            assert_eq!(grids.len(), 1, "{address}");
            assert_eq!(grids[0].decode().expect("it can be read").1, address);
        }
    }

    #[test]
    fn a_text_that_is_too_long_has_no_picture() {
        assert!(qr(&"x".repeat(5000)).is_empty());
        assert!(qr("https://shop.example/forks/a.html").contains("<path"));
    }
}
