//! The page to work from, and procedures in their general form.

use std::collections::BTreeSet;
use std::sync::{Arc, PoisonError};

use crate::book::doubt::IN_DOUBT;
use crate::book::due::due;
use crate::book::figure::{machines_line, time};
use crate::book::links::{card_href, fork_href, procedure_href, service_href};
use crate::book::view::Link;
use crate::book::{Book, vouch};
use crate::catalogue::Role;
use crate::check::CheckedFork;
use crate::plan::{Plan, ends, legs_word, walk};
use crate::record::{OnLegs, PHASES, Procedure, Text};
use crate::resolve::ResolvedFork;
use crate::site::figure;
use crate::site::glossary::Linked;
use crate::site::prose::Setting;
use crate::site::shelf;
use crate::site::view::{ProcedureRow, ProcedureView, ProceduresView, Section, ServiceView, SetTo};
use crate::words::{capital, count};

/// The title of a phase.
pub fn phase_title(id: &str) -> &str {
    PHASES.iter().find(|(known, _)| *known == id).map_or(id, |(_, title)| title)
}

/// Stands for the fork's id in the links of a section, so that forks with the same numbers have the same section.
/// No source can hold it.
pub const ITS_FORK: &str = "\0";

/// The page of a fork and a service, its sections apart: they are made first, and their HTML goes in.
pub fn service<'s>(
    book: &Book<'s>,
    fork: &'s CheckedFork,
    plan: &Plan<'s>,
    root: &str,
) -> (ServiceView, Vec<Section>) {
    let shop = book.shop;
    let record = &fork.record;
    let told = book.texts(fork);
    let facts = told.facts();
    let here: Vec<&str> = plan.items.iter().map(|item| item.procedure.id.text.as_str()).collect();
    let terms = Linked::default();
    let setting = Setting {
        shop,
        fork: Some(&told),
        fork_id: ITS_FORK,
        written: Some(&book.written),
        terms: Some(&terms),
        root,
        here: &here,
        facts: &facts.cautions,
        legs: [true; 2],
    };
    let mut number = 1;
    let mut phase = "";
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut sections = Vec::with_capacity(plan.items.len());
    for (at, item) in plan.items.iter().enumerate() {
        let procedure = item.procedure;
        let setting = Setting { legs: item.legs, ..setting };
        let items = setting.items(procedure, number);
        number += procedure.body.steps().count();
        let again = if seen.insert(&procedure.id.text) { String::new() } else { format!("-{}", at + 1) };
        sections.push(Section {
            number: at + 1,
            anchor: format!("proc-{}{again}", procedure.id.text),
            title: procedure.title.clone(),
            phase: phase_title(&procedure.phase).to_owned(),
            opens_phase: procedure.phase != phase,
            time: time(procedure),
            legs: legs_word(item.legs).to_owned(),
            href: procedure_href(&procedure.id.text),
            root: root.to_owned(),
            items,
        });
        phase = &procedure.phase;
    }
    let numbers =
        shop.catalogue.iter().filter(|(_, field)| field.role == Role::Set).filter_map(|(id, field)| {
            let figures = told.figures(id);
            let said: Vec<String> = figures
                .iter()
                .filter(|figure| !figure.not_fitted)
                .map(|figure| format!("{} {}", figure.side, figure.main).trim().to_owned())
                .collect();
            let mut value = said.join(", ");
            if told.in_doubt(id) {
                value.push_str(&format!(" ({IN_DOUBT})"));
            }
            let mut states: Vec<String> = Vec::new();
            for figure in figures.iter().filter(|figure| !figure.not_fitted) {
                if !figure.state.is_empty() && !states.contains(&figure.state) {
                    states.push(figure.state.clone());
                }
            }
            (!said.is_empty()).then(|| SetTo { name: field.title.clone(), value, state: states.join("; ") })
        });
    let (review_word, review) = vouch::warning(book, fork);
    let view = ServiceView {
        fork: Link::new(fork_href(&fork.id), record.title()),
        machines: machines_line(record),
        service: plan.service.title.clone(),
        time: shelf::time_allowed(plan),
        draft: record.draft,
        review_word,
        review,
        doubt: told.doubt_sentence(),
        card: (!record.draft).then(|| Link::new(card_href(&fork.id, &plan.service.id.text), "Bench card")),
        memory: format!("{}/{}", fork.id, plan.service.id.text),
        steps: number - 1,
        pull: shelf::pull(shop, fork, plan),
        due: due(shop, fork, Some(&plan.renewed())),
        order_html: order_chart(book, fork, plan).to_string(),
        numbers: numbers.collect(),
        not_made: facts.not_made.clone(),
        sections: Vec::new(),
    };
    (view, sections)
}

