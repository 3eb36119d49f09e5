//! A hang card made from its parts: every number of a fork on one side of a sheet without boxes, as large as there is
//! room for, to hang where the work is done. It is no work order: it has no step and nothing to tick.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::ops::RangeInclusive;
use std::sync::Arc;

use super::cautions::head_caution;
use super::content::hang_codes;
use super::goes::{Goes, PARTS_BY_NUMBER, alike};
use super::joined::join;
use super::lines::{Bench, is_limit};
use super::make::{address, part, rest_of};
use super::number::{Numbers, number, wrench_list, wrenches};
use super::paper::{HangSheet, Measured, Paper, Placed, Worked};
use super::places::{Home, homes, is_still};
use super::qr::{draw, stand_in};
use super::view::{CardCaution, CardLine, HangHazard, HangView};
use super::wall::released_on;
use crate::book::due::due;
use crate::book::figure::machines_line;
use crate::book::links::card_href;
use crate::book::memo::Codes;
use crate::book::parts::{in_line, numbered};
use crate::book::short::sides;
use crate::book::texts::ForkTexts;
use crate::book::{Book, inherited, vouch};
use crate::catalogue::{Field, FieldId, Form, Owner, Role};
use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::plan::{Plan, Planned};
use crate::quantity::{Dimension, Kind};
use crate::record::Tool;
use crate::review::HANG;
use crate::syntax::Scheme;

/// How much larger than on a job card everything may be, in hundredths: the first at which the sheet has room.
const LARGER: [u32; 7] = [140, 130, 122, 115, 110, 105, 100];

/// A size is passed over without a try where the card goes over by more than this at the very least, in mm.
const SLACK: f64 = 0.5;

/// A hang card with how far it goes over the sheet's edge.
#[derive(Debug, Clone)]
pub struct HangCard {
    /// What the template receives.
    pub view: HangView,
    /// Millimetres too many; zero or less when it fits.
    pub over: f64,
}

/// The parts of the card, in their order, with what holds for all of each.
const PARTS: [(&str, &str); 5] = [
    ("Fill and set", ""),
    ("Torques in order", ""),
    ("Seals and bushings", "new parts"),
    ("Settings", ""),
    ("Limits", "worse than the limit: replace, both legs"),
];
const FILL: usize = 0;
const TORQUES: usize = 1;
const SEALS: usize = 2;
const SETTINGS: usize = 3;
const LIMITS: usize = 4;

/// Makes the hang card of a fork.
pub fn hang_card<'s>(book: &Book<'s>, fork: &'s CheckedFork) -> HangCard {
    let mut made = hang_fitted(book, fork);
    draw(&mut made.view.qr_html, &address(book.shop, &card_href(&fork.id, HANG)));
    made
}

/// The hang card without the picture of its address, for which something stands: enough to know whether it fits.
pub fn hang_fitted<'s>(book: &Book<'s>, fork: &'s CheckedFork) -> HangCard {
    laid(book, fork, true)
}

