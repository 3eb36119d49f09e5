//! The list of a site's files in the order in which they are made, and their making.

use super::desk::Desk;
use super::page::{self, File, Subject};
use super::templates::{TemplateProblem, Templates};
use crate::book::Book;
use crate::check::CheckedFork;

/// A file that is to be made.
pub struct Planned<'s> {
    /// Its path from the site's top folder, with forward slashes.
    pub path: String,
    file: Box<dyn File<'s> + 's>,
}

impl<'s> Planned<'s> {
    /// Its kind in one word: the name of its template, or `asset`.
    pub fn kind(&self) -> &'static str {
        self.file.kind()
    }

    /// What it tells of.
    pub(super) fn subject(&self) -> Subject<'s> {
        self.file.subject()
    }
}

/// A site that can be made: the list of its files, and what they are made with.
pub struct Press<'a, 's> {
    desk: Desk<'a, 's>,
    list: Vec<Planned<'s>>,
}

impl<'a, 's> Press<'a, 's> {
    /// Lists the files, to be made one now and then as somebody asks: in no order, and no card is kept for the next page.
    pub fn for_few(book: &'a Book<'s>, templates: Templates) -> Press<'a, 's> {
        let desk = Desk::new(book, templates);
        let list = page::all(&desk).into_iter().map(|file| Planned { path: file.path(), file }).collect();
        Press { desk, list }
    }

    /// Lists the files, to be made all; none is made yet.
    pub fn new(book: &'a Book<'s>, templates: Templates) -> Press<'a, 's> {
        let Press { mut desk, mut list } = Press::for_few(book, templates);
        // Pages that share a card come together, and inside a volume those of a fork: what is made once for them
        // is not kept for long.
        let place = |subject: Subject<'s>| match subject {
            Subject::Shop => (0, usize::MAX),
            Subject::Fork(fork) => {
                let (volume, order) = desk.stack.place(fork);
                (1 + volume, order)
            }
            Subject::Volume(volume) => (1 + volume, usize::MAX),
        };
        list.sort_by_cached_key(|planned| (place(planned.subject()), planned.path.clone()));
        for planned in &list {
            for card in planned.file.cards(&desk.stack) {
                desk.sheets.expect(card);
            }
        }
        Press { desk, list }
    }

    /// Every file of the site, in the order in which they are best made.
    pub fn list(&self) -> &[Planned<'s>] {
        &self.list
    }

    /// What they are made with.
    pub(super) fn desk(&self) -> &Desk<'a, 's> {
        &self.desk
    }

    /// Makes one file.
    ///
    /// # Errors
    /// What is wrong with the template, and where.
    pub fn render(&self, planned: &Planned<'s>) -> Result<Vec<u8>, TemplateProblem> {
        planned.file.render(&self.desk)
    }

    /// Of which forks a file tells, and what it says of where it stands among others; `None`: of the whole shop.
    pub(super) fn forks_of(&self, planned: &Planned<'s>) -> Option<(Vec<&'s CheckedFork>, String)> {
        match planned.subject() {
            Subject::Shop => None,
            Subject::Fork(fork) => Some((vec![fork], String::new())),
            Subject::Volume(volume) => {
                let mut forks: Vec<&CheckedFork> =
                    self.desk.stack.volume(volume).iter().map(|card| card.fork).collect();
                forks.dedup_by_key(|fork| &fork.id);
                Some((forks, format!("{volume}/{}", self.desk.stack.volumes())))
            }
        }
    }
}
