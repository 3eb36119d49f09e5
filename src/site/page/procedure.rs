//! A procedure in its general form.

use serde::Serialize;

use super::kind::{Heading, Page};
use crate::book::{Book, text_review};
use crate::book::figure::time;
use crate::book::links::{procedure_href, service_href};
use crate::book::view::Link;
use crate::record::{OnLegs, Procedure, Text, Phase};
use crate::review::TextKind;
use crate::site::desk::Desk;
use crate::site::glossary::Linked;
use crate::site::prose::Setting;
use crate::site::templates::TemplateProblem;
use crate::site::view::Item;
use crate::words::capital;

/// A procedure in its general form, `procedure.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ProcedureView {
    /// What it is called.
    pub title: String,
    /// The part of the job it belongs to.
    pub phase: String,
    /// The forks it is for, one sentence for each way.
    pub applies: Vec<String>,
    /// How long it takes; may be empty.
    pub time: String,
    /// The legs it is done on, in words, where it is not both; else empty.
    pub legs: String,
    /// Who vouches for it, one sentence; empty in a shop that reviews no texts.
    pub review: String,
    /// What must hold before it: one sentence each.
    pub needs: Vec<String>,
    /// What holds after it: one sentence each.
    pub brings: Vec<String>,
    /// What no longer holds after it: one sentence each.
    pub ends: Vec<String>,
    /// Tools it needs.
    pub tools: Vec<Link>,
    /// Consumables it uses.
    pub consumables: Vec<Link>,
    /// Its parts in order.
    pub items: Vec<Item>,
    /// The pages it is part of: a fork's service each. At most forty.
    pub used_by: Vec<Link>,
    /// How many more there are, in words; empty when none.
    pub more: String,
}

/// The page of this procedure.
pub struct ProcedurePage<'s>(&'s Procedure);

/// One for each procedure.
pub fn all<'s>(desk: &Desk<'_, 's>) -> impl Iterator<Item = ProcedurePage<'s>> + use<'s> {
    desk.book.shop.procedures.iter().map(ProcedurePage)
}

impl<'s> Page<'s> for ProcedurePage<'s> {
    type View = ProcedureView;

    const TEMPLATE: &'static str = "procedure";

    fn path(&self) -> String {
        procedure_href(&self.0.id.text)
    }

    fn view(&self, desk: &Desk<'_, 's>) -> Result<ProcedureView, TemplateProblem> {
        Ok(procedure(desk.book, self.0, &self.root(desk)))
    }

    fn heading(&self, _: &Desk<'_, 's>, view: &ProcedureView) -> Heading {
        let about = format!("{} in its general form, each step with its reason.", view.title);
        Heading::new(view.title.clone(), about).under(Link::new("procedures/index.html", "Procedures"))
    }
}

fn tool_link(book: &Book, id: &str) -> Option<Link> {
    book.shop.tool(id).map(|tool| Link::new(format!("tools.html#{id}"), tool.title.clone()))
}

/// A procedure in its general form.
fn procedure(book: &Book, procedure: &Procedure, root: &str) -> ProcedureView {
    const MOST: usize = 40;
    let shop = book.shop;
    let terms = Linked::default();
    let setting = Setting { terms: Some(&terms), ..Setting::general(shop, root) };
    let links =
        |ids: &[Text]| -> Vec<Link> { ids.iter().filter_map(|id| tool_link(book, &id.text)).collect() };
    let conditions = &shop.conditions.list;
    let sentences = |names: &[Text]| -> Vec<String> {
        let condition_of = |name: &Text| conditions.iter().find(|condition| condition.id.text == name.text);
        names.iter().filter_map(condition_of).map(|condition| capital(&condition.says)).collect()
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
        phase: procedure.phase.map_or("", Phase::title).to_owned(),
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
        review: text_review::of_text(book, TextKind::Procedure, &procedure.id.text),
        needs: sentences(&procedure.needs),
        brings: sentences(&procedure.brings),
        ends: sentences(&procedure.ends),
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
