//! The list of procedures.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::Book;
use crate::book::figure::time;
use crate::book::links::procedure_href;
use crate::record::Phase;
use crate::site::desk::Desk;
use crate::site::templates::TemplateProblem;
use crate::words::count;

/// A procedure in the list.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ProcedureRow {
    /// Its page.
    pub href: String,
    /// What it is called.
    pub title: String,
    /// How long it takes; may be empty.
    pub time: String,
    /// How many steps, in words.
    pub steps: String,
}

/// Procedures by the part of the job, `procedures.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ProceduresView {
    /// Each part of the job with its procedures.
    pub phases: Vec<(String, Vec<ProcedureRow>)>,
    /// Services: title and how many procedures, in words.
    pub services: Vec<(String, String)>,
}

/// The page.
pub struct ProceduresPage;

/// There is one.
pub fn all(_: &Desk<'_, '_>) -> [ProceduresPage; 1] {
    [ProceduresPage]
}

impl<'s> Page<'s> for ProceduresPage {
    type View = ProceduresView;

    const TEMPLATE: &'static str = "procedures";

    fn path(&self) -> String {
        "procedures/index.html".to_owned()
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ProceduresView, TemplateProblem> {
        Ok(procedures(desk.book))
    }

    fn heading(&self, _: &Desk<'_, 's>, _: &ProceduresView) -> Heading {
        Heading::new("Procedures", "Every procedure in its general form.")
    }
}

/// The list of procedures.
fn procedures(book: &Book) -> ProceduresView {
    let shop = book.shop;
    let phases = Phase::ALL.into_iter().filter_map(|phase| {
        let rows: Vec<ProcedureRow> = shop
            .procedures
            .iter()
            .filter(|procedure| procedure.phase == Some(phase))
            .map(|procedure| ProcedureRow {
                href: procedure_href(&procedure.id.text),
                title: procedure.title.clone(),
                time: time(procedure),
                steps: count(procedure.body.steps().count(), "step", "steps"),
            })
            .collect();
        (!rows.is_empty()).then(|| (phase.title().to_owned(), rows))
    });
    let services = shop.services.iter().enumerate().map(|(at, service)| {
        let procedures = count(service.entries.len(), "procedure", "procedures");
        let forks = count(book.service_forks[at].len(), "fork", "forks");
        (service.title.clone(), format!("{procedures}, for {forks}"))
    });
    ProceduresView { phases: phases.collect(), services: services.collect() }
}