/// `share`: lines that are the same at several sizes and levels are made and measured once, and no size is tried at which
/// the card cannot fit; else all is made anew each time.
pub(super) fn laid<'s>(book: &Book<'s>, fork: &'s CheckedFork, share: bool) -> HangCard {
    let texts = book.texts(fork);
    let work = Work::new(book, &texts, share);
    let made = work.made(Goes::Nothing);
    let mut hung = work.hung(&made);
    let hazards = once(hazards(&made), &hung.lines);
    let blank =
        HangView { hazards, wrenches: wrench_list(book, &work.numbers.wrenches), ..content(book, &texts) };
    let smallest = Paper::hang(100);
    let worked = hung.worked(&[], smallest);
    let mut placed = all_placed(&worked);
    let least = HangSheet::new(&worked, smallest).least(&blank);
    let has_room = |paper: &Paper| !share || least <= paper.high() + SLACK;
    for paper in LARGER.map(Paper::hang).into_iter().filter(has_room) {
        let worked = hung.worked(if share && paper == smallest { &placed } else { &[] }, paper);
        let sheet = HangSheet::new(&worked, paper);
        let over = sheet.over(&blank);
        if over <= 0.0 {
            return HangCard { view: HangView { percent: paper.percent(), ..sheet.filled(blank) }, over };
        }
    }
    let (mut went, mut before) = (Vec::new(), rest(&blank, Goes::Nothing, &[]));
    for goes in Goes::ORDER.into_iter().skip(1) {
        let now = work.hung(&work.made(goes));
        if now != hung {
            went.push(goes);
        }
        let view = rest(&blank, goes, &went);
        // What is as it was goes over as it did.
        if share && now == hung && view == before {
            continue;
        }
        let worked = now.worked(if share { &placed } else { &[] }, smallest);
        let sheet = HangSheet::new(&worked, smallest);
        let over = sheet.over(&view);
        if over <= 0.0 {
            return HangCard { view: sheet.filled(view), over };
        }
        placed = all_placed(&worked);
        (hung, before) = (now, view);
    }
    let worked = hung.worked(if share { &placed } else { &[] }, smallest);
    let sheet = HangSheet::new(&worked, smallest);
    let over = sheet.over(&before);
    HangCard { view: sheet.filled(before), over }
}

/// The lines of all parts.
fn all_placed(worked: &[Worked]) -> Vec<Placed> {
    worked.iter().flat_map(|worked| worked.lines.iter().cloned()).collect()
}

/// Head and foot, as far as they stay.
fn rest(blank: &HangView, goes: Goes, went: &[Goes]) -> HangView {
    let mut view = blank.clone();
    rest_of(goes, (&mut view.not_made, &mut view.numbered), (&view.qr_html, &mut view.address));
    let parts = !blank.numbered.is_empty() && view.numbered.is_empty();
    view.left_out = Goes::said(went, if parts { &[PARTS_BY_NUMBER] } else { &[] });
    view
}

/// All that goes on the card beside its numbers.
fn content<'s>(book: &Book<'s>, texts: &ForkTexts<'s>) -> HangView {
    let (shop, fork) = (book.shop, texts.fork);
    let mut codes = hang_codes(book, fork);
    let released = released_on(book, fork);
    let mut address = address(shop, &card_href(&fork.id, HANG));
    if book.working && released.is_none() {
        // As on a job card: a code says that somebody released it.
        codes = Codes { values: "none".to_owned(), card: "none".to_owned() };
        address.clear();
    }
    let mut parts: Vec<_> = book.plans.of(fork).iter().flat_map(|plan| numbered(shop, fork, plan)).collect();
    parts.sort();
    parts.dedup();
    HangView {
        fork_id: fork.id.clone(),
        fork: fork.record.title(),
        what: "Hang card, not a work order".to_owned(),
        percent: 100,
        machines: machines_line(&fork.record),
        released: released
            .map_or_else(|| "not released;".to_owned(), |day| format!("released {};", whole(day))),
        review: format!("reviewed {}", vouch::on_card(book, fork)),
        values_code: codes.values,
        print_code: codes.card,
        qr_html: stand_in(&address),
        address,
        signs: inherited::on_wall(fork),
        cautions: cautions(book, texts),
        numbered: in_line(&parts),
        due: due_line(book, fork),
        not_made: texts.facts().not_made.clone(),
        ..HangView::default()
    }
}

/// A day that does not break.
fn whole(day: &str) -> String {
    day.replace('-', "\u{2011}")
}

/// When what is due again, in a line.
fn due_line(book: &Book, fork: &CheckedFork) -> String {
    let view = due(book.shop, fork, None);
    let rows = view.rows.chunk_by(|a, b| a.title == b.title);
    let said = rows.filter_map(|rows| {
        let every: Vec<&str> = rows.iter().map(|row| row.every.as_str()).collect();
        Some(format!("{} {}", rows.first()?.title, every.join(" or ")))
    });
    said.collect::<Vec<_>>().join("; ")
}

