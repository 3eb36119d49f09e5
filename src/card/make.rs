//! A card made from its parts: content first, then as much of it as the sheet has room for.

use super::content::codes_of;
use super::numbers::{Beside, numbers};
use super::paper::{back, front};
use super::qr::qr;
use super::readings::readings;
use super::torques::torques;
use super::view::{CardView, JobBox};
use crate::book::doubt::IN_DOUBT;
use crate::book::due::due;
use crate::book::facts::card_tables;
use crate::book::figure::{grouped, machines_line};
use crate::book::links::service_href;
use crate::book::memo::Codes;
use crate::book::parts::{card_table, numbered};
use crate::book::texts::ForkTexts;
use crate::book::view::{CardTable, DueView};
use crate::book::{Book, inherited, text_review, vouch};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::Plan;
use crate::resolve::Shop;

/// A card with how far it goes over the sheet's edge.
#[derive(Debug, Clone)]
pub struct Card {
    /// What the template receives.
    pub view: CardView,
    /// Millimetres too many on the front; zero or less when it fits.
    pub front_over: f64,
    /// Millimetres too many on the back; zero or less when it fits.
    pub back_over: f64,
}

impl Card {
    /// Whether both sides fit on the sheet.
    fn fits(&self) -> bool {
        self.front_over <= 0.0 && self.back_over <= 0.0
    }
}

/// Makes the card of a fork and the service in this place among its own.
pub fn card<'s>(book: &Book<'s>, fork: &'s CheckedFork, n: usize) -> Card {
    let plan = &book.plans.of(fork)[n];
    let texts = book.texts(fork);
    let mut view = content(book, &texts, plan, n);
    let fitted = fit_on(book, &texts, plan, view.clone());
    let is_marked = !of_mark(&view, "CHANGED").is_empty() || !of_mark(&view, "UNREVIEWED").is_empty();
    if fitted.fits() || !is_marked && !in_doubt(&view) {
        return fitted;
    }
    // Where the marks do not fit beside the numbers, the head names each number that they belong to: none is dropped.
    // A doubt keeps its mark at the number as long as it can.
    if is_marked {
        for mark in ["UNREVIEWED", "CHANGED"] {
            let names = of_mark(&view, mark);
            if !names.is_empty() {
                view.review = format!("{mark}: {}. {}", names.join(", "), view.review);
            }
        }
        view.numbers.iter_mut().for_each(|number| number.mark.clear());
        view.torques.iter_mut().for_each(|torque| torque.mark.clear());
        let fitted = fit_on(book, &texts, plan, view.clone());
        if fitted.fits() || !in_doubt(&view) {
            return fitted;
        }
    }
    let numbers = view.numbers.iter().filter(|number| number.doubt).map(|number| number.label.as_str());
    let torques = view.torques.iter().filter(|torque| torque.doubt).map(|torque| torque.label.as_str());
    let names: Vec<&str> = numbers.chain(torques).collect();
    view.review = format!("{IN_DOUBT}: {}. {}", names.join(", "), view.review);
    view.numbers.iter_mut().for_each(|number| number.doubt = false);
    view.torques.iter_mut().for_each(|torque| torque.doubt = false);
    fit_on(book, &texts, plan, view)
}

/// What carries a mark, by its label.
pub(super) fn of_mark<'v>(view: &'v CardView, mark: &str) -> Vec<&'v str> {
    let numbers = view.numbers.iter().map(|number| (&number.mark, &number.label));
    let all = numbers.chain(view.torques.iter().map(|torque| (&torque.mark, &torque.label)));
    all.filter(|(at, _)| *at == mark).map(|(_, label)| label.as_str()).collect()
}

/// All that goes on the card, before any of it is shortened.
pub(super) fn content<'s>(book: &Book<'s>, texts: &ForkTexts<'s>, plan: &Plan<'_>, n: usize) -> CardView {
    let (shop, fork) = (book.shop, texts.fork);
    let page = service_href(&fork.id, &plan.service.id.text);
    let site = shop.settings.site.as_ref().map(|text| text.text.trim_end_matches('/')).unwrap_or_default();
    let mut codes = codes_of(book, fork)[n].clone();
    let mut address = if site.is_empty() { String::new() } else { format!("{site}/{page}") };
    if book.working && !shop.released.cards.iter().any(|released| released.card.text == codes.card) {
        // A code says that somebody released the card. The page it would lead to tells of another one.
        codes = Codes { values: "none".to_owned(), card: "none".to_owned() };
        address.clear();
    }
    CardView {
        fork_id: fork.id.clone(),
        fork: fork.record.title(),
        service: plan.service.title.clone(),
        machines: machines_line(&fork.record),
        review: format!("{}{}", vouch::on_card(book, fork), text_review::on_card(book, fork, plan)),
        values_code: codes.values,
        print_code: codes.card,
        qr_html: if address.is_empty() { String::new() } else { qr(&address) },
        address,
        signs: inherited::on_card(fork),
        job: boxes(&[
            ("Job", 2),
            ("Frame number", 4),
            ("Distance or hours", 3),
            ("Date", 3),
            ("Rider: mass, use", 3),
            ("Complaint", 5),
            ("Oil as it came out: color, water, metal", 4),
        ]),
        numbers: numbers(book, texts, plan, Beside::All),
        found: readings(book, texts, plan),
        torques: torques(book, texts, plan),
        not_made: texts.facts().not_made.clone(),
        tables: tables_of(book.shop, fork, plan),
        parts: parts_boxes(&due(shop, fork, Some(&plan.renewed()))),
        sign: boxes(&[
            ("Technician", 3),
            ("Date", 3),
            ("Second check: every number read back", 4),
            ("Date", 2),
        ]),
        ..CardView::default()
    }
}

