//! The sizes of a card as Rust: the custom properties of its style sheet, so that what is printed and what is measured
//! before it have one source.

use std::path::Path;
use std::{fs, io};

/// Writes every custom property of the style sheet as a constant: millimetres, points, or a bare number.
pub fn write(style: &Path, out: &Path) -> io::Result<()> {
    let text = fs::read_to_string(style)?;
    let mut sizes = String::new();
    for (name, value) in properties(&text) {
        let fault = || io::Error::other(format!("{}: `--{name}: {value}` is no size", style.display()));
        let digits = value.trim_end_matches(|letter: char| letter.is_ascii_alphabetic() || letter == '%');
        let (share, unit) = match &value[digits.len()..] {
            "mm" => (1.0, "In mm."),
            "pt" => (1.0, "In points."),
            "%" => (0.01, "A share."),
            "" => (1.0, "A factor."),
            _ => return Err(fault()),
        };
        let number: f64 = digits.parse().map_err(|_| fault())?;
        let constant = name.replace('-', "_").to_uppercase();
        sizes += &format!("/// {unit}\npub(super) const {constant}: f64 = {:?};\n", number * share);
    }
    fs::write(out.join("sizes.rs"), sizes)
}

/// The declarations `--name: value;`.
fn properties(text: &str) -> impl Iterator<Item = (&str, &str)> {
    text.split([';', '{', '}']).filter_map(|piece| piece.trim().strip_prefix("--")?.split_once(": "))
}