/// The cautions of all services of the fork that belong at a head, worst first.
fn cautions(book: &Book, texts: &ForkTexts<'_>) -> Vec<CardCaution> {
    let links = book.plans.of(texts.fork).iter().flat_map(Plan::references);
    let named = links.filter(|link| link.scheme == Scheme::Caution);
    let mut here: Vec<_> = named.filter_map(|link| book.shop.caution(&link.target)).collect();
    here.retain(|caution| caution.applies.holds(&texts.fork.choices));
    here.sort_by(|a, b| (a.signal, &a.title).cmp(&(b.signal, &b.title)));
    here.dedup_by_key(|caution| &caution.id.text);
    // What holds for a whole job alone is the job card's.
    let facts = texts.facts();
    here.retain(|caution| facts.short.iter().any(|(id, _)| *id == caution.id.text));
    here.into_iter().filter_map(|caution| head_caution(texts, caution)).collect()
}

/// The lines of a hang card, each with its part, in the order of work.
struct Hung {
    lines: Vec<(usize, Arc<Measured>)>,
}

impl PartialEq for Hung {
    fn eq(&self, other: &Hung) -> bool {
        // Lines that are alike were measured once, as a rule.
        let same = |a: &Arc<Measured>, b: &Arc<Measured>| Arc::ptr_eq(a, b) || a.line() == b.line();
        let mut pairs = self.lines.iter().zip(&other.lines);
        self.lines.len() == other.lines.len()
            && pairs.all(|((part, line), (of, known))| part == of && same(line, known))
    }
}

impl Hung {
    /// The parts with their lines, placed on a paper, as far as they are not among those that were.
    fn worked(&self, placed: &[Placed], paper: Paper) -> Vec<Worked> {
        let place = |line: &Arc<Measured>| {
            let known = placed.iter().find(|known| known.is_of(line));
            known.cloned().unwrap_or_else(|| Placed::new(Arc::clone(line), paper))
        };
        let part = |(n, (part, note)): (usize, &(&'static str, &'static str))| {
            let lines = self.lines.iter().filter(|(of, _)| *of == n);
            let lines: Arc<[Placed]> = lines.map(|(_, line)| place(line)).collect();
            (!lines.is_empty()).then_some(Worked { part, note: (*note).to_owned(), lines, flows: n != FILL })
        };
        PARTS.iter().enumerate().filter_map(part).collect()
    }
}

/// The lines of a procedure on a hang card; of no procedure: what stands in no service.
struct Made {
    /// The values that stood on the sheet already, and the levels of [`Goes::ORDER`] for which the lines are the same.
    told: Vec<FieldId>,
    levels: RangeInclusive<usize>,
    lines: Vec<(usize, Arc<CardLine>)>,
    /// The values that they tell.
    tells: Vec<FieldId>,
    /// The hazards that are met where it has no line, with the part of the job.
    hazards: Option<HangHazard>,
}

/// The lines of one procedure, as often as they differ by what goes.
type MadeLines = Vec<Arc<Made>>;

/// The services of a fork while its hang card is laid out: most of their lines are the same whatever goes, and are made
/// once.
struct Work<'w, 's> {
    book: &'w Book<'s>,
    texts: &'w ForkTexts<'s>,
    services: Vec<(&'w Plan<'s>, HashMap<FieldId, Home>)>,
    numbers: Numbers<'s>,
    /// By service and procedure.
    made: RefCell<HashMap<(usize, usize), MadeLines>>,
    /// Each of their lines measured, with its number.
    measured: RefCell<HashMap<(*const CardLine, usize), Arc<Measured>>>,
    share: bool,
}

