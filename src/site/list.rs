//! Every page of the site: its path, and how it is rendered when its turn comes.

use rayon::prelude::*;
use serde::Serialize;

use super::glossary;
use super::page::service::ITS_FORK;
use super::page::{codes, fork, home, lists, review, rules, service};
use super::sections::Sections;
use super::sheets::Sheets;
use super::templates::{TemplateProblem, Templates};
use super::view::{BinderView, CardPageView, CardsView, GlossaryView, Head, NotFoundView, SectionText, Site};
use crate::book::Book;
use crate::book::links::{card_href, fork_href, oil_href, procedure_href, service_href};
use crate::book::view::Link;
use crate::card::{card, overflow};
use crate::diagnostic::Finding;
use crate::resolve::ResolvedFork;
use crate::words::count;

/// How many cards one binder holds: what a stack of paper bears.
const BINDER: usize = 50;

/// A page that is to be rendered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PagePlan {
    /// Its path from the site's top folder, with forward slashes.
    pub path: String,
    what: What,
    /// The volume of cards it is made with; pages without cards come first.
    volume: usize,
}

impl PagePlan {
    /// Its kind in one word.
    pub fn kind(&self) -> &'static str {
        match &self.what {
            What::Fork(_) => "fork",
            What::Service(..) => "service",
            What::Card(..) => "card",
            What::ForkBinder(_) | What::Binder(..) => "binder",
            What::Procedure(_) => "procedure",
            What::Oil(_) => "oil",
            What::Maker(_) => "maker",
            What::Asset(_) | What::SearchIndex => "asset",
            _ => "other",
        }
    }

    /// The fork it tells of, by its place; past all of them for a page of several.
    fn fork(&self) -> usize {
        match self.what {
            What::Fork(at) | What::Service(at, _) | What::Card(at, _) | What::ForkBinder(at) => at,
            _ => usize::MAX,
        }
    }

    /// What is said on the page of where it stands among others.
    pub(super) fn place(&self) -> String {
        match &self.what {
            What::Binder(volume, volumes) => format!("{volume}/{volumes}"),
            _ => String::new(),
        }
    }
}

