//! Parts that many pages have alike, each made into a text once: by its own component, from the very part. Two parts
//! that are the same in everything are the same text; nothing else is asked.

use std::any::Any;
use std::sync::{Arc, Mutex, PoisonError};

use super::lately::Lately;
use crate::book::view::Row;
use crate::card::view::CardLine;

/// What is kept of finished parts, in bytes.
const MOST: usize = 16 << 20;

/// The templates that parts are made by: each calls the component that pages call for it. They are no shop's to replace,
/// since a shop with a template of its own gets the parts themselves.
pub(super) const TEMPLATES: &[(&str, &str)] = &[
    ("part/card-line.html", "{{ <cardline l={page} /> }}"),
    ("part/fork-row.html", "{{ <row row={page} root=\"../\" /> }}"),
];

/// A part of a view.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) enum Part {
    /// A line of a card.
    Line(Arc<CardLine>),
    /// A value's line on the page of a fork.
    Row(Arc<Row>),
}

impl Part {
    /// Which part this is; `None` for one that has no component of its own.
    pub fn of(any: &Arc<dyn Any + Send + Sync>) -> Option<Part> {
        match Arc::clone(any).downcast() {
            Ok(line) => Some(Part::Line(line)),
            Err(any) => any.downcast().ok().map(Part::Row),
        }
    }

    /// The template it is made by.
    pub fn template(&self) -> &'static str {
        match self {
            Part::Line(_) => "part/card-line.html",
            Part::Row(_) => "part/fork-row.html",
        }
    }

    /// What its template gets.
    ///
    /// # Errors
    /// It cannot be made into a value.
    pub fn value(&self) -> tera::TeraResult<tera::Value> {
        match self {
            Part::Line(line) => tera::Value::try_from_serializable(&**line),
            Part::Row(row) => tera::Value::try_from_serializable(&**row),
        }
    }
}

/// The parts made so far.
#[derive(Debug, Clone)]
pub(super) struct Parts(Arc<Mutex<Lately<Part, Arc<str>>>>);

impl Default for Parts {
    fn default() -> Self {
        Parts(Arc::new(Mutex::new(Lately::new(MOST))))
    }
}

impl Parts {
    /// The text of a part; `make` makes it anew.
    ///
    /// # Errors
    /// As `make`.
    pub fn html<E>(&self, part: Part, make: impl FnOnce(&Part) -> Result<String, E>) -> Result<Arc<str>, E> {
        // A part takes about as much as its text; a thread that panicked left the list whole.
        let size = |html: &Arc<str>| 2 * html.len();
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = kept().get(&part, size) {
            return Ok(found);
        }
        let html: Arc<str> = make(&part)?.into();
        kept().put(part, Arc::clone(&html), size(&html));
        Ok(html)
    }
}
