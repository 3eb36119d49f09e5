//! What is shown where there is no page.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// The page for an address that does not exist, `404.html`. It has nothing of its own.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct NotFoundView {}

/// The page.
pub struct NotFoundPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [NotFoundPage; 1] {
    [NotFoundPage]
}

impl<'s> Page<'s> for NotFoundPage {
    type View = NotFoundView;

    const TEMPLATE: &'static str = "404";

    fn path(&self) -> String {
        "404.html".to_owned()
    }

    fn root(&self, desk: &Desk<'_, 's>) -> String {
        // It is served at any depth, so that only an address from the server's top will do.
        let address = &desk.site.address;
        let after = address.split_once("://").map_or("", |(_, rest)| rest);
        let path = after.split_once('/').map_or("", |(_, path)| path.trim_end_matches('/'));
        match (address.is_empty(), path.is_empty()) {
            (true, _) => String::new(),
            (false, true) => "/".to_owned(),
            (false, false) => format!("/{path}/"),
        }
    }

    fn view(&self, _: &Desk<'_, 's>) -> Result<NotFoundView, TemplateProblem> {
        Ok(NotFoundView {})
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &NotFoundView) -> Heading {
        Heading {
            title: "No such page".to_owned(),
            description: "There is no page at this address.".to_owned(),
            crumbs: Vec::new(),
        }
    }
}
