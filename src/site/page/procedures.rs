//! The list of procedures.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::Book;
use crate::book::figure::time;
use crate::book::links::procedure_href;
use crate::record::{Phase, Procedure, Service};
use crate::resolve::Shop;
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

/// Every procedure of a service, in the order in which work is done: that of the longest service, and what another
/// has besides after what comes before it there.
fn order_of_work(shop: &Shop) -> Vec<&str> {
    let mut services: Vec<&Service> = shop.services.iter().collect();
    services.sort_by_key(|service| std::cmp::Reverse(service.procedures.len()));
    let mut order: Vec<&str> = Vec::new();
    for service in services {
        let mut at = 0;
        for procedure in &service.procedures {
            let known = order.iter().position(|known| *known == procedure.text);
            if known.is_none() {
                order.insert(at, &procedure.text);
            }
            at = known.unwrap_or(at) + 1;
        }
    }
    order
}

/// The list of procedures.
fn procedures(book: &Book) -> ProceduresView {
    let shop = book.shop;
    let order = order_of_work(shop);
    let place = |id: &str| order.iter().position(|known| *known == id).unwrap_or(usize::MAX);
    let phases = Phase::ALL.into_iter().filter_map(|phase| {
        let mut of_phase: Vec<&Procedure> =
            shop.procedures.iter().filter(|procedure| procedure.phase == Some(phase)).collect();
        of_phase.sort_by_key(|procedure| place(&procedure.id.text));
        let rows: Vec<ProcedureRow> = of_phase
            .into_iter()
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
