//! A JPEG: the segments that make up the picture, and no other (ITU-T T.81; ITU-T T.871 for the JFIF head).

use img_parts::jpeg::{Jpeg, JpegSegment, markers};
use img_parts::{Bytes, ImageEXIF};

use super::bare::Bare;
use super::place;

/// The picture alone; nothing where it is not whole.
pub(super) fn bare(bytes: Bytes) -> Option<Bare> {
    let mut jpeg = Jpeg::from_bytes(bytes.clone()).ok()?;
    let (width, height) = jpeg.dimensions()?;
    // The other kinds of frame are shown by no browser.
    let frames = [markers::SOF0, markers::SOF1, markers::SOF2];
    let frame = |segment: &JpegSegment| frames.contains(&segment.marker());
    let exif = jpeg.exif();
    let turned = exif.as_ref().map_or(1, |exif| place::orientation(exif));
    let told = exif.is_some_and(|exif| place::in_exif(&exif));
    let tells_place = told || jpeg.segments().iter().any(beside);
    let segments = jpeg.segments_mut();
    if segments.iter().filter(|segment| frame(segment)).count() != 1 {
        return None;
    }
    let last = segments.pop().filter(|segment| segment.marker() == markers::SOS && segment.has_entropy())?;
    // Its scan and all that follows stand at the file's end.
    let rest = last.len_with_entropy() - last.len();
    let scans = scans(&bytes.slice(bytes.len().checked_sub(rest)?..))?;
    segments.retain(kept);
    segments.push(JpegSegment::new_with_entropy(markers::SOS, last.contents().clone(), scans));
    if turned > 1 {
        // A camera held upright says so here, and nothing but that is kept of what it says.
        segments.insert(0, JpegSegment::new_with_contents(markers::APP1, place::only_turned(turned)));
    }
    let (width, height) = if turned > 4 { (height, width) } else { (width, height) };
    let size = (u32::from(width), u32::from(height));
    Some(Bare { size, tells_place, bytes: jpeg.encoder().bytes().to_vec() })
}

/// Segments in which programs write beside the picture, with a place in them.
fn beside(segment: &JpegSegment) -> bool {
    (markers::APP1..=markers::APP15).contains(&segment.marker()) && place::in_text(segment.contents())
}

/// Tables and frame, and how the colors are to be read.
fn kept(segment: &JpegSegment) -> bool {
    let begins = |with: &[u8]| segment.contents().starts_with(with);
    match segment.marker() {
        markers::APP0 => begins(b"JFIF\0"),
        markers::APP2 => begins(b"ICC_PROFILE\0"),
        markers::APP14 => begins(b"Adobe"),
        marker => is_table(marker) || matches!(marker, markers::SOF0 | markers::SOF1 | markers::SOF2),
    }
}

/// Whether a segment holds what a scan is read with.
fn is_table(marker: u8) -> bool {
    [markers::DHT, markers::DQT, markers::DRI, markers::DNL].contains(&marker)
}

/// The scans up to the end of the picture; nothing where there is no end, or where something else stands between them.
fn scans(bytes: &Bytes) -> Option<Bytes> {
    let mut at = 0;
    loop {
        at += bytes.get(at..)?.iter().position(|byte| *byte == markers::P)? + 1;
        let marker = *bytes.get(at)?;
        match marker {
            // A byte of the picture, a fill byte, or where a decoder may begin anew.
            markers::Z => at += 1,
            markers::P | markers::RST0..=markers::RST7 => {}
            markers::EOI => return Some(bytes.slice(..=at)),
            markers::SOS => at += length(bytes, at)?,
            table if is_table(table) => at += length(bytes, at)?,
            _ => return None,
        }
    }
}

/// How long a segment is that begins after its marker, the marker's own byte counted.
fn length(bytes: &Bytes, at: usize) -> Option<usize> {
    let high = *bytes.get(at + 1)?;
    let low = *bytes.get(at + 2)?;
    let length = usize::from(u16::from_be_bytes([high, low]));
    (length >= 2).then_some(length + 1)
}
