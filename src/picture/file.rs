//! An image file in its place.

use std::sync::Arc;

use super::read::{Picture, PictureFault};
use crate::text::FileId;

/// An image file of the shop.
#[derive(Debug, Clone)]
pub struct PictureFile {
    /// Its path inside the shop.
    pub path: String,
    /// Its file, of which no text is kept.
    pub file: FileId,
    /// The picture, or why it cannot be shown.
    pub read: Result<Arc<Picture>, PictureFault>,
}

impl PictureFile {
    /// Its name without the folder.
    pub fn name(&self) -> &str {
        self.path.rsplit('/').next().unwrap_or(&self.path)
    }

    /// The folder it is in.
    pub fn folder(&self) -> &str {
        self.path.rsplit_once('/').map_or("", |(folder, _)| folder)
    }
}
