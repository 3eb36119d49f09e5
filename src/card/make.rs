//! A job card made from its parts: the lines of its procedures, laid out on both sides, with as much beside its numbers
//! as the sheet has room for.

use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::RangeInclusive;
use std::sync::Arc;

use super::cautions::head_cautions;
use super::content::codes_of;
use super::goes::{Goes, alike};
use super::lines::Bench;
use super::number::{Numbers, letters_of, wrench_list, wrenches};
use super::paper::{Level, Levels, Measured, Paper, Placed, Worked, lay_out};
use super::places::{Home, asked, first_sag, homes, is_still};
use super::qr::{draw, stand_in};
use super::unnamed::unnamed;
use super::view::{CardLine, CardPicture, CardView, JobBox};
use crate::book::doubt::IN_DOUBT;
use crate::book::due::due;
use crate::book::figure::{grouped, machines_line};
use crate::book::gaps::GAP;
use crate::book::links::service_href;
use crate::book::memo::Codes;
use crate::book::parts::{in_line, numbered};
use crate::book::reading::is_amount;
use crate::book::texts::ForkTexts;
use crate::book::view::{DueRow, DueView};
use crate::book::{Book, build, inherited, pictures, text_review, vouch};
use crate::catalogue::FieldId;
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::{Plan, Planned};
use crate::record::Phase;
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
    fn fits(&self) -> bool {
        self.front_over <= 0.0 && self.back_over <= 0.0
    }
}

/// Makes the card of a fork and the service in this place among its own.
pub fn card<'s>(book: &Book<'s>, fork: &'s CheckedFork, n: usize) -> Card {
    let mut made = fitted(book, fork, n);
    let page = service_href(&fork.id, &book.plans.of(fork)[n].service.id.text);
    draw(&mut made.view.qr_html, &address(book.shop, &page));
    made
}

/// The card without the picture of its address, for which something stands: enough to know whether it fits.
pub fn fitted<'s>(book: &Book<'s>, fork: &'s CheckedFork, n: usize) -> Card {
    laid(book, fork, n, true)
}

/// `share`: lines that are the same for several levels and marks are made once; else all are made anew each time.
pub(super) fn laid<'s>(book: &Book<'s>, fork: &'s CheckedFork, n: usize, share: bool) -> Card {
    let plan = &book.plans.of(fork)[n];
    let texts = book.texts(fork);
    let blank = content(book, &texts, plan, n);
    let homes = homes(book, plan);
    let wrenches = wrenches(book, fork, plan);
    let blank = CardView {
        parts: parts_boxes(&due(book.shop, fork, Some(&plan.renewed())), &letters_of(book, &wrenches)),
        ..blank
    };
    let work = Work {
        book,
        texts: &texts,
        plan,
        homes: &homes,
        numbers: Numbers::new(wrenches, share),
        first_sag: first_sag(book, plan),
        made: plan.items.iter().map(|_| RefCell::default()).collect(),
        share,
    };
    let made = fit_on(&work, &blank, Marks::All);
    let lines: Vec<&CardLine> = made.view.lines().collect();
    let is_marked = lines.iter().any(|line| !line.mark.is_empty());
    let in_doubt = lines.iter().any(|line| line.doubt);
    if made.fits() || !is_marked && !in_doubt {
        return made;
    }
    // Where the marks do not fit beside the numbers, the head names each number that they belong to: none is dropped.
    // A doubt keeps its mark at the number as long as it can.
    let mut marked = blank;
    for mark in ["UNREVIEWED", "CHANGED"] {
        name_at_head(&mut marked, mark, lines.iter().filter(|line| line.mark == mark));
    }
    let fitted = fit_on(&work, &marked, Marks::Doubt);
    if fitted.fits() || !in_doubt {
        return fitted;
    }
    name_at_head(&mut marked, IN_DOUBT, lines.iter().filter(|line| line.doubt));
    fit_on(&work, &marked, Marks::None)
}

