//! An image file, read.

use std::fmt;

use img_parts::Bytes;

use super::bare::Bare;
use super::{jpeg, png};

/// The most bytes of a picture: a page with three of them still opens at once on a tablet.
pub const MOST_BYTES: usize = 1024 * 1024;

/// The most pixels of a side: twice what any screen at a bench shows.
pub const MOST_PIXELS: u32 = 4_000;

/// The endings of files that pages show.
const SHOWN: [&str; 3] = ["png", "jpg", "jpeg"];

/// The endings of other files that are pictures.
const NOT_SHOWN: [&str; 9] = ["gif", "webp", "bmp", "tif", "tiff", "heic", "heif", "avif", "svg"];

/// A kind of picture that pages show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureKind {
    /// For drawings.
    Png,
    /// For photographs.
    Jpeg,
}

/// A picture that can be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// What it is.
    pub kind: PictureKind,
    /// How wide it is shown, in pixels, upright.
    pub width: u32,
    /// How high.
    pub height: u32,
    /// Whether the file says where it was taken; the bytes below do not.
    pub tells_place: bool,
    /// The picture alone.
    pub bytes: Vec<u8>,
    /// The digest of the whole file, in hexadecimal digits.
    pub digest: String,
}

/// Why a file cannot be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PictureFault {
    /// It cannot be read; why.
    Unreadable(String),
    /// A kind of picture that pages do not show.
    NotShown,
    /// It holds this kind, and its name says another.
    Is(PictureKind),
    /// It holds neither kind.
    NoPicture,
    /// Its bytes break off or are damaged.
    NotWhole,
    /// So many bytes.
    TooLong(usize),
    /// So many pixels wide and high.
    TooWide(u32, u32),
}

impl PictureKind {
    /// What a person calls it.
    pub const fn word(self) -> &'static str {
        match self {
            PictureKind::Png => "PNG",
            PictureKind::Jpeg => "JPEG",
        }
    }

    /// The ending of its files.
    pub const fn ending(self) -> &'static str {
        match self {
            PictureKind::Png => "png",
            PictureKind::Jpeg => "jpg",
        }
    }

    /// The kind that bytes begin like.
    fn of(bytes: &[u8]) -> Option<PictureKind> {
        match bytes {
            [0x89, b'P', b'N', b'G', ..] => Some(PictureKind::Png),
            [0xFF, 0xD8, 0xFF, ..] => Some(PictureKind::Jpeg),
            _ => None,
        }
    }
}

impl fmt::Display for PictureFault {
    /// What is wrong, to be read after the file's name.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PictureFault::Unreadable(why) => write!(out, "cannot be read: {why}"),
            PictureFault::NotShown => out.write_str("is a kind of picture that pages do not show"),
            PictureFault::Is(kind) => write!(out, "holds a {}, and its name says otherwise", kind.word()),
            PictureFault::NoPicture => out.write_str("holds no picture"),
            PictureFault::NotWhole => out.write_str("is not whole: its bytes break off or are damaged"),
            PictureFault::TooLong(bytes) => {
                write!(out, "has {} KiB, and {} KiB are the most", bytes.div_ceil(1024), MOST_BYTES / 1024)
            }
            PictureFault::TooWide(width, height) => {
                write!(out, "is {width} by {height} pixels, and {MOST_PIXELS} are the most on a side")
            }
        }
    }
}

impl Picture {
    /// Reads an image file of this name.
    ///
    /// # Errors
    /// Why it cannot be shown.
    pub fn read(name: &str, bytes: Vec<u8>) -> Result<Picture, PictureFault> {
        if bytes.len() > MOST_BYTES {
            return Err(PictureFault::TooLong(bytes.len()));
        }
        let kind = PictureKind::of(&bytes).ok_or(PictureFault::NoPicture)?;
        if (ending(name) == PictureKind::Png.ending()) != (kind == PictureKind::Png) {
            return Err(PictureFault::Is(kind));
        }
        let digest = blake3::hash(&bytes).to_hex().to_string();
        let bytes = Bytes::from(bytes);
        let bare = match kind {
            PictureKind::Png => png::bare(bytes),
            PictureKind::Jpeg => jpeg::bare(bytes),
        };
        let Bare { size: (width, height), tells_place, bytes } = bare.ok_or(PictureFault::NotWhole)?;
        if width.max(height) > MOST_PIXELS {
            return Err(PictureFault::TooWide(width, height));
        }
        Ok(Picture { kind, width, height, tells_place, bytes, digest })
    }
}

