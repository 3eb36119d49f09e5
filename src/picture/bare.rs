//! What is left of an image file when all is taken off that is not the picture.

/// The picture alone, its size as it is shown, and whether the file says where it was taken.
pub(super) struct Bare {
    pub(super) size: (u32, u32),
    pub(super) tells_place: bool,
    pub(super) bytes: Vec<u8>,
}
