//! An image file of the shop: what it is, how large, and what else it tells. Only the picture itself is published: the
//! time, the place and the device that a camera writes beside it are left out.

mod bare;
mod file;
mod jpeg;
mod place;
mod png;
mod read;

pub use file::PictureFile;
pub use read::{MOST_BYTES, MOST_PIXELS, Picture, PictureFault, PictureKind, is_picture, is_shown};