/// Whether a file is a picture, as far as its name says.
pub fn is_picture(path: &str) -> bool {
    is_shown(path) || NOT_SHOWN.contains(&ending(path).as_str())
}

/// Whether a file is a picture of a kind that pages show, as far as its name says.
pub fn is_shown(path: &str) -> bool {
    SHOWN.contains(&ending(path).as_str())
}

/// What stands after a name's last point, in small letters.
fn ending(path: &str) -> String {
    path.rsplit_once('.').map_or_else(String::new, |(_, ending)| ending.to_ascii_lowercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An input of the corpus, written in hexadecimal digits.
    fn corpus(name: &str) -> Vec<u8> {
        let path = format!("{}/fuzz/corpus/pictures/{name}.hex", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("an input of the corpus");
        let digits: Vec<u32> = text.chars().filter_map(|c| c.to_digit(16)).collect();
        digits.chunks(2).map(|pair| (pair[0] * 16 + pair[1]) as u8).collect()
    }

    fn holds(bytes: &[u8], part: &[u8]) -> bool {
        bytes.windows(part.len()).any(|window| window == part)
    }

    /// A segment of a JPEG, its length in two bytes (ITU-T T.81, B.1.1.4).
    fn segment(marker: u8, text: &[u8]) -> Vec<u8> {
        let length = (text.len() as u16 + 2).to_be_bytes();
        [&[0xFF, marker], &length[..], text].concat()
    }

    /// The same file with something after its first two bytes.
    fn with(bytes: &[u8], more: &[u8]) -> Vec<u8> {
        [&bytes[..2], more, &bytes[2..]].concat()
    }

    /// The shop lead's telephone writes place, time, device and a comment beside the picture.
    #[test]
    fn nothing_beside_the_picture_is_published() {
        let place = corpus("place");
        let secrets: [(u8, &[u8]); 4] = [
            (0xE1, b"http://ns.adobe.com/xap/1.0/\0<x exif:GPSLatitude='secret'/>"),
            (0xED, b"Photoshop 3.0\0secret"),
            (0xFE, b"secret comment"),
            (0xE7, b"secret of a maker"),
        ];
        let mut told = place.clone();
        for (marker, text) in secrets {
            told = with(&told, &segment(marker, text));
        }
        told.extend_from_slice(b"secret behind the end");
        let picture = Picture::read("cap.JPG", told).expect("a picture");
        assert!(picture.tells_place);
        assert!(!holds(&picture.bytes, b"secret") && !holds(&picture.bytes, b"Exif"));
        assert_eq!(Picture::read("cap.jpg", place).expect("a picture").bytes, picture.bytes);
    }

    #[test]
    fn a_picture_taken_upright_stays_upright() {
        let picture = Picture::read("cap.jpg", corpus("turned")).expect("a picture");
        let read = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(&picture.bytes));
        let read = read.expect("Exif data that another reader reads");
        let turned = read.get_field(exif::Tag::Orientation, exif::In::PRIMARY).expect("how it was held");
        assert_eq!(turned.value.get_uint(0), Some(6));
        assert_eq!(read.fields().count(), 1, "and nothing else");
    }

    #[test]
    fn a_drawing_keeps_its_pixels_and_loses_its_texts() {
        use img_parts::png::{Png, PngChunk};
        let small = corpus("small");
        let mut png = Png::from_bytes(small.clone().into()).expect("a PNG");
        let text = PngChunk::new(*b"tEXt", (&b"Raw profile\0GPSLatitude secret"[..]).into());
        png.chunks_mut().insert(1, text);
        let picture = Picture::read("cap.png", png.encoder().bytes().to_vec()).expect("a picture");
        assert!(picture.tells_place);
        assert_eq!((picture.width, picture.height, &picture.bytes), (8, 4, &small));
    }

    #[test]
    fn what_is_no_whole_picture_is_refused() {
        for name in ["small", "place"] {
            let whole = corpus(name);
            let file = if name == "small" { "cap.png" } else { "cap.jpg" };
            assert!(Picture::read(file, whole.clone()).is_ok());
            for end in 0..whole.len() {
                assert!(Picture::read(file, whole[..end].to_vec()).is_err(), "{name} cut at {end}");
            }
        }
        assert_eq!(Picture::read("a.png", corpus("huge")), Err(PictureFault::TooWide(60_000, 60_000)));
        assert_eq!(
            Picture::read("a.png", vec![0; MOST_BYTES + 1]),
            Err(PictureFault::TooLong(MOST_BYTES + 1))
        );
        assert_eq!(Picture::read("a.png", b"<svg/>".to_vec()), Err(PictureFault::NoPicture));
    }
}
