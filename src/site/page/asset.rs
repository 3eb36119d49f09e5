//! The files that are copied into `assets/` as they are.

use super::kind::File;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// The file of this name.
pub struct Asset(String);

/// The built-in ones, or the shop's own of the same name.
pub fn all(desk: &Desk<'_, '_>) -> Vec<Asset> {
    desk.assets().map(|(name, _)| Asset(name.clone())).collect()
}

impl<'s> File<'s> for Asset {
    fn path(&self) -> String {
        format!("assets/{}", self.0)
    }

    fn render(&self, desk: &Desk<'_, 's>) -> Result<Vec<u8>, TemplateProblem> {
        Ok(desk.asset(&self.0).as_bytes().to_vec())
    }
}
