//! The printed sheets: each card is made once, kept while a page still needs it, and let go after the last.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::templates::{TemplateProblem, Templates};
use crate::book::Book;
use crate::card::{card, overflow};
use crate::diagnostic::Finding;

/// A card as it is printed.
#[derive(Debug)]
pub struct Sheet {
    /// Both sides, finished HTML.
    pub html: String,
    /// What is to be shortened when it does not fit on its sheet.
    pub over: Option<Finding>,
}

/// What became of a card so far.
#[derive(Default)]
struct Slot {
    made: Option<Result<Arc<Sheet>, TemplateProblem>>,
    taken: usize,
}

/// The sheets of a run, by place of the fork, and of the service among the fork's.
pub struct Sheets {
    slots: BTreeMap<(usize, usize), Mutex<Slot>>,
    over: Mutex<Vec<Finding>>,
}

impl Sheets {
    /// Makes room for the cards of these places.
    pub fn new(places: impl Iterator<Item = (usize, usize)>) -> Sheets {
        Sheets { slots: places.map(|place| (place, Mutex::default())).collect(), over: Mutex::default() }
    }

    /// The sheet of a fork and one of its services, which stands on `pages` pages of this run: after it was asked for so
    /// often it is let go, so that what is kept at a time does not grow with the shop.
    ///
    /// # Errors
    /// What is wrong with the template.
    pub fn sheet(
        &self,
        book: &Book,
        templates: &Templates,
        (at, n): (usize, usize),
        pages: usize,
    ) -> Result<Arc<Sheet>, TemplateProblem> {
        let Some(slot) = self.slots.get(&(at, n)) else { return make(book, templates, at, n).map(Arc::new) };
        let mut slot = slot.lock().unwrap_or_else(PoisonError::into_inner);
        slot.taken += 1;
        let last = slot.taken >= pages;
        match slot.made.take() {
            Some(made) => {
                slot.made = (!last).then(|| made.clone());
                made
            }
            None => {
                let made = make(book, templates, at, n).map(Arc::new);
                if let Ok(Sheet { over: Some(finding), .. }) = made.as_deref() {
                    self.over.lock().unwrap_or_else(PoisonError::into_inner).push(finding.clone());
                }
                slot.made = (!last).then(|| made.clone());
                made
            }
        }
    }

    /// Whether every card made so far fits on its sheet.
    pub fn all_fit(&self) -> bool {
        self.over.lock().unwrap_or_else(PoisonError::into_inner).is_empty()
    }

    /// The cards made so far that do not fit on their sheets.
    pub fn over(&self) -> Vec<Finding> {
        self.over.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

fn make(book: &Book, templates: &Templates, at: usize, n: usize) -> Result<Sheet, TemplateProblem> {
    let made = card(book, &book.forks[at], n);
    let html = templates.render_part("card-sheet.html", &made.view)?;
    Ok(Sheet { html, over: overflow(book, at, n, &made) })
}
