//! The sequence of a service: which state of a leg or of the machine holds from which procedure to which. It is for
//! whoever writes procedures and services; the page to work from has it as a link.

use std::sync::Arc;

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::Book;
use crate::book::gaps::Gapped;
use crate::book::links::{fork_href, sequence_href};
use crate::book::view::Link;
use crate::plan::{Plan, ends, walk};
use crate::record::Service;
use crate::resolve::ResolvedFork;
use crate::site::desk::Desk;
use crate::site::figure;
use crate::site::templates::TemplateProblem;
use crate::words::count;

/// How many forks are named beside a chart; the rest are counted.
const NAMED: usize = 12;

/// Forks that are worked on in the same order.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SequenceChart {
    /// The forks, the first of them where they are many.
    pub forks: Vec<Link>,
    /// How many more there are, in words; empty where all are named.
    pub more: String,
    /// The chart: a finished HTML table.
    pub chart_html: Arc<str>,
}

/// The sequence of a service, `sequence.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SequenceView {
    /// What the service is called.
    pub service: String,
    /// What it is good for; may be empty.
    pub notes: String,
    /// A chart for each order that its forks are worked on in.
    pub charts: Vec<SequenceChart>,
}

/// The page of this service.
pub struct SequencePage<'s>(&'s Service);

/// One for each service, in a shop that has conditions.
pub fn all<'s>(desk: &Desk<'_, 's>) -> Vec<SequencePage<'s>> {
    let shop = desk.book.shop;
    let drawn = shop.conditions.list.is_empty();
    shop.services.iter().filter(|_| !drawn).map(SequencePage).collect()
}

/// The charts of a service, each with the forks that are worked on in that order.
fn charts<'s>(book: &Book<'s>, service: &Service) -> Vec<SequenceChart> {
    let mut charts: Vec<(Arc<str>, Vec<Link>)> = Vec::new();
    for fork in book.forks {
        let mut plans = book.plans.of(fork).iter();
        let Some(plan) = plans.find(|plan| plan.service.id.text == service.id.text) else { continue };
        let chart = order_chart(book, fork, plan);
        let link = Link::new(fork_href(&fork.id), fork.record.title());
        match charts.iter_mut().find(|(known, _)| *known == chart) {
            Some((_, forks)) => forks.push(link),
            None => charts.push((chart, vec![link])),
        }
    }
    let finished = |(at, (chart, mut forks)): (usize, (Arc<str>, Vec<Link>))| {
        let chart_html = Gapped::new(&chart).filled_with(&(at + 1).to_string());
        let more = forks.len().saturating_sub(NAMED);
        forks.truncate(NAMED);
        let more = if more > 0 { count(more, "more fork", "more forks") } else { String::new() };
        SequenceChart { forks, more, chart_html }
    };
    charts.into_iter().enumerate().map(finished).collect()
}

impl<'s> Page<'s> for SequencePage<'s> {
    type View = SequenceView;

    const TEMPLATE: &'static str = "sequence";

    fn path(&self) -> String {
        sequence_href(&self.0.id.text)
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<SequenceView, TemplateProblem> {
        Ok(SequenceView {
            service: self.0.title.clone(),
            notes: self.0.notes.clone().unwrap_or_default(),
            charts: charts(desk.book, self.0),
        })
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &SequenceView) -> Heading {
        let about = "Which state holds from which procedure to which, for whoever writes procedures.";
        Heading::new(format!("{}: sequence chart", view.service), about)
            .under(Link::new("procedures/index.html", "Procedures"))
    }
}

/// The chart of a service's order for a fork: a finished HTML table, empty in a shop without conditions.
pub fn order_chart<'s>(book: &Book<'s>, fork: &ResolvedFork, plan: &Plan<'s>) -> Arc<str> {
    let (shop, vocabulary) = (book.shop, &book.vocabulary);
    let meant = vocabulary.meant(fork);
    let key = (plan.service.id.text.as_str(), plan.variant(&meant));
    book.memo.orders.or_make(key, || {
        let (start, hand_back) = ends(shop, vocabulary, plan.service, &meant);
        let effects = plan.effects(vocabulary, &meant);
        let walk = walk(vocabulary, &start, &effects, &hand_back);
        figure::order(vocabulary, plan, &effects, &walk).into()
    })
}