/// Names at the head what carries a mark.
fn name_at_head<'l>(view: &mut CardView, mark: &str, lines: impl Iterator<Item = &'l &'l CardLine>) {
    let mut names: Vec<&str> = lines.map(|line| line.title.as_str()).collect();
    names.dedup();
    if !names.is_empty() {
        view.review = format!("{mark}: {}. {}", names.join(", "), view.review);
    }
}

/// Which marks stand beside their numbers; the others' numbers are named at the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Marks {
    /// All.
    All,
    /// That a number is in doubt.
    Doubt,
    /// None.
    None,
}

/// All that goes on the card beside its lines.
pub(super) fn content<'s>(book: &Book<'s>, texts: &ForkTexts<'s>, plan: &Plan<'_>, n: usize) -> CardView {
    let (shop, fork) = (book.shop, texts.fork);
    let mut address = address(shop, &service_href(&fork.id, &plan.service.id.text));
    let mut codes = codes_of(book, fork)[n].clone();
    if book.working && !shop.released.cards.iter().any(|released| released.card.text == codes.card) {
        // A code says that somebody released the card. The page it would lead to tells of another one.
        codes = Codes { values: "none".to_owned(), card: "none".to_owned() };
        address.clear();
    }
    CardView {
        fork_id: fork.id.clone(),
        fork: fork.record.title(),
        service: plan.service.title.clone(),
        length: crate::words::count(plan.steps().count(), "step", "steps"),
        machines: machines_line(&fork.record),
        review: format!("{}{}", vouch::on_card(book, fork), text_review::on_card(book, fork, plan)),
        values_code: codes.values,
        print_code: codes.card,
        qr_html: stand_in(&address),
        address,
        signs: [build::on_card(shop, fork), inherited::on_card(fork), unnamed(book, fork)]
            .into_iter()
            .filter(|said| !said.is_empty())
            .collect::<Vec<_>>()
            .join(" "),
        job: vec![
            boxed("Job no.", 4),
            boxed("Frame no.", 8),
            boxed("Model year", 3),
            boxed("km / hours", 5),
            boxed("Date in", 4),
            boxed("Rider, mass in gear, use", 6),
            boxed("Complaint, in the rider’s words", 18),
        ],
        findings: boxes(&[
            ("Oil as it came out: color, smell, metal, water", 6),
            ("What was worn or replaced", 6),
        ]),
        cautions: head_cautions(book, texts, plan),
        numbered: in_line(&numbered(shop, fork, plan)),
        not_made: texts.facts().not_made.clone(),
        pictures: pictures::on_card(shop, plan, fork).into_iter().map(picture).collect(),
        sign: boxes(&[("Done by", 3), ("Date", 2), ("Checked by (every number read back)", 5), ("Date", 2)]),
        ..CardView::default()
    }
}

/// A picture; before its file a gap for the way from the page to the site's top folder, which each page fills.
fn picture(shown: pictures::PictureView) -> CardPicture {
    let pictures::PictureView { src, words, width, height } = shown;
    CardPicture { src: format!("{GAP}{src}"), words, width, height }
}

/// A page's whole address; empty where the shop gives none.
pub(super) fn address(shop: &Shop, page: &str) -> String {
    let site = shop.settings.site.as_ref().map(|text| text.text.trim_end_matches('/')).unwrap_or_default();
    if site.is_empty() { String::new() } else { format!("{site}/{page}") }
}

/// The part of the job that a phase belongs to, and what holds for all of it.
pub(super) fn part(phase: Option<Phase>) -> (&'static str, &'static str) {
    match phase {
        None => ("Work", ""),
        Some(Phase::Intake) => {
            ("Intake", "as found, before anything is turned; L and R as seen from the saddle")
        }
        Some(Phase::Strip) => ("Strip", "▲ read the caution on the service page first"),
        Some(Phase::Inspect) => ("Measure", "worse than the limit: replace, both legs"),
        Some(Phase::Rebuild | Phase::Fill | Phase::Set) => ("Build, fill and set", ""),
        Some(Phase::Check | Phase::HandBack) => ("Refit and check", ""),
    }
}