impl<'w, 's> Work<'w, 's> {
    fn new(book: &'w Book<'s>, texts: &'w ForkTexts<'s>, share: bool) -> Work<'w, 's> {
        let plans = in_order(book, texts.fork);
        let mut all_wrenches: Vec<&'s Tool> = Vec::new();
        for tool in plans.iter().flat_map(|plan| wrenches(book, texts.fork, plan)) {
            if !all_wrenches.iter().any(|known| known.id.text == tool.id.text) {
                all_wrenches.push(tool);
            }
        }
        let services = plans.into_iter().map(|plan| (plan, homes(book, plan))).collect();
        Work {
            book,
            texts,
            services,
            numbers: Numbers::new(all_wrenches, share),
            made: RefCell::default(),
            measured: RefCell::default(),
            share,
        }
    }

    /// Every procedure of every service with its lines, where so much went.
    fn made(&self, goes: Goes) -> Vec<Arc<Made>> {
        let (mut all, mut told) = (Vec::new(), Vec::new());
        for (n, (plan, homes)) in self.services.iter().enumerate() {
            let bench = Bench {
                book: self.book,
                texts: self.texts,
                homes,
                numbers: &self.numbers,
                first_sag: None,
                goes,
                told: &told,
                titled: false,
            };
            let of_item = |(at, item)| {
                let still = is_still(self.book, item);
                self.known((n, at), (&told, goes), still, || self.of_item(&bench, item, at))
            };
            let now: Vec<Arc<Made>> = plan.items.iter().enumerate().map(of_item).collect();
            told.extend(now.iter().flat_map(|made| &made.tells));
            all.extend(now);
        }
        let others = || (others(self.book, self.texts, (&self.numbers, goes), &told), None);
        all.push(self.known((self.services.len(), 0), (&told, goes), false, others));
        all
    }

    /// What was made of a procedure for a level that answers alike, beside the same values; or made now. One that names
    /// no value has no line at any level: only its hazards are told.
    fn known(
        &self,
        at: (usize, usize),
        (told, goes): (&[FieldId], Goes),
        still: bool,
        make: impl FnOnce() -> (Vec<(usize, CardLine)>, Option<HangHazard>),
    ) -> Arc<Made> {
        let mut made = self.made.borrow_mut();
        let made = made.entry(at).or_default();
        let serves = |known: &&Arc<Made>| {
            self.share && (still || known.levels.contains(&(goes as usize)) && known.told == told)
        };
        if let Some(known) = made.iter().find(serves) {
            return Arc::clone(known);
        }
        let ((lines, hazards), levels) = alike(make);
        let tells = told_by(self.book, &lines);
        let before = |line: &CardLine| {
            let all = made.iter().filter(|_| self.share).flat_map(|made| &made.lines);
            all.map(|(_, known)| known).find(|known| ***known == *line).cloned()
        };
        let kept = |(part, line)| (part, before(&line).unwrap_or_else(|| Arc::new(line)));
        let lines = lines.into_iter().map(kept).collect();
        let now = Arc::new(Made { told: told.to_vec(), levels, lines, tells, hazards });
        made.push(Arc::clone(&now));
        now
    }

    /// The lines of all procedures, each measured once. Torques carry their place in the order of work.
    fn hung(&self, made: &[Arc<Made>]) -> Hung {
        let mut measured = self.measured.borrow_mut();
        let mut torques = 0;
        let one = |(part, line): &(usize, Arc<CardLine>)| {
            torques += usize::from(*part == TORQUES);
            let number = if *part == TORQUES { torques } else { 0 };
            let measure = || {
                let mut line = CardLine::clone(line);
                if number > 0 {
                    line.number = number.to_string();
                }
                Measured::new(line)
            };
            // The line itself is kept as long as this is.
            let known = measured.entry((Arc::as_ptr(line), number)).or_insert_with(measure);
            (*part, Arc::clone(known))
        };
        Hung { lines: made.iter().flat_map(|made| &made.lines).map(one).collect() }
    }