/// The chart of a service's order for a fork: a finished HTML table, empty in a shop without conditions.
pub fn order_chart<'s>(book: &Book<'s>, fork: &ResolvedFork, plan: &Plan<'s>) -> Arc<str> {
    let (shop, vocabulary) = (book.shop, &book.vocabulary);
    let meant = vocabulary.meant(fork);
    let key = (plan.service.id.text.as_str(), plan.variant(&meant));
    // What a thread that panicked had put in is whole: entries are only ever added.
    let orders = || book.orders.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(made) = orders().get(&key) {
        return Arc::clone(made);
    }
    let (start, hand_back) = ends(shop, vocabulary, plan.service, &meant);
    let effects = plan.effects(vocabulary, &meant);
    let walk = walk(vocabulary, &start, &effects, &hand_back);
    let made: Arc<str> = figure::order(vocabulary, plan, &effects, &walk).into();
    orders().insert(key, Arc::clone(&made));
    made
}

fn tool_link(book: &Book, id: &str) -> Option<Link> {
    book.shop.tool(id).map(|tool| Link::new(format!("tools.html#{id}"), tool.title.clone()))
}

/// A procedure in its general form.
pub fn procedure(book: &Book, procedure: &Procedure, root: &str) -> ProcedureView {
    const MOST: usize = 40;
    let shop = book.shop;
    let terms = Linked::default();
    let setting = Setting { terms: Some(&terms), ..Setting::general(shop, root) };
    let links =
        |ids: &[Text]| -> Vec<Link> { ids.iter().filter_map(|id| tool_link(book, &id.text)).collect() };
    let conditions = &shop.conditions.list;
    let said = |names: &[Text]| -> Vec<String> {
        let one = |name: &Text| conditions.iter().find(|condition| condition.id.text == name.text);
        names.iter().filter_map(one).map(|condition| capital(&condition.says)).collect()
    };
    let users = book.users(&procedure.id.text);
    let used_by: Vec<Link> = users
        .iter()
        .take(MOST)
        .map(|(fork, n)| {
            let (fork, service) = (&book.forks[*fork], &shop.services[*n]);
            let anchor = format!("{}#proc-{}", service_href(&fork.id, &service.id.text), procedure.id.text);
            Link::new(anchor, format!("{}: {}", fork.record.title(), service.title))
        })
        .collect();
    ProcedureView {
        title: procedure.title.clone(),
        phase: phase_title(&procedure.phase).to_owned(),
        applies: book.when(&procedure.applies),
        time: time(procedure),
        legs: match procedure.legs {
            OnLegs::Both => "",
            OnLegs::Spring => "the leg with the spring",
            OnLegs::Damper => "the leg with the damper",
            OnLegs::Left => "the left leg",
            OnLegs::Right => "the right leg",
        }
        .to_owned(),
        needs: said(&procedure.needs),
        brings: said(&procedure.brings),
        ends: said(&procedure.ends),
        tools: links(&procedure.tools),
        consumables: links(&procedure.consumables),
        items: setting.items(procedure, 1),
        more: match users.len() - used_by.len() {
            0 => String::new(),
            more => format!("And {more} more."),
        },
        used_by,
    }
}

/// The list of procedures.
pub fn procedures(book: &Book) -> ProceduresView {
    let shop = book.shop;
    let phases = PHASES.iter().filter_map(|(id, title)| {
        let rows: Vec<ProcedureRow> = shop
            .procedures
            .iter()
            .filter(|procedure| procedure.phase == *id)
            .map(|procedure| ProcedureRow {
                href: procedure_href(&procedure.id.text),
                title: procedure.title.clone(),
                time: time(procedure),
                steps: count(procedure.body.steps().count(), "step", "steps"),
            })
            .collect();
        (!rows.is_empty()).then(|| ((*title).to_owned(), rows))
    });
    let services = shop.services.iter().enumerate().map(|(at, service)| {
        let procedures = count(service.entries.len(), "procedure", "procedures");
        let forks = count(book.service_forks[at].len(), "fork", "forks");
        (service.title.clone(), format!("{procedures}, for {forks}"))
    });
    ProceduresView { phases: phases.collect(), services: services.collect() }
}