/// Every line of a card with nothing left out, in the order of work.
pub(super) fn all_lines<'s>(book: &Book<'s>, texts: &ForkTexts<'s>, plan: &Plan<'_>) -> Vec<CardLine> {
    let homes = homes(book, plan);
    let numbers = Numbers::new(wrenches(book, texts.fork, plan), true);
    let bench = Bench {
        book,
        texts,
        homes: &homes,
        numbers: &numbers,
        first_sag: first_sag(book, plan),
        goes: Goes::Nothing,
        told: &[],
        titled: true,
    };
    plan.items.iter().enumerate().flat_map(|(at, item)| bench.lines(item, at)).collect()
}

/// The lines of a procedure, and the levels for which they are the same; with the marks that were asked for so far.
struct Lines {
    levels: RangeInclusive<usize>,
    made: Vec<Arc<Measured>>,
    placed: Vec<(Marks, Arc<[Placed]>)>,
}

/// The lines of a procedure that names no value of the fork, each with the levels for which they are the same.
type Still = Vec<(RangeInclusive<usize>, Arc<[Placed]>)>;

/// The procedures of a card while it is laid out: most of their lines are the same whatever goes, and are made once.
struct Work<'w, 's> {
    book: &'w Book<'s>,
    texts: &'w ForkTexts<'s>,
    plan: &'w Plan<'s>,
    homes: &'w HashMap<FieldId, Home>,
    numbers: Numbers<'s>,
    first_sag: Option<usize>,
    made: Vec<RefCell<Vec<Lines>>>,
    share: bool,
}

impl Work<'_, '_> {
    /// The lines of the procedure at this place, where so much went.
    fn lines(&self, at: usize, item: &Planned<'_>, level: usize, marks: Marks) -> Arc<[Placed]> {
        if let Some(lines) = self.still(at, item, level) {
            return lines;
        }
        let mut all = self.made[at].borrow_mut();
        if !self.share {
            all.clear();
        }
        let known = all.iter().position(|lines| lines.levels.contains(&level)).unwrap_or_else(|| {
            all.push(self.made_now(at, item, Goes::ORDER[level]));
            all.len() - 1
        });
        let Lines { made, placed, .. } = &mut all[known];
        if let Some((_, lines)) = placed.iter().find(|(known, _)| *known == marks) {
            return Arc::clone(lines);
        }
        // A line without a mark that goes is the very same.
        let first = placed.first().map(|(_, lines)| Arc::clone(lines));
        let place = |(n, line): (usize, &Arc<Measured>)| {
            let with = marked(line, marks);
            let same = first.as_ref().and_then(|first| first.get(n)).filter(|first| first.is_of(&with));
            same.cloned().unwrap_or_else(|| Placed::new(with, Paper::JOB))
        };
        let lines: Arc<[Placed]> = made.iter().enumerate().map(place).collect();
        placed.push((marks, Arc::clone(&lines)));
        lines
    }

    /// The lines of a procedure that names no value of the fork: forks of one kind share them, and they carry no mark.
    fn still(&self, at: usize, item: &Planned<'_>, level: usize) -> Option<Arc<[Placed]>> {
        if !self.share || !is_still(self.book, item) {
            return None;
        }
        let kind = self.book.plans.kind(self.texts.fork)?;
        let made = self.book.memo.still.or_make((kind, self.plan.service.into(), at), || {
            let mut all = Still::new();
            for goes in Goes::ORDER {
                if !all.iter().any(|(levels, _)| levels.contains(&(goes as usize))) {
                    let Lines { levels, made, .. } = self.made_now(at, item, goes);
                    all.push((levels, made.into_iter().map(|line| Placed::new(line, Paper::JOB)).collect()));
                }
            }
            Arc::new(all)
        });
        let all = made.downcast_ref::<Still>()?;
        all.iter().find(|(levels, _)| levels.contains(&level)).map(|(_, lines)| Arc::clone(lines))
    }

