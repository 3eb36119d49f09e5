//! What pages are made with: the look-ups, the templates, and what several pages share, made by the first that needs it.

use std::sync::Arc;

use serde::Serialize;

use super::sections::{SectionKey, Sections};
use super::sheets::{Sheet, Sheets};
use super::stack::{CardAt, Stack};
use super::templates::{TemplateProblem, Templates};
use super::view::{Head, Section, Site};
use crate::book::Book;
use crate::book::held::Held;
use crate::book::view::Link;
use crate::record::Tool;

/// What pages are made with.
pub struct Desk<'a, 's> {
    /// The look-ups.
    pub book: &'a Book<'s>,
    /// The cards of the shop.
    pub stack: Stack<'s>,
    /// What every page says of the site.
    pub site: Site,
    /// The printed cards.
    pub sheets: Sheets<'s>,
    templates: Templates,
    sections: Sections,
}

impl<'a, 's> Desk<'a, 's> {
    /// Nothing is made yet.
    pub fn new(book: &'a Book<'s>, mut templates: Templates) -> Desk<'a, 's> {
        let stack = Stack::new(book);
        let settings = &book.shop.settings;
        let site = Site {
            name: settings.name().to_owned(),
            place: settings.place.clone().unwrap_or_default(),
            address: settings.site.as_ref().map(|text| text.text.clone()).unwrap_or_default(),
            has_cards: !stack.all().is_empty(),
            stock: stock(book),
            working: book.working,
        };
        templates.set_site(&site);
        Desk { book, stack, site, sheets: Sheets::default(), templates, sections: Sections::default() }
    }

    /// The files of `assets/` that do not depend on the shop's records.
    pub fn assets(&self) -> impl Iterator<Item = (&String, &String)> {
        self.templates.assets().iter()
    }

    /// The text of such a file; empty where there is none.
    pub fn asset(&self, name: &str) -> &str {
        self.templates.assets().get(name).map_or("", String::as_str)
    }

    /// A page from its frame and its view.
    ///
    /// # Errors
    /// What is wrong with the template, and where.
    pub fn render(
        &self,
        template: &str,
        head: &Head,
        page: &impl Serialize,
    ) -> Result<String, TemplateProblem> {
        self.templates.render(template, head, page)
    }

    /// The printed sheet of a card.
    ///
    /// # Errors
    /// As [`Desk::render`].
    pub fn sheet(&self, card: CardAt<'s>) -> Result<Arc<Sheet>, TemplateProblem> {
        self.sheets.sheet(self.book, &self.templates, card)
    }

    /// A procedure inside a service as HTML for this fork, and the terms linked after it. `make` gives it anew, where no
    /// fork before rested on the same.
    ///
    /// # Errors
    /// As [`Desk::render`].
    pub fn section(
        &self,
        key: SectionKey,
        fork: &Arc<str>,
        make: impl FnOnce() -> (Section, u64),
    ) -> Result<(Held, u64), TemplateProblem> {
        let (html, linked) = self.sections.html(&self.templates, key, make)?;
        Ok((Held::new(html, Arc::clone(fork)), linked))
    }
}

/// The pages of what the shop has beside its forks.
fn stock(book: &Book<'_>) -> Vec<Link> {
    let shop = book.shop;
    let pages = [
        ("springs.html", "Springs", !shop.springs.is_empty()),
        ("builds.html", "Builds", shop.forks.iter().any(|fork| fork.build().is_some())),
        ("valvings.html", "Valving", !shop.valvings.is_empty()),
        ("instruments.html", "Instruments", shop.tools.iter().any(Tool::is_instrument)),
    ];
    pages.into_iter().filter(|(.., is)| *is).map(|(href, text, _)| Link::new(href, text)).collect()
}
