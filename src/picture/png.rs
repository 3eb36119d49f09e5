//! A PNG: the chunks that make up the picture, and no other (W3C, Portable Network Graphics, third edition).

use img_parts::png::Png;
use img_parts::{Bytes, ImageEXIF};

use super::bare::Bare;
use super::place;

/// What is kept: size, colors, how they are to be shown, the pixels, the end. What remains is text, time and device.
const KEPT: [&[u8; 4]; 11] =
    [b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"sBIT", b"bKGD", b"pHYs"];

/// Chunks of text, in which programs keep what a camera wrote as well.
const TEXTS: [&[u8; 4]; 3] = [b"tEXt", b"zTXt", b"iTXt"];

/// The picture alone; nothing where it is not whole.
pub(super) fn bare(bytes: Bytes) -> Option<Bare> {
    let mut png = Png::from_bytes(bytes).ok()?;
    let kinds: Vec<[u8; 4]> = png.chunks().iter().map(|chunk| chunk.kind()).collect();
    let whole = kinds.first() == Some(b"IHDR") && kinds.contains(b"IDAT") && kinds.last() == Some(b"IEND");
    let size = png.dimensions().filter(|_| whole)?;
    let told = png.exif().is_some_and(|exif| place::in_exif(&exif));
    let texts = png.chunks().iter().filter(|chunk| TEXTS.contains(&&chunk.kind()));
    let tells_place = told || texts.into_iter().any(|chunk| place::in_text(chunk.contents()));
    png.chunks_mut().retain(|chunk| KEPT.contains(&&chunk.kind()));
    Some(Bare { size, tells_place, bytes: png.encoder().bytes().to_vec() })
}