    fn made_now(&self, at: usize, item: &Planned<'_>, goes: Goes) -> Lines {
        let Work { book, texts, homes, numbers, first_sag, .. } = self;
        let bench =
            Bench { book, texts, homes, numbers, first_sag: *first_sag, goes, told: &[], titled: true };
        let (lines, levels) = alike(|| bench.lines(item, at));
        Lines { levels, made: lines.into_iter().map(Measured::new).collect(), placed: Vec::new() }
    }
}

/// Lays the card out, with as little left out as can be.
fn fit_on(work: &Work<'_, '_>, blank: &CardView, marks: Marks) -> Card {
    let list = wrench_list(work.book, &work.numbers.wrenches);
    let level = |n: usize| {
        let worked = |(at, item): (usize, &Planned<'_>)| {
            let (part, note) = part(item.procedure.phase);
            let note = if note.is_empty() { list.clone() } else { note.to_owned() };
            Worked { part, note, lines: work.lines(at, item, n, marks), flows: false }
        };
        let items = work.plan.items.iter().enumerate();
        Level::new(rest(blank, Goes::ORDER[n]), items.map(worked).collect())
    };
    let levels = Levels::new(Goes::ORDER.len(), level);
    let said = |went: &[usize], beside: &[&'static str]| {
        Goes::said(&went.iter().map(|n| Goes::ORDER[*n]).collect::<Vec<_>>(), beside)
    };
    let (laid, view) = lay_out(&levels, turns(work.book, work.plan), said);
    Card { view, front_over: laid.over[0], back_over: laid.over[1] }
}

/// A line with the marks that stand beside numbers.
fn marked(line: &Arc<Measured>, marks: Marks) -> Arc<Measured> {
    let (no_mark, no_doubt) = (marks != Marks::All, marks == Marks::None);
    let said = line.line();
    if !(no_mark && !said.mark.is_empty() || no_doubt && said.doubt) {
        return Arc::clone(line);
    }
    let mut said = said.clone();
    if no_mark {
        said.mark.clear();
    }
    said.doubt &= !no_doubt;
    Measured::new(said)
}

/// Head and foot, as far as they stay.
fn rest(blank: &CardView, goes: Goes) -> CardView {
    let mut view = blank.clone();
    rest_of(goes, (&mut view.not_made, &mut view.numbered), (&view.qr_html, &mut view.address));
    // Room for the names of all that may have gone.
    let all: Vec<Goes> = Goes::ORDER.into_iter().filter(|one| *one <= goes).collect();
    if !goes.keeps(Goes::Pictures) {
        view.pictures.clear();
    }
    view.left_out = Goes::said(&all, &[]);
    view.front_left_out = Goes::said(&all, &view.went_beside(blank));
    view
}

/// The lines at head and foot of a card, as far as they stay.
pub(super) fn rest_of(
    goes: Goes,
    (not_made, numbered): (&mut Vec<String>, &mut String),
    (qr_html, address): (&str, &mut String),
) {
    if !goes.keeps(Goes::Reasons) && !not_made.is_empty() {
        *not_made = vec!["which and why is on the service page.".to_owned()];
    }
    if !goes.keeps(Goes::Notes) {
        numbered.clear();
    }
    if !goes.keeps(Goes::Reasons) && !qr_html.is_empty() {
        address.clear();
    }
}

