//! The printed sheets: each card is made once, kept while a page still needs it, and let go after the last.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use foldhash::fast::RandomState;
use rayon::prelude::*;

use super::stack::{CardAt, CardKey, CardOf, Stack};
use super::templates::{TemplateProblem, Templates};
use crate::book::Book;
use crate::book::gaps::Gapped;
use crate::card::{card, fitted, hang_card, hang_fitted, hang_overflow, overflow};
use crate::check::CheckedFork;
use crate::diagnostic::Finding;

/// A card as it is printed.
#[derive(Debug)]
pub struct Sheet {
    /// All its sides, finished HTML; a gap for the way from the page to the site's top folder, wherever it leads there.
    pub html: Gapped,
    /// What is to be shortened when it does not fit on its sheet.
    pub over: Option<Finding>,
}

/// What became of a card so far.
#[derive(Default)]
struct Slot {
    made: Option<Result<Arc<Sheet>, TemplateProblem>>,
    /// How many pages still need it.
    needed: usize,
}

/// The sheets of a run.
#[derive(Default)]
pub struct Sheets<'s> {
    slots: HashMap<CardKey<'s>, Mutex<Slot>, RandomState>,
    over: Mutex<Vec<Finding>>,
}

impl<'s> Sheets<'s> {
    /// A page of this run has this card on it. A card is let go after it was asked for by as many pages as said so,
    /// so that what is kept at a time does not grow with the shop.
    pub fn expect(&mut self, card: CardAt<'s>) {
        let slot = self.slots.entry(card.key()).or_default();
        slot.get_mut().unwrap_or_else(PoisonError::into_inner).needed += 1;
    }

    /// The sheet of a card.
    ///
    /// # Errors
    /// What is wrong with the template.
    pub fn sheet(
        &self,
        book: &Book<'s>,
        templates: &Templates,
        card: CardAt<'s>,
    ) -> Result<Arc<Sheet>, TemplateProblem> {
        let Some(slot) = self.slots.get(&card.key()) else {
            return make(book, templates, card).map(Arc::new);
        };
        let mut slot = slot.lock().unwrap_or_else(PoisonError::into_inner);
        slot.needed = slot.needed.saturating_sub(1);
        let made = slot.made.take().unwrap_or_else(|| {
            let made = make(book, templates, card).map(Arc::new);
            if let Ok(Sheet { over: Some(finding), .. }) = made.as_deref() {
                self.over.lock().unwrap_or_else(PoisonError::into_inner).push(finding.clone());
            }
            made
        });
        slot.made = (slot.needed > 0).then(|| made.clone());
        made
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

fn make<'s>(book: &Book<'s>, templates: &Templates, at: CardAt<'s>) -> Result<Sheet, TemplateProblem> {
    match at.of {
        CardOf::Service(n) => {
            let made = card(book, at.fork, n);
            let html = templates.render_part("card-sheet.html", &made.view)?;
            Ok(Sheet { html: Gapped::new(&html), over: overflow(book, at.fork, n, &made) })
        }
        CardOf::Wall => {
            let made = hang_card(book, at.fork);
            let html = templates.render_part("hang-sheet.html", &made.view)?;
            Ok(Sheet { html: Gapped::new(&html), over: hang_overflow(at.fork, &made) })
        }
    }
}

/// The cards that would not fit on their sheets. `fits` knows of a fork that all of its do.
pub fn card_findings<'s>(book: &Book<'s>, fits: impl Fn(&CheckedFork) -> bool + Sync) -> Vec<Finding> {
    let stack = Stack::new(book);
    let judge = |at: CardAt<'s>| match at.of {
        CardOf::Service(n) => overflow(book, at.fork, n, &fitted(book, at.fork, n)),
        CardOf::Wall => hang_overflow(at.fork, &hang_fitted(book, at.fork)),
    };
    let all: Vec<CardAt<'s>> = stack.all().iter().copied().chain(stack.walls()).collect();
    all.into_par_iter().filter(|card| !fits(card.fork)).filter_map(judge).collect()
}
