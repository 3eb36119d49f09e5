//! The home page.

use std::collections::BTreeMap;

use serde::Serialize;

use super::kind::{Heading, Page};
use super::maker::{MakerView, ModelRow, maker};
use crate::book::Book;
use crate::book::links::fork_href;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;
use crate::words::count;

/// The home page, `home.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct HomeView {
    /// How many forks there are, in words: `10 forks`.
    pub forks: String,
    /// How many machines, in words.
    pub machines: String,
    /// The makers of machines, by name.
    pub makers: Vec<MakerView>,
    /// Whether the makers' machines are listed here, not only on the makers' pages.
    pub listed: bool,
    /// Forks that are fitted to no machine on record.
    pub loose: Vec<ModelRow>,
}

/// The page.
pub struct HomePage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [HomePage; 1] {
    [HomePage]
}

impl<'s> Page<'s> for HomePage {
    type View = HomeView;

    const TEMPLATE: &'static str = "home";

    fn path(&self) -> String {
        "index.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<HomeView, TemplateProblem> {
        Ok(home(desk.book))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &HomeView) -> Heading {
        Heading {
            title: "Which fork is in this machine?".to_owned(),
            description: "Find the fork from the machine.".to_owned(),
            crumbs: Vec::new(),
        }
    }
}

/// Up to this many machines are listed on the home page itself.
const LISTED: usize = 300;

/// The home page.
fn home(book: &Book) -> HomeView {
    let mut by_maker: BTreeMap<&str, usize> = BTreeMap::new();
    for machine in book.shop.forks.iter().flat_map(|record| &record.machines) {
        *by_maker.entry(&machine.maker).or_default() += 1;
    }
    let machines: usize = by_maker.values().sum();
    let listed = machines <= LISTED;
    let makers = book.makers.keys().map(|name| {
        if listed {
            return maker(book, name);
        }
        MakerView {
            maker: name.clone(),
            href: book.maker_href(name),
            count: count(by_maker.get(name.as_str()).copied().unwrap_or(0), "machine", "machines"),
            ..MakerView::default()
        }
    });
    let loose = book.shop.models().filter(|record| record.machines.is_empty()).map(|record| ModelRow {
        href: fork_href(&record.id.text),
        machine: record.title(),
        fork: record.title(),
        draft: record.draft,
        ..ModelRow::default()
    });
    HomeView {
        forks: count(book.shop.models().count(), "fork", "forks"),
        machines: count(machines, "machine", "machines"),
        makers: makers.collect(),
        listed,
        loose: loose.collect(),
    }
}