/// Where the sheet may be turned: after measuring, as late as before the first oil is poured or a number is set; where
/// both sides have no room so, later, as long as nothing is refitted; else earlier, while parts are measured.
fn turns(book: &Book, plan: &Plan<'_>) -> [Vec<usize>; 3] {
    let measured = plan.items.iter().rposition(|item| item.procedure.phase <= Some(Phase::Inspect));
    let first = measured.map_or(0, |at| at + 1);
    let sets = |item: &Planned<'_>| {
        item.procedure.phase >= Some(Phase::Set)
            || asked(book, item).iter().any(|asked| is_amount(book.shop.catalogue.field(asked.id)))
    };
    let from = |is: &dyn Fn(&Planned<'_>) -> bool| {
        plan.items.iter().skip(first).position(is).map_or(plan.items.len(), |at| first + at)
    };
    let (last, latest) = (from(&sets), from(&|item| item.procedure.phase >= Some(Phase::Check)));
    let stripped = plan.items.iter().rposition(|item| item.procedure.phase <= Some(Phase::Strip));
    let earliest = stripped.map_or(0, |at| at + 1).min(first);
    [(first..=last).rev().collect(), (last + 1..=latest).collect(), (earliest..first).rev().collect()]
}

/// The finding of a card that does not fit on its sheet.
pub fn overflow(book: &Book, fork: &CheckedFork, n: usize, made: &Card) -> Option<Finding> {
    let service = book.plans.of(fork)[n].service;
    let (side, over) = if made.front_over > 0.0 {
        ("front", made.front_over)
    } else if made.back_over > 0.0 {
        ("back", made.back_over)
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
        .instead("split the service in two, or shorten states, notes and the titles of its procedures");
    finding.reaches = vec![fork.id.clone()];
    Some(finding)
}

/// With which wrenches it was tightened, one box for each; and when what was renewed is due again: the reading and the
/// interval to be added.
fn parts_boxes(due: &DueView, wrenches: &[String]) -> Vec<JobBox> {
    let rows: Vec<&DueRow> = due.rows.iter().filter(|row| row.renewed).take(SPANS.len()).collect();
    let spans: &[u8] = rows.len().checked_sub(1).map_or(&[], |n| SPANS[n]);
    let label = |row: &DueRow| {
        let from = if row.calendar { "today" } else { "now" };
        // Three have no room for their whole names.
        let name = if rows.len() < SPANS.len() { &row.title } else { &row.short };
        format!("{name} due: {from} + {}\u{a0}{} =", grouped(&row.add), row.unit)
    };
    let due: Vec<JobBox> = rows.iter().zip(spans).map(|(row, span)| boxed(&label(row), *span)).collect();
    let room = ROW - due.iter().map(|one| one.span).sum::<u8>();
    shared(wrenches, room).into_iter().chain(due).collect()
}

/// How many parts of a row the boxes of one, two and three intervals take.
const SPANS: [&[u8]; 3] = [&[8], &[7, 6], &[5, 5, 6]];

/// How many parts a row of boxes has.
const ROW: u8 = 24;

/// The least parts of a row that a number can be written in.
const LEAST: u8 = 2;

/// Boxes for the wrenches, as wide as the room allows; one for all where no wrench is on record or there are too many.
fn shared(wrenches: &[String], room: u8) -> Vec<JobBox> {
    let count = u8::try_from(wrenches.len()).unwrap_or(u8::MAX);
    if count == 0 || room / count < LEAST {
        return vec![boxed("Torque wrenches no., calibrated", room)];
    }
    let (each, over) = (room / count, room % count);
    let span = |n: usize| if n < usize::from(over) { each + 1 } else { each };
    wrenches.iter().enumerate().map(|(n, letter)| boxed(&wrench_label(letter, each), span(n))).collect()
}

/// What stands in the box of a wrench where the least has so many parts: as much as one line has room for.
fn wrench_label(letter: &str, span: u8) -> String {
    let of = if span < 3 { "" } else { "wrench\u{a0}" };
    format!("{of}{letter}\u{a0}no.")
}

fn boxed(label: &str, span: u8) -> JobBox {
    JobBox { label: label.to_owned(), span }
}

/// Boxes by their names, with the twelfths of a row that each takes.
fn boxes(list: &[(&str, u8)]) -> Vec<JobBox> {
    list.iter().map(|(label, twelfths)| boxed(label, 2 * twelfths)).collect()
}
