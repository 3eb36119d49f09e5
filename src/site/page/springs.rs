//! The springs that the shop has or can order.

use serde::Serialize;

use super::kind::{Heading, Page};
use super::oil::values;
use crate::book::Book;
use crate::book::figure::figure;
use crate::book::links::fork_href;
use crate::book::springs::fitting;
use crate::book::view::{Link, Pair};
use crate::catalogue::{Owner, key};
use crate::check::{CheckedFamily, CheckedFork};
use crate::record::{Beside, SpecRecord};
use crate::review::Standing;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;

/// A spring.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SpringRow {
    /// Its id, which is its fragment identifier.
    pub id: String,
    /// Maker and marking.
    pub title: String,
    /// A draft.
    pub draft: bool,
    /// Its rate as it was measured.
    pub rate: String,
    /// Its other values.
    pub values: Vec<Pair>,
    /// The number it is ordered by; may be empty.
    pub part_number: String,
    /// How many lie on the shelf, in words; may be empty.
    pub stock: String,
    /// Who measured it and on what, one sentence; may be empty.
    pub source: String,
    /// `CHANGED` where a value changed since it was reviewed; else empty.
    pub mark: String,
    /// What the shop says about it; may be empty.
    pub notes: String,
    /// The forks that can take it.
    pub fits: Vec<Link>,
    /// The builds that it is fitted in.
    pub builds: Vec<Link>,
}

/// The springs of the stock, `springs.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SpringsView {
    /// The springs, the softest first.
    pub springs: Vec<SpringRow>,
}

/// The page.
pub struct SpringsPage;

/// There is one in a shop that has springs on record.
pub fn all(desk: &Desk<'_, '_>) -> Option<SpringsPage> {
    (!desk.book.shop.springs.is_empty()).then_some(SpringsPage)
}

impl<'s> Page<'s> for SpringsPage {
    type View = SpringsView;

    const TEMPLATE: &'static str = "springs";

    fn path(&self) -> String {
        "springs.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<SpringsView, TemplateProblem> {
        let book = desk.book;
        let mut springs: Vec<&CheckedFamily> = book.springs.iter().collect();
        let rate = |spring: &CheckedFamily| {
            let rate = values(&spring.record).into_iter().find(|(id, _)| *id == key::COIL_RATE.id());
            rate.and_then(|(_, value)| value.quantity().map(|rate| rate.middle_si())).unwrap_or(f64::INFINITY)
        };
        springs.sort_by(|a, b| rate(a).total_cmp(&rate(b)));
        Ok(SpringsView { springs: springs.into_iter().map(|spring| row(book, spring)).collect() })
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &SpringsView) -> Heading {
        Heading::new("Springs", "The springs of the shop, with what was measured on each.")
    }
}

fn row(book: &Book, spring: &CheckedFamily) -> SpringRow {
    let (shop, record) = (book.shop, &spring.record);
    let values = values(record);
    let shown = values.iter().map(|(id, value)| {
        let field = shop.catalogue.field(*id);
        let figure = figure(shop, field, value, "");
        (*id, Pair { name: field.title.clone(), value: figure.main })
    });
    let (rate, rest): (Vec<_>, Vec<_>) = shown.partition(|(id, _)| *id == key::COIL_RATE.id());
    let (number, count) = match &record.beside {
        Beside::Spring(stock) => (stock.part_number.as_ref().map(|text| text.text.clone()), stock.count),
        _ => (None, None),
    };
    let link = |fork: &CheckedFork| Link::new(fork_href(&fork.id), fork.record.title());
    let models = book.forks.iter().filter(|fork| fork.record.build().is_none());
    let fits = models.filter(|fork| fitting(shop, fork).iter().any(|fits| fits.id.text == record.id.text));
    let fitted = |fork: &&CheckedFork| {
        let build = fork.record.build().and_then(|build| build.spring.as_ref());
        build.is_some_and(|id| id.text == record.id.text)
    };
    let keys = shop.catalogue.of(Owner::Spring).map(|(_, field)| field.key.as_str());
    let changed = keys.into_iter().any(|key| matches!(spring.review.of(key), Standing::Changed(_)));
    SpringRow {
        id: record.id.text.clone(),
        title: record.title(),
        draft: record.draft,
        rate: rate.into_iter().next().map(|(_, pair)| pair.value).unwrap_or_default(),
        values: rest.into_iter().map(|(_, pair)| pair).collect(),
        part_number: number.unwrap_or_default(),
        stock: count.map(in_words).unwrap_or_default(),
        source: source(record),
        mark: if changed { "CHANGED".to_owned() } else { String::new() },
        notes: record.notes.clone().unwrap_or_default(),
        fits: fits.map(link).collect(),
        builds: book.forks.iter().filter(fitted).map(link).collect(),
    }
}

fn in_words(count: u32) -> String {
    match count {
        0 => "to be ordered".to_owned(),
        count => format!("{count} on the shelf"),
    }
}

fn source(record: &SpecRecord) -> String {
    let Some(note) = record.source.as_ref().and_then(|id| record.source_note(&id.text)) else {
        return String::new();
    };
    let more = [note.by.as_deref(), note.date.as_deref()].into_iter().flatten();
    std::iter::once(note.title.as_str()).chain(more).collect::<Vec<_>>().join(", ")
}