/// What a page shows; numbers are places in the book's lists, a service's its place among those of its fork.
#[derive(Debug, Clone, PartialEq, Eq)]
enum What {
    Home,
    Maker(String),
    Fork(usize),
    Service(usize, usize),
    Card(usize, usize),
    Cards,
    ForkBinder(usize),
    Binder(usize, usize),
    Procedures,
    Procedure(usize),
    Oils,
    Oil(usize),
    Tools,
    Cautions,
    Fields,
    Units,
    Review,
    Codes,
    Glossary,
    Rules,
    Rule(&'static str),
    NotFound,
    Asset(String),
    SearchIndex,
    CardCodes,
}

/// The site's own values for the templates.
pub fn site(book: &Book) -> Site {
    let settings = &book.shop.settings;
    Site {
        name: settings.name.clone(),
        place: settings.place.clone().unwrap_or_default(),
        address: settings.site.as_ref().map(|text| text.text.clone()).unwrap_or_default(),
        has_cards: book.forks.iter().any(|fork| has_cards(book, fork)),
    }
}

fn has_cards(book: &Book, fork: &ResolvedFork) -> bool {
    !fork.record.draft && book.shop.services_for(&fork.choices).next().is_some()
}

/// Every page of the site, by path.
pub fn pages(book: &Book, templates: &Templates) -> Vec<PagePlan> {
    let shop = book.shop;
    let mut pages = Vec::new();
    let mut add_in = |volume: usize, path: String, what: What| pages.push(PagePlan { path, what, volume });
    let mut add = |path: String, what: What| add_in(0, path, what);
    add("index.html".to_owned(), What::Home);
    add("404.html".to_owned(), What::NotFound);
    add("tools.html".to_owned(), What::Tools);
    add("cautions.html".to_owned(), What::Cautions);
    add("units.html".to_owned(), What::Units);
    add("review.html".to_owned(), What::Review);
    add("glossary.html".to_owned(), What::Glossary);
    add("rules/index.html".to_owned(), What::Rules);
    for code in rules::codes() {
        add(rules::rule_href(code), What::Rule(code));
    }
    add("reference/fields.html".to_owned(), What::Fields);
    add("procedures/index.html".to_owned(), What::Procedures);
    add("oils/index.html".to_owned(), What::Oils);
    for name in templates.assets().keys() {
        add(format!("assets/{name}"), What::Asset(name.clone()));
    }
    add("assets/search-index.js".to_owned(), What::SearchIndex);
    for (name, id) in &book.makers {
        add(format!("makers/{id}.html"), What::Maker(name.clone()));
    }
    for (at, procedure) in shop.procedures.iter().enumerate() {
        add(procedure_href(&procedure.id.text), What::Procedure(at));
    }
    for (at, oil) in shop.oils.iter().enumerate() {
        add(oil_href(&oil.id.text), What::Oil(at));
    }
    let mut sheets: usize = 0;
    for (at, fork) in book.forks.iter().enumerate() {
        let mut add = |path: String, what: What| add_in(1 + sheets / BINDER, path, what);
        add(fork_href(&fork.id), What::Fork(at));
        let draft = fork.record.draft;
        let mut cards = 0;
        for (n, plan) in book.plans.of(fork).iter().enumerate() {
            let service = plan.service;
            add(service_href(&fork.id, &service.id.text), What::Service(at, n));
            if !draft {
                add(card_href(&fork.id, &service.id.text), What::Card(at, n));
                cards += 1;
            }
        }
        if cards > 1 {
            add(format!("cards/fork/{}.html", fork.id), What::ForkBinder(at));
        }
        sheets += cards;
    }
    if sheets > 0 {
        add_in(0, "cards/index.html".to_owned(), What::Cards);
        add_in(0, "codes.html".to_owned(), What::Codes);
        add_in(0, "assets/card-codes.js".to_owned(), What::CardCodes);
        let volumes = sheets.div_ceil(BINDER);
        for volume in 0..volumes {
            add_in(1 + volume, format!("cards/all/{}.html", volume + 1), What::Binder(volume, volumes));
        }
    }
    // Pages that share a card come together, and inside a volume those of a fork: what is made once for them is not
    // kept for long.
    pages.sort_by(|a, b| (a.volume, a.fork(), &a.path).cmp(&(b.volume, b.fork(), &b.path)));
    pages
}

/// The cards that would not fit on their sheets.
pub fn card_findings(book: &Book) -> Vec<Finding> {
    let places: Vec<(usize, usize)> = sheets(book).collect();
    let judge = |(at, n): &(usize, usize)| {
        let made = card(book, &book.forks[*at], *n);
        overflow(book, *at, *n, &made)
    };
    places.par_iter().filter_map(judge).collect()
}

/// Of which forks a page tells; `None`: of the whole shop.
pub(super) fn forks_of(book: &Book, page: &PagePlan) -> Option<Vec<usize>> {
    match &page.what {
        What::Fork(at) | What::Service(at, _) | What::Card(at, _) | What::ForkBinder(at) => Some(vec![*at]),
        What::Binder(volume, _) => {
            let mut forks: Vec<usize> =
                sheets(book).skip(volume * BINDER).take(BINDER).map(|(at, _)| at).collect();
            forks.dedup();
            Some(forks)
        }
        _ => None,
    }
}

/// What pages of a run share: made by the first that needs it.
pub struct Made {
    /// The cards.
    pub sheets: Sheets,
    sections: Sections,
}

impl Made {
    /// Nothing is made yet.
    pub fn new(book: &Book) -> Made {
        Made { sheets: Sheets::new(sheets(book)), sections: Sections::default() }
    }
}

/// The services of a fork, as places among them.
fn services_of(book: &Book, at: usize) -> std::ops::Range<usize> {
    0..book.plans.of(&book.forks[at]).len()
}

/// Every card of the shop as places of the fork and of the service among the fork's, in the order of the list.
fn sheets(book: &Book) -> impl Iterator<Item = (usize, usize)> {
    let printed = book.forks.iter().enumerate().filter(|(_, fork)| !fork.record.draft);
    printed.flat_map(move |(at, _)| services_of(book, at).map(move |n| (at, n)))
}

struct Frame<'a> {
    templates: &'a Templates,
    path: &'a str,
    root: String,
}

impl Frame<'_> {
    fn page(
        &self,
        kind: &str,
        title: &str,
        description: &str,
        crumbs: Vec<Link>,
        view: &impl Serialize,
    ) -> Result<Vec<u8>, TemplateProblem> {
        self.html(kind, title, description, crumbs, view).map(String::into_bytes)
    }

    fn html(
        &self,
        kind: &str,
        title: &str,
        description: &str,
        crumbs: Vec<Link>,
        view: &impl Serialize,
    ) -> Result<String, TemplateProblem> {
        let head = Head {
            root: self.root.clone(),
            path: self.path.to_owned(),
            title: title.to_owned(),
            description: description.to_owned(),
            kind: kind.to_owned(),
            crumbs,
        };
        self.templates.render(&format!("{kind}.html"), &head, view)
    }
}

