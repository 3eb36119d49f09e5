//! The shop's own pictures, without what a camera wrote beside them.

use std::collections::BTreeMap;

use super::kind::File;
use crate::book::links::picture_href;
use crate::picture::Picture;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A picture, and where it stands in the site.
pub struct PictureOut<'s> {
    path: String,
    picture: &'s Picture,
}

/// Every picture that is shown somewhere, each once.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<PictureOut<'s>> {
    let shop = desk.book.shop;
    let shown = shop.shown().filter_map(|place| {
        let picture = shop.picture(place.name)?;
        Some((picture_href(place.name, picture), picture))
    });
    let once: BTreeMap<String, &Picture> = shown.collect();
    once.into_iter().map(|(path, picture)| PictureOut { path, picture }).collect()
}

impl<'s> File<'s> for PictureOut<'s> {
    fn path(&self) -> String {
        self.path.clone()
    }

    fn render(&self, _: &Desk<'_, 's>) -> Result<Vec<u8>, TemplateProblem> {
        Ok(self.picture.bytes.clone())
    }
}