    /// The lines of a procedure; or the hazards that are met there, where it has none.
    fn of_item(
        &self,
        bench: &Bench<'_, 's>,
        item: &Planned<'_>,
        at: usize,
    ) -> (Vec<(usize, CardLine)>, Option<HangHazard>) {
        let mut made = bench.lines(item, at);
        let met = made.first_mut().map(|line| std::mem::take(&mut line.hazards)).unwrap_or_default();
        let mut kept: Vec<CardLine> =
            made.into_iter().filter(says).flat_map(|line| hang(bench, line)).collect();
        let hazards = match kept.first_mut() {
            Some(first) => {
                first.hazards = met;
                None
            }
            None if met.is_empty() => None,
            None => Some(HangHazard { at: part(item.procedure.phase).0.to_owned(), hazards: met }),
        };
        (kept.into_iter().map(|line| (part_of(self.book, &line), line)).collect(), hazards)
    }
}

/// The hazards that are met where there is no line.
fn hazards(made: &[Arc<Made>]) -> Vec<HangHazard> {
    made.iter().filter_map(|made| made.hazards.clone()).collect()
}

/// The services of a fork: the one with most of the work first.
fn in_order<'b, 's>(book: &'b Book<'s>, fork: &CheckedFork) -> Vec<&'b Plan<'s>> {
    let mut plans: Vec<&Plan<'_>> = book.plans.of(fork).iter().collect();
    plans.sort_by_key(|plan| std::cmp::Reverse(plan.items.len()));
    plans
}

/// Whether a line says a value.
fn says(line: &CardLine) -> bool {
    let is_told = !line.state.is_empty() || !line.under.is_empty();
    !line.figures.is_empty() || !line.oils.is_empty() || !line.keys.is_empty() && is_told
}

/// A line without what is written on a job.
fn hang(bench: &Bench<'_, '_>, mut line: CardLine) -> Vec<CardLine> {
    let catalogue = &bench.book.shop.catalogue;
    (line.number, line.boxes, line.ticks, line.more) = Default::default();
    (line.row, line.again) = Default::default();
    match catalogue.find(&line.key) {
        Some(id) => {
            let field = catalogue.field(id);
            line.title.clone_from(&field.short);
            line.state = join(&field.on_wall, &line.state);
            // What is only read on a job measures this when new.
            if let Some(rest) = line.under.strip_prefix("new ").filter(|_| line.figures.is_empty()) {
                line.under = rest.split_once(", ").map_or_else(String::new, |(_, rest)| rest.to_owned());
                number(bench.book, bench.texts, (id, [true; 2]), bench.numbers, bench.goes, &mut line);
                if catalogue.field(id).role == Role::Fitted {
                    line.title.push_str(", new");
                }
            }
            // What stands beside a limit is told without it; nobody is to think that the figure was cut off.
            if is_limit(field) && line.figures.is_empty() {
                line.state = join("not on record", &line.state);
            }
        }
        None if line.figures.is_empty() && line.oils.is_empty() => return one_each(bench, &line),
        None => {}
    }
    vec![line]
}

/// What a line that is only ticked tells of the fork, such as the parts of a stack of seals: a line for each.
fn one_each(bench: &Bench<'_, '_>, line: &CardLine) -> Vec<CardLine> {
    let catalogue = &bench.book.shop.catalogue;
    let of = |key: &str| {
        let id = catalogue.find(key)?;
        let (title, state) = (catalogue.field(id).short.clone(), bench.texts.short(id).to_string());
        (!state.is_empty()).then(|| CardLine { title, state, keys: key.to_owned(), ..CardLine::default() })
    };
    line.keys.split(' ').filter_map(of).collect()
}

/// The fields whose values these lines tell.
fn told_by(book: &Book, lines: &[(usize, CardLine)]) -> Vec<FieldId> {
    let keys = lines.iter().flat_map(|(_, line)| line.keys.split(' '));
    keys.filter_map(|key| book.shop.catalogue.find(key)).collect()
}

