//! The builds of the shop: forks set up for one machine and use.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::build::{BuildView, view};
use crate::book::links::fork_href;
use crate::book::view::Link;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// The builds, `builds.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct BuildsView {
    /// Each build's page, with what it is.
    pub builds: Vec<(Link, BuildView)>,
}

/// The page.
pub struct BuildsPage;

/// There is one in a shop that has builds.
pub fn all(desk: &Desk<'_, '_>) -> Option<BuildsPage> {
    desk.book.forks.iter().any(|fork| fork.record.build().is_some()).then_some(BuildsPage)
}

impl<'s> Page<'s> for BuildsPage {
    type View = BuildsView;

    const TEMPLATE: &'static str = "builds";

    fn path(&self) -> String {
        "builds.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<BuildsView, TemplateProblem> {
        let builds = desk.book.forks.iter().filter_map(|fork| {
            let link = Link::new(fork_href(&fork.id), fork.record.title());
            Some((link, view(desk.book.shop, fork)?))
        });
        Ok(BuildsView { builds: builds.collect() })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &BuildsView) -> Heading {
        Heading::new("Builds", "Forks set up for one machine and use.")
    }
}
