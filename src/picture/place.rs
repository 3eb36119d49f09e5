//! What a camera writes beside the picture: where it was taken, and how the camera was held (CIPA DC-008, Exif).

use exif::{Context, In, Reader, Tag};
use img_parts::Bytes;

/// Whether Exif data says where the picture was taken.
pub(super) fn in_exif(exif: &[u8]) -> bool {
    let Ok(read) = Reader::new().read_raw(exif.to_vec()) else { return in_text(exif) };
    let told = read.fields().any(|field| field.tag.context() == Context::Gps);
    told || in_text(exif)
}

/// Whether other data beside the picture does: the names under which programs keep it are written out there.
pub(super) fn in_text(text: &[u8]) -> bool {
    [&b"GPSLatitude"[..], b"GPSLongitude", b"photoshop:City", b"Iptc4xmpCore:Location"]
        .iter()
        .any(|name| text.windows(name.len()).any(|window| window == *name))
}

/// How the camera was held: 1 upright, up to 8 (Exif tag 274).
pub(super) fn orientation(exif: &[u8]) -> u16 {
    let read = Reader::new().read_raw(exif.to_vec()).ok();
    let field = read.as_ref().and_then(|read| read.get_field(Tag::Orientation, In::PRIMARY));
    let turned =
        field.and_then(|field| field.value.get_uint(0)).and_then(|turned| u16::try_from(turned).ok());
    turned.filter(|turned| (1..=8).contains(turned)).unwrap_or(1)
}

/// Exif data that says how the camera was held, and nothing else.
pub(super) fn only_turned(turned: u16) -> Bytes {
    let mut out = b"Exif\0\0MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01".to_vec();
    out.extend_from_slice(&turned.to_be_bytes());
    out.extend_from_slice(&[0; 6]);
    Bytes::from(out)
}
