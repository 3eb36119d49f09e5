//! What a page is: where it stands, what it tells of, what its template receives.

use serde::Serialize;

use crate::book::links::fork_href;
use crate::book::view::Link;
use crate::check::CheckedFork;
use crate::site::desk::Desk;
use crate::site::stack::{CardAt, Stack};
use crate::site::templates::TemplateProblem;
use crate::site::view::Head;

/// What a page tells of. What it is made from follows, and when its turn comes.
#[derive(Debug, Clone, Copy)]
pub enum Subject<'s> {
    /// The whole shop.
    Shop,
    /// One fork.
    Fork(&'s CheckedFork),
    /// The forks whose cards are bound in this volume.
    Volume(usize),
}

/// What stands above a page.
#[derive(Debug, Clone, Default)]
pub struct Heading {
    /// The page's title.
    pub title: String,
    /// One sentence for a list of search results.
    pub description: String,
    /// The way here, without the page itself.
    pub crumbs: Vec<Link>,
}

impl Heading {
    /// A page right under the home page.
    pub fn new(title: impl Into<String>, description: impl Into<String>) -> Heading {
        Heading { title: title.into(), description: description.into(), crumbs: vec![home_link()] }
    }

    /// With one more page on the way here.
    #[must_use]
    pub fn under(mut self, page: Link) -> Heading {
        self.crumbs.push(page);
        self
    }

    /// With the page of a fork on the way here.
    #[must_use]
    pub fn under_fork(self, fork: &CheckedFork) -> Heading {
        self.under(Link::new(fork_href(&fork.id), fork.record.title()))
    }
}

fn home_link() -> Link {
    Link::new("index.html", "Forks")
}

/// A page that is made from a view by a template.
pub trait Page<'s>: Send + Sync {
    /// What its template receives.
    type View: Serialize;

    /// The name of its template, without `.html`.
    const TEMPLATE: &'static str;

    /// Its path from the site's top folder, with forward slashes.
    fn path(&self) -> String;

    /// What it tells of.
    fn subject(&self) -> Subject<'s> {
        Subject::Shop
    }

    /// The cards that are printed on it.
    fn cards(&self, _stack: &Stack<'s>) -> Vec<CardAt<'s>> {
        Vec::new()
    }

    /// The way from it to the site's top folder: empty, `../` or `../../`.
    fn root(&self, _desk: &Desk<'_, 's>) -> String {
        "../".repeat(self.path().matches('/').count())
    }

    /// What its template receives.
    ///
    /// # Errors
    /// What is wrong with the template of a part of it.
    fn view(&self, desk: &Desk<'_, 's>) -> Result<Self::View, TemplateProblem>;

    /// What stands above it.
    fn heading(&self, desk: &Desk<'_, 's>, view: &Self::View) -> Heading;

    /// What stands at the head of each of its printed sheets: its title, where nothing else is said.
    fn printed(&self, _desk: &Desk<'_, 's>, title: &str) -> String {
        title.to_owned()
    }
}

/// A file of the site: a page, or what is copied or written without a template.
pub trait File<'s>: Send + Sync {
    /// Its path from the site's top folder, with forward slashes.
    fn path(&self) -> String;

    /// Its kind in one word: the name of its template, or `asset`.
    fn kind(&self) -> &'static str {
        "asset"
    }

    /// What it tells of.
    fn subject(&self) -> Subject<'s> {
        Subject::Shop
    }

    /// The cards that are printed on it.
    fn cards(&self, _stack: &Stack<'s>) -> Vec<CardAt<'s>> {
        Vec::new()
    }

    /// Its bytes.
    ///
    /// # Errors
    /// What is wrong with the template, and where.
    fn render(&self, desk: &Desk<'_, 's>) -> Result<Vec<u8>, TemplateProblem>;
}

impl<'s, P: Page<'s>> File<'s> for P {
    fn path(&self) -> String {
        Page::path(self)
    }

    fn kind(&self) -> &'static str {
        P::TEMPLATE
    }

    fn subject(&self) -> Subject<'s> {
        Page::subject(self)
    }

    fn cards(&self, stack: &Stack<'s>) -> Vec<CardAt<'s>> {
        Page::cards(self, stack)
    }

    fn render(&self, desk: &Desk<'_, 's>) -> Result<Vec<u8>, TemplateProblem> {
        let view = self.view(desk)?;
        let Heading { title, description, crumbs } = self.heading(desk, &view);
        let (root, path, kind) = (self.root(desk), Page::path(self), P::TEMPLATE.to_owned());
        let printed = self.printed(desk, &title);
        let head = Head { root, path, title, printed, description, kind, crumbs };
        desk.render(&format!("{}.html", P::TEMPLATE), &head, &view).map(String::into_bytes)
    }
}