/// Whether a number carries the mark that it is in doubt.
fn in_doubt(view: &CardView) -> bool {
    view.numbers.iter().any(|number| number.doubt) || view.torques.iter().any(|torque| torque.doubt)
}

/// Makes the card fit, as far as it goes.
fn fit_on(book: &Book, texts: &ForkTexts<'_>, plan: &Plan<'_>, mut view: CardView) -> Card {
    let mut front_over = front(book, texts, plan, &mut view);
    // The fork's page has what is worked out beside them, and the notes.
    for beside in [Beside::Note, Beside::Temperature, Beside::Nothing] {
        if front_over <= 0.0 {
            break;
        }
        let marked = view.numbers.iter().any(|number| !number.mark.is_empty());
        let doubt = view.numbers.iter().any(|number| number.doubt);
        view.numbers = numbers(book, texts, plan, beside);
        for number in &mut view.numbers {
            number.doubt &= doubt;
            if !marked {
                number.mark.clear();
            }
        }
        front_over = front(book, texts, plan, &mut view);
    }
    let back_over = back(book, texts, plan, &mut view);
    Card { view, front_over, back_over }
}

/// How much the reckoning is known to be high at the least, in mm.
const HIGH: f64 = 5.0;

/// The finding of a card that does not fit on its sheet.
pub fn overflow(book: &Book, fork: &CheckedFork, n: usize, made: &Card) -> Option<Finding> {
    let service = book.plans.of(fork)[n].service;
    let (side, over, instead) = if made.front_over > HIGH {
        (
            "front",
            made.front_over,
            "shorten states and caution titles, or keep fewer readings in this service",
        )
    } else if made.back_over > HIGH {
        (
            "back",
            made.back_over,
            "split the service in two, or shorten the titles of its procedures and the notes at its torques",
        )
    } else {
        return None;
    };
    let what = format!(
        "the {side} of this service’s card for `{}` is {:.0} mm too long for the sheet",
        fork.id,
        over.ceil()
    );
    let mut finding = rules::CARD_OVERFLOW
        .at(service.id.span, what)
        .bench("the last lines would be cut off or land on a third page that nobody keeps")
        .instead(instead);
    finding.reaches = vec![fork.id.clone()];
    Some(finding)
}

/// What was fitted, and when what was renewed is due again: the reading and the interval to be added.
/// The tables of a card; where there is no room for all, the last goes first.
fn tables_of(shop: &Shop, fork: &CheckedFork, plan: &Plan<'_>) -> Vec<CardTable> {
    let mut tables = card_tables(shop, fork);
    tables.extend(card_table(&numbered(shop, fork, plan)));
    tables
}

fn parts_boxes(due: &DueView) -> Vec<JobBox> {
    let due: Vec<String> = due
        .rows
        .iter()
        .filter(|row| row.renewed)
        .take(2)
        .map(|row| {
            let from = if row.calendar { "today" } else { "now" };
            format!("{} due: {from} + {}\u{a0}{} =", row.title, grouped(&row.add), row.unit)
        })
        .collect();
    match due.as_slice() {
        [] => boxes(&[("Oil and batch", 3), ("Parts fitted", 6), ("Torque tool and its date", 3)]),
        [first] => {
            boxes(&[("Oil and batch", 3), ("Parts fitted", 4), ("Torque tool and its date", 2), (first, 3)])
        }
        [first, second, ..] => boxes(&[
            ("Oil and batch", 2),
            ("Parts fitted", 3),
            ("Torque tool and its date", 2),
            (first, 3),
            (second, 2),
        ]),
    }
}

fn boxes(list: &[(&str, u8)]) -> Vec<JobBox> {
    list.iter().map(|(label, span)| JobBox { label: (*label).to_owned(), span: *span }).collect()
}