/// Renders one page.
///
/// # Errors
/// What is wrong with the template, and where.
pub fn render_page(
    book: &Book,
    templates: &Templates,
    made: &Made,
    page: &PagePlan,
) -> Result<Vec<u8>, TemplateProblem> {
    let shop = book.shop;
    let root = "../".repeat(page.path.matches('/').count());
    let frame = Frame { templates, path: &page.path, root: root.clone() };
    let home_link = || Link::new("index.html", "Forks");
    let fork_crumbs = |at: usize| {
        let fork = &book.forks[at];
        vec![home_link(), Link::new(fork_href(&fork.id), fork.record.title())]
    };
    let sheets_text = |n: usize| count(n, "sheet", "sheets");
    // A card stands alone, in the volume of the shop, and in the binder of a fork that has several.
    let sheet = |(at, n): (usize, usize)| {
        let pages = if services_of(book, at).len() > 1 { 3 } else { 2 };
        made.sheets.sheet(book, templates, (at, n), pages)
    };
    let binder = |title: &str, places: &mut dyn Iterator<Item = (usize, usize)>| {
        let cards_html: Vec<String> =
            places.map(|place| sheet(place).map(|sheet| sheet.html.clone())).collect::<Result<_, _>>()?;
        Ok(BinderView { title: title.to_owned(), sheets: sheets_text(cards_html.len()), cards_html })
    };
    match &page.what {
        What::Home => frame.page(
            "home",
            "Which fork is in this machine?",
            "Find the fork from the machine.",
            vec![],
            &home::home(book),
        ),
        What::NotFound => {
            // It is served at any depth, so that only an address from the server's top will do.
            let address = site(book).address;
            let after = address.split_once("://").map_or("", |(_, rest)| rest);
            let path = after.split_once('/').map_or("", |(_, path)| path.trim_end_matches('/'));
            let root = match (address.is_empty(), path.is_empty()) {
                (true, _) => String::new(),
                (false, true) => "/".to_owned(),
                (false, false) => format!("/{path}/"),
            };
            let frame = Frame { root, ..frame };
            frame.page("404", "No such page", "There is no page at this address.", vec![], &NotFoundView {})
        }
        What::Maker(name) => {
            let about = format!("Machines of {name} and the forks in them.");
            frame.page("maker", name, &about, vec![home_link()], &home::maker(book, name, true))
        }
        What::Fork(at) => {
            let view = fork::fork(book, *at);
            let about = format!("{}: every value with unit, tolerance, state and source.", view.title);
            frame.page("fork", &view.title, &about, vec![home_link()], &view)
        }
        What::Service(at, n) => {
            let fork = &book.forks[*at];
            let (mut view, list) = service::service(book, fork, &book.plans.of(fork)[*n], &root);
            for section in list {
                view.sections.push(SectionText {
                    number: section.number,
                    anchor: section.anchor.clone(),
                    title: section.title.clone(),
                    section_html: made.sections.html(templates, section)?,
                });
            }
            let about = format!("{} of the {}, step by step with its numbers.", view.service, view.fork.text);
            let html = frame.html("service", &view.service.clone(), &about, fork_crumbs(*at), &view)?;
            // Its links name it by what stands for it in the parts that forks share.
            Ok(html.replace(char::from(ITS_FORK.as_bytes()[0]), &fork.id).into_bytes())
        }
        What::Card(at, n) => {
            let fork = &book.forks[*at];
            let service = book.plans.of(fork)[*n].service;
            let name = fork.record.title();
            let title = format!("Bench card: {}", service.title);
            let about = format!("{} of the {name} on two sides of one sheet.", service.title);
            let view = CardPageView {
                page: Link::new(
                    service_href(&fork.id, &service.id.text),
                    format!("{}: page to work from", service.title),
                ),
                fork_page: Link::new(fork_href(&fork.id), name),
                card_html: sheet((*at, *n))?.html.clone(),
            };
            frame.page("card", &title, &about, fork_crumbs(*at), &view)
        }
        What::ForkBinder(at) => {
            let title = format!("All cards: {}", book.forks[*at].record.title());
            let view = binder(&title, &mut services_of(book, *at).map(|n| (*at, n)))?;
            frame.page(
                "binder",
                &title,
                "Every bench card of this fork to print in one go.",
                fork_crumbs(*at),
                &view,
            )
        }
        What::Binder(volume, volumes) => {
            let title = if *volumes > 1 {
                format!("All cards, volume {} of {volumes}", volume + 1)
            } else {
                "All cards".to_owned()
            };
            let view = binder(&title, &mut sheets(book).skip(volume * BINDER).take(BINDER))?;
            let crumbs = vec![home_link(), Link::new("cards/index.html", "Bench cards")];
            frame.page("binder", &title, "Bench cards to print in one go.", crumbs, &view)
        }
        What::Cards => {
            let total = sheets(book).count();
            let volumes = total.div_ceil(BINDER);
            let binders = (1..=volumes).map(|n| {
                let text = if volumes > 1 {
                    format!("Volume {n} of {volumes}")
                } else {
                    format!("All cards, {}", sheets_text(total))
                };
                Link::new(format!("cards/all/{n}.html"), text)
            });
            let cards = sheets(book).map(|(at, n)| {
                let fork = &book.forks[at];
                let service = book.plans.of(fork)[n].service;
                let card = Link::new(card_href(&fork.id, &service.id.text), service.title.clone());
                (card, Link::new(fork_href(&fork.id), fork.record.title()))
            });
            let view = CardsView { binders: binders.collect(), cards: cards.collect() };
            frame.page("cards", "Bench cards", "All bench cards to print.", vec![home_link()], &view)
        }
        What::Procedures => frame.page(
            "procedures",
            "Procedures",
            "Every procedure in its general form.",
            vec![home_link()],
            &service::procedures(book),
        ),
        What::Procedure(at) => {
            let view = service::procedure(book, &shop.procedures[*at], &root);
            let crumbs = vec![home_link(), Link::new("procedures/index.html", "Procedures")];
            let about = format!("{} in its general form, each step with its reason.", view.title);
            frame.page("procedure", &view.title.clone(), &about, crumbs, &view)
        }
        What::Oils => frame.page(
            "oils",
            "Oils",
            "Every oil on record with its viscosity.",
            vec![home_link()],
            &lists::oils(book),
        ),
        What::Oil(at) => {
            let view = lists::oil(book, &book.oils[*at]);
            let crumbs = vec![home_link(), Link::new("oils/index.html", "Oils")];
            frame.page(
                "oil",
                &view.title.clone(),
                &format!("{}: its values and the forks that use it.", view.title),
                crumbs,
                &view,
            )
        }
        What::Tools => frame.page(
            "tools",
            "Tools and consumables",
            "What the procedures need.",
            vec![home_link()],
            &lists::tools(book),
        ),
        What::Cautions => frame.page(
            "cautions",
            "Cautions",
            "Every caution with where it stands.",
            vec![home_link()],
            &lists::cautions(book, &root),
        ),
        What::Fields => frame.page(
            "fields",
            "Field reference",
            "Every value a record can hold.",
            vec![home_link()],
            &lists::fields(book),
        ),
        What::Units => {
            frame.page("units", "Units", "Every unit that is understood.", vec![home_link()], &lists::units())
        }
        What::Review => frame.page(
            "review",
            "Review list",
            "What is published but needs eyes.",
            vec![home_link()],
            &review::review(book),
        ),
        What::Codes => frame.page(
            "codes",
            "Is this card current?",
            "Look up the code of a printed card.",
            vec![home_link(), Link::new("cards/index.html", "Bench cards")],
            &codes::codes(book),
        ),
        What::Glossary => {
            let view = GlossaryView { terms: glossary::terms() };
            frame.page(
                "glossary",
                "Glossary",
                "The trade’s words as they are meant here.",
                vec![home_link()],
                &view,
            )
        }
        What::Rules => frame.page(
            "rules",
            "Rules",
            "What is checked before anything is published.",
            vec![home_link()],
            &rules::rules(),
        ),
        What::Rule(code) => frame.page(
            "rule",
            code,
            &format!("What a finding with the code {code} means."),
            vec![home_link(), Link::new("rules/index.html", "Rules")],
            &rules::rule(code),
        ),
        What::Asset(name) => {
            Ok(templates.assets().get(name).map(|text| text.clone().into_bytes()).unwrap_or_default())
        }
        What::SearchIndex => Ok(home::search_index(book).into_bytes()),
        What::CardCodes => Ok(codes::script(book).into_bytes()),
    }
}