/// The part of the card to which a line belongs.
fn part_of(book: &Book, line: &CardLine) -> usize {
    let key = if line.key.is_empty() { line.keys.split(' ').next().unwrap_or_default() } else { &line.key };
    let Some(field) = book.shop.catalogue.find(key).map(|id| book.shop.catalogue.field(id)) else {
        return FILL;
    };
    match field.group.as_str() {
        _ if is_torque(field) => TORQUES,
        _ if field.kind == Kind::Count => FILL,
        _ if line.figures.iter().any(|figure| figure.main.starts_with(['≤', '≥'])) => LIMITS,
        "seals" => SEALS,
        "bushings" if field.form == Form::Target => SEALS,
        "adjusters" | "setup" => SETTINGS,
        "bushings" | "tubes" => LIMITS,
        _ if is_limit(field) => LIMITS,
        _ => FILL,
    }
}

fn is_torque(field: &Field) -> bool {
    field.kind == Kind::Quantity(Dimension::Torque)
}

/// What is set or judged by and stands in no service of the shop.
fn others<'s>(
    book: &Book<'s>,
    texts: &ForkTexts<'s>,
    (numbers, goes): (&Numbers<'_>, Goes),
    told: &[FieldId],
) -> Vec<(usize, CardLine)> {
    let mut told = told.to_vec();
    let mut lines = Vec::new();
    for (id, field) in book.shop.catalogue.of(Owner::Fork) {
        let is_number = matches!(field.kind, Kind::Quantity(_) | Kind::Count);
        let is_meant = is_number && (field.role == Role::Set || is_limit(field));
        if !is_meant || told.contains(&id) || sides(texts.fork, id).is_empty() {
            continue;
        }
        let mut line = CardLine {
            title: field.short.clone(),
            state: field.on_wall.clone(),
            key: field.key.clone(),
            keys: field.key.clone(),
            ..CardLine::default()
        };
        number(book, texts, (id, [true; 2]), numbers, goes, &mut line);
        if line.figures.is_empty() {
            continue;
        }
        for other in super::number::beside(book, id) {
            line.keys = format!("{} {}", line.keys, book.shop.catalogue.field(*other).key);
            told.push(*other);
        }
        lines.push((part_of(book, &line), line));
    }
    lines
}

/// Each hazard word once, in the part of the job where it is first met, apart from those that stand at numbers.
fn once(hazards: Vec<HangHazard>, lines: &[(usize, Arc<Measured>)]) -> Vec<HangHazard> {
    let at_numbers = lines.iter().flat_map(|(_, line)| &line.line().hazards);
    let mut seen: BTreeSet<String> = at_numbers.map(|hazard| hazard.word.clone()).collect();
    let mut out: Vec<HangHazard> = Vec::new();
    for mut one in hazards {
        one.hazards.retain(|hazard| seen.insert(hazard.word.clone()));
        match out.iter_mut().find(|known| known.at == one.at) {
            Some(known) => known.hazards.extend(one.hazards),
            None if !one.hazards.is_empty() => out.push(one),
            None => {}
        }
    }
    out
}

/// The finding of a hang card that does not fit on its side.
pub fn hang_overflow(fork: &CheckedFork, made: &HangCard) -> Option<Finding> {
    if made.over <= 0.0 {
        return None;
    }
    let what = format!("the hang card of `{}` is {:.0} mm too long for its side", fork.id, made.over.ceil());
    let mut finding = rules::CARD_OVERFLOW
        .at(fork.record.id.span, what)
        .bench("its last numbers would be cut off, and nobody on the floor would know")
        .instead("shorten states, notes and the words beside its values");
    finding.reaches = vec![fork.id.clone()];
    Some(finding)
}

#[cfg(test)]
mod tests {
    use super::LARGER;

    #[test]
    fn the_style_sheet_has_every_size_of_a_hang_card() {
        const STYLE: &str = include_str!("../../templates/card.css");
        for percent in LARGER {
            let share = f64::from(percent) / 100.0;
            let rule = format!(".card.hang.z{percent} .leaf {{ width: calc(var(--sheet-width) / {share});");
            assert!(STYLE.contains(&rule), "{rule}");
            assert!(STYLE.contains(&format!("zoom: {share}; }}")), "{share}");
        }
    }
}
