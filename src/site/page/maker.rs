//! The machines of one maker.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::Book;
use crate::book::figure::years;
use crate::book::links::fork_href;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;
use crate::words::count;

/// A machine, or a fork that is fitted to none, as the search and the lists show it.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ModelRow {
    /// The fork's page.
    pub href: String,
    /// The machine's model; for a fork without machines the fork's own title.
    pub machine: String,
    /// The years, such as `2016–2019`.
    pub years: String,
    /// What can be seen on the machine where another fork was fitted in the same years; may be empty.
    pub seen: String,
    /// Maker and model of the fork.
    pub fork: String,
    /// The fork is a draft.
    pub draft: bool,
}

/// A maker of machines with what it made. As the view of `maker.html` it has a page of its own.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct MakerView {
    /// The maker's name.
    pub maker: String,
    /// The maker's own page.
    pub href: String,
    /// Its first letters as a fragment identifier.
    pub anchor: String,
    /// How many machines, in words: `3 machines`.
    pub count: String,
    /// Its machines by model and year; on the home page of a large shop there are none.
    pub models: Vec<ModelRow>,
}

/// The page of the maker with this name.
pub struct MakerPage {
    name: String,
    path: String,
}

/// One for each maker of machines.
pub fn all(desk: &Desk<'_, '_>) -> Vec<MakerPage> {
    let makers = desk.book.makers.keys();
    makers.map(|name| MakerPage { name: name.clone(), path: desk.book.maker_href(name) }).collect()
}

impl<'s> Page<'s> for MakerPage {
    type View = MakerView;

    const TEMPLATE: &'static str = "maker";

    fn path(&self) -> String {
        self.path.clone()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<MakerView, TemplateProblem> {
        Ok(maker(desk.book, &self.name))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &MakerView) -> Heading {
        Heading::new(self.name.clone(), format!("Machines of {} and the forks in them.", self.name))
    }
}

fn models(book: &Book, maker: &str) -> Vec<ModelRow> {
    let mut rows: Vec<(String, u16, ModelRow)> = Vec::new();
    for record in &book.shop.forks {
        for machine in record.machines.iter().filter(|machine| machine.maker == maker) {
            rows.push((
                machine.model.clone(),
                machine.years.0,
                ModelRow {
                    href: fork_href(&record.id.text),
                    machine: machine.model.clone(),
                    years: years(machine.years),
                    seen: machine.seen.clone(),
                    fork: record.title(),
                    draft: record.draft,
                },
            ));
        }
    }
    rows.sort_by(|a, b| (&a.0, a.1, &a.2.href).cmp(&(&b.0, b.1, &b.2.href)));
    rows.into_iter().map(|(_, _, row)| row).collect()
}

/// The page of a maker, or its part of the home page.
pub fn maker(book: &Book, name: &str) -> MakerView {
    let models = models(book, name);
    MakerView {
        maker: name.to_owned(),
        href: book.maker_href(name),
        anchor: format!("m-{}", book.makers.get(name).map_or("", String::as_str)),
        count: count(models.len(), "machine", "machines"),
        models,
    }
}
