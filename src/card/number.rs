//! A number on a line: its figures, the state it belongs to, its limits, and what else is said under it.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use foldhash::fast::RandomState;

use super::frame::FrameParts;
use super::goes::Goes;
use super::joined::{join, joined};
use super::places::asked;
use super::view::{CardLine, CardValue};
use crate::book::facts::weighs;
use crate::book::figure::{attribute_text, instead_of_figure, state, value_text};
use crate::book::short::sides;
use crate::book::sign::{SIGN, signed};
use crate::book::texts::ForkTexts;
use crate::book::view::CardFigure;
use crate::book::{Book, build, vouch};
use crate::catalogue::{Catalogue, Field, FieldId, Per, key};
use crate::check::CheckedFork;
use crate::date::Date;
use crate::judge::{ran_out, smallest_first, wrenches_for};
use crate::plan::Plan;
use crate::quantity::{Dimension, Kind, Quantity, Value};
use crate::record::Tool;
use crate::resolve::{Resolved, ResolvedFork, Shop};
use crate::words::{capital, lower};

/// The value on the legs on which a procedure is done, once where both say the same.
pub(super) fn sides_on(
    fork: &CheckedFork,
    (id, per_leg): (FieldId, bool),
    legs: [bool; 2],
) -> Vec<(&'static str, &Resolved)> {
    let away = |side: &str| matches!((side, legs), ("L", [false, _]) | ("R", [_, false]));
    let here = sides(fork, id).into_iter().filter(|(side, _)| !away(side));
    // Where the work is on one leg alone, what both legs have is said of that one.
    let of_one = match (legs, per_leg) {
        ([true, false], true) => "L",
        ([false, true], true) => "R",
        _ => "",
    };
    here.map(|(side, value)| if side.is_empty() { (of_one, value) } else { (side, value) }).collect()
}

/// A number as a line has it.
struct Number {
    figures: Vec<CardValue>,
    /// It is no number to be read from afar.
    quiet: bool,
    estimate: bool,
    mark: &'static str,
    doubt: bool,
    sign: &'static str,
    /// What is done instead of a figure that no sheet gives; a sentence.
    instead: String,
    said: String,
    /// The figures in another unit.
    second: String,
    under: String,
    /// The same with the notes; none where there is nothing to note.
    noted: Option<String>,
}

/// Of a number: its field and the legs.
type NumberKey = (FieldId, [bool; 2]);

/// The numbers of a fork beside the same wrenches, each made once for all levels and lines on which it stands.
pub(super) struct Numbers<'s> {
    /// The wrenches, the smallest first.
    pub wrenches: Vec<&'s Tool>,
    made: RefCell<HashMap<NumberKey, Option<Rc<Number>>, RandomState>>,
    frames: RefCell<HashMap<NumberKey, Rc<FrameParts>, RandomState>>,
    share: bool,
}

impl<'s> Numbers<'s> {
    /// None is made yet. `share`: each is made once; else anew each time.
    pub fn new(wrenches: Vec<&'s Tool>, share: bool) -> Self {
        Numbers { wrenches, made: RefCell::default(), frames: RefCell::default(), share }
    }

    fn of(&self, book: &Book, texts: &ForkTexts<'_>, key: NumberKey) -> Option<Rc<Number>> {
        if let Some(known) = self.made.borrow().get(&key).filter(|_| self.share) {
            return known.clone();
        }
        let made = number_of(book, texts, key, &self.wrenches).map(Rc::new);
        self.made.borrow_mut().insert(key, made.clone());
        made
    }

    /// What can stand in the frame of a number; on the hang card its drawing is low.
    pub fn frame(&self, shop: &Shop, fork: &CheckedFork, key: NumberKey, low: bool) -> Rc<FrameParts> {
        if let Some(known) = self.frames.borrow().get(&key).filter(|_| self.share) {
            return Rc::clone(known);
        }
        let made = Rc::new(FrameParts::of(shop, fork, key, low));
        self.frames.borrow_mut().insert(key, Rc::clone(&made));
        made
    }
}

/// Puts the number of a field on its line, with all that belongs to it.
pub(super) fn number(
    book: &Book,
    texts: &ForkTexts<'_>,
    key: (FieldId, [bool; 2]),
    numbers: &Numbers<'_>,
    goes: Goes,
    line: &mut CardLine,
) {
    let Some(number) = numbers.of(book, texts, key) else { return };
    line.figures.clone_from(&number.figures);
    line.quiet |= number.quiet;
    line.estimate = number.estimate;
    number.mark.clone_into(&mut line.mark);
    line.doubt = number.doubt;
    number.sign.clone_into(&mut line.sign);
    if !number.instead.is_empty() {
        line.state.clone_from(&number.instead);
    }
    line.state = if line.state.ends_with('.') {
        format!("{} {}", line.state, number.said)
    } else {
        join(&line.state, &number.said)
    };
    // What is not there is not asked for: the line is the same with and without.
    if !number.second.is_empty() && goes.keeps(Goes::SecondUnits) {
        // The second unit is the figure's own: it stands before any other figure of the small print.
        line.under = join(&number.second, &line.under);
    }
    let noted = number.noted.as_ref().filter(|_| goes.keeps(Goes::Notes));
    line.under = join(&line.under, noted.unwrap_or(&number.under));
}

fn number_of(
    book: &Book,
    texts: &ForkTexts<'_>,
    (id, legs): NumberKey,
    wrenches: &[&Tool],
) -> Option<Number> {
    let (shop, fork) = (book.shop, texts.fork);
    let field = shop.catalogue.field(id);
    let here = sides_on(fork, (id, field.per == Per::Leg), legs);
    let (_, first) = here.first()?;
    let entry = &first.entry;
    let shown: Vec<CardFigure> =
        here.iter().map(|(side, value)| texts.card_figure(id, side, value)).collect();
    let mut figures: Vec<CardValue> = shown.iter().map(value).collect();
    let is_count = field.kind == Kind::Count;
    if is_count {
        // Strokes have no unit: they are called by their name.
        figures.iter_mut().for_each(|figure| figure.tail = lower(&field.short));
    }
    let estimate = here.iter().any(|(_, value)| value.is_estimate());
    // A sentence of its own, and not one of a list.
    let instead =
        first.is_unknown().then(|| format!("{}.", capital(&instead_of_figure(first)).trim_end_matches('.')));
    let said = vec![
        build::beside(shop, fork, id),
        faces(book, fork, id).unwrap_or_else(|| state(entry)),
        attribute_text(entry, "thread_state"),
        pinched(fork, id),
    ];
    let mut second: Vec<String> = shown.iter().map(|figure| figure.second.clone()).collect();
    second.dedup();
    let mut before: Vec<String> = ["counted", "first_click"].map(|key| attribute_text(entry, key)).into();
    before.extend(limits(book, texts, id));
    let under = |notes: bool| {
        let mut under = before.clone();
        under.extend(fastener(book, (entry, field), first.quantity(), wrenches, notes));
        if notes {
            under.extend(entry.note.clone());
            under.push(weighs(shop, fork, id));
        }
        joined(under)
    };
    let (plain, noted) = (under(false), under(true));
    Some(Number {
        figures,
        // It is no number: a word as large as one takes the room of what is done instead.
        quiet: is_count || instead.is_some(),
        estimate,
        mark: vouch::card_mark(book, fork, field, estimate),
        doubt: texts.in_doubt(id) || beside(book, id).iter().any(|told| texts.in_doubt(*told)),
        sign: if fork.is_uncompared(id) { SIGN } else { "" },
        instead: instead.unwrap_or_default(),
        said: joined(said),
        second: joined(second),
        noted: Some(noted).filter(|noted| *noted != plain),
        under: plain,
    })
}

/// The leg at whose lug these pinch bolts are.
fn pinched(fork: &ResolvedFork, id: FieldId) -> String {
    match side_of(id).and_then(|side| fork.any(side)).and_then(Resolved::value) {
        Some(Value::Choice(side)) => format!("{side} leg"),
        _ => String::new(),
    }
}

/// The field that says at which lug these pinch bolts are.
fn side_of(id: FieldId) -> Option<FieldId> {
    let sides = [
        (key::TORQUE_AXLE_PINCH_FIRST, key::SETUP_PINCH_FIRST),
        (key::TORQUE_AXLE_PINCH, key::SETUP_PINCH_LAST),
    ];
    sides.iter().find(|(bolts, _)| bolts.id() == id).map(|(_, side)| side.id())
}

/// A figure with its unit apart.
fn value(figure: &CardFigure) -> CardValue {
    let apart = figure
        .main
        .rsplit_once('\u{a0}')
        .filter(|(number, _)| number.contains(|one: char| one.is_ascii_digit()));
    let (main, unit) = apart.unwrap_or((&figure.main, ""));
    let tail = if figure.tolerance.is_empty() { unit } else { &figure.tolerance };
    CardValue { side: figure.side.clone(), main: main.to_owned(), tail: tail.to_owned() }
}

/// The limits that belong to a number: how far the legs may differ, its tuning range, its greatest value.
fn limits(book: &Book, texts: &ForkTexts<'_>, id: FieldId) -> Vec<String> {
    let catalogue = &book.shop.catalogue;
    let relations = catalogue.relations();
    let difference = catalogue.field(id).difference.as_ref().and_then(|key| catalogue.find(key));
    let whole = relations.whole_ranges().iter().find(|(of, _)| *of == id).map(|(_, range)| *range);
    let parts = [
        ("L and R differ", difference),
        ("never over", relations.limit_of(id)),
        ("tuned", relations.range_of(id)),
        ("in all", whole),
    ];
    let named = parts.into_iter().filter_map(|(words, told)| Some((words.to_owned(), told?)));
    let shares = relations.shares_of(id).map(|share| (lower(&catalogue.field(share).short), share));
    let said = named.chain(shares).filter_map(|(words, told)| {
        let text = of_one_leg(texts, id, told);
        let text =
            if words == "never over" { text.replace("≤\u{a0}", "").replace("≤ ", "") } else { text };
        (!text.is_empty()).then(|| format!("{words}\u{a0}{text}"))
    });
    said.collect()
}

/// What is told with a number of one leg alone: the number says the leg already.
fn of_one_leg(texts: &ForkTexts<'_>, number: FieldId, told: FieldId) -> String {
    let text = texts.short(told);
    match (sides(texts.fork, number).as_slice(), sides(texts.fork, told).as_slice()) {
        ([(leg, _)], [(same, _)]) if leg == same && !leg.is_empty() => {
            text.strip_prefix(*leg).map_or(&**text, str::trim_start).to_owned()
        }
        _ => text.to_string(),
    }
}

/// The fields whose values stand beside the number of this one.
pub(super) fn beside<'b>(book: &'b Book, id: FieldId) -> &'b [FieldId] {
    &both_ways(book)[0][usize::from(id.0)]
}

/// The other fields beside whose number the value of this one stands.
pub(super) fn told_with<'b>(book: &'b Book, id: FieldId) -> &'b [FieldId] {
    &both_ways(book)[1][usize::from(id.0)]
}

fn both_ways<'b>(book: &'b Book) -> &'b [Vec<Vec<FieldId>>; 2] {
    book.memo.beside.get_or_init(|| {
        let catalogue = &book.shop.catalogue;
        let beside: Vec<Vec<FieldId>> =
            catalogue.iter().map(|(id, _)| stands_beside(catalogue, id)).collect();
        let with = |id: FieldId| {
            let others = catalogue.iter().map(|(other, _)| other).filter(|other| *other != id);
            others.filter(|other| beside[usize::from(other.0)].contains(&id)).collect()
        };
        let with = catalogue.iter().map(|(id, _)| with(id)).collect();
        [beside, with]
    })
}

fn stands_beside(catalogue: &Catalogue, id: FieldId) -> Vec<FieldId> {
    let relations = catalogue.relations();
    let difference = catalogue.field(id).difference.as_ref().and_then(|key| catalogue.find(key));
    let whole = relations.whole_ranges().iter().find(|(of, _)| *of == id).map(|(_, range)| *range);
    let single = [difference, relations.limit_of(id), relations.range_of(id), whole, side_of(id)];
    let shares = relations.shares_of(id);
    single.into_iter().flatten().chain(relations.faces(id).into_iter().flatten()).chain(shares).collect()
}

/// Thread, class, what it is screwed into, whether it is new each time, and which wrench reads it.
fn fastener(
    book: &Book,
    (entry, field): (&crate::record::Entry, &Field),
    torque: Option<&Quantity>,
    wrenches: &[&Tool],
    notes: bool,
) -> Vec<String> {
    if field.kind != Kind::Quantity(Dimension::Torque) {
        return Vec::new();
    }
    let class = attribute_text(entry, "property_class");
    let class =
        if class.is_empty() || class.starts_with("class") { class } else { format!("class\u{a0}{class}") };
    let into = if notes { attribute_text(entry, "into") } else { String::new() };
    let new = attribute_text(entry, "single_use").starts_with("new");
    let thread = attribute_text(entry, "thread");
    // The size tells the bolt; its pitch is on the page as well.
    let size = thread.split(['\u{a0}', ' ', '×']).next().unwrap_or_default();
    let mut out = vec![if notes { thread.clone() } else { size.to_owned() }, class];
    out.push(if into.is_empty() { into } else { format!("into {into}") });
    out.push(if new { "NEW each time".to_owned() } else { String::new() });
    out.extend(torque.and_then(|torque| wrench(book, torque, wrenches)));
    out
}

/// Which of the wrenches reads a torque well, by its letter; where it is out of calibration and no other reads it, `OUT`:
/// since when stands with what the letters mean.
fn wrench(book: &Book, torque: &Quantity, wrenches: &[&Tool]) -> Option<String> {
    let day = book.last_release();
    let fit = chosen(torque, wrenches, day)?;
    let over = if ran_out(fit, day).is_some() { "\u{a0}OUT" } else { "" };
    Some(format!("wrench\u{a0}{}{over}", letter(book, fit)))
}

/// The letter of a wrench, the same on every card of the shop: two cards that hang side by side mean the same wrench.
fn letter(book: &Book, wrench: &Tool) -> char {
    let all = book.memo.wrenches.get_or_init(|| {
        let mut all: Vec<&Tool> = book.shop.tools.iter().filter(|tool| tool.torques.is_some()).collect();
        smallest_first(&mut all);
        all.into_iter().map(|tool| tool.id.text.as_str()).collect()
    });
    let n = all.iter().position(|id| *id == wrench.id.text).unwrap_or(usize::MAX);
    u8::try_from(n).map_or('?', |n| char::from(b'A'.saturating_add(n)))
}

/// The wrenches that a service lists and that one of its torques falls to, the smallest first.
pub(super) fn wrenches<'s>(book: &Book<'s>, fork: &ResolvedFork, plan: &Plan<'_>) -> Vec<&'s Tool> {
    let ids = plan.items.iter().flat_map(|item| &item.procedure.tools);
    let mut listed: Vec<&Tool> = Vec::new();
    for tool in ids.filter_map(|id| book.shop.tool(&id.text)).filter(|tool| tool.torques.is_some()) {
        if !listed.iter().any(|known| known.id.text == tool.id.text) {
            listed.push(tool);
        }
    }
    smallest_first(&mut listed);
    let named = plan.items.iter().flat_map(|item| asked(book, item)).map(|asked| asked.id);
    let torques = named.filter(|id| book.shop.catalogue.field(*id).kind == Kind::Quantity(Dimension::Torque));
    let torques = torques.flat_map(|id| sides(fork, id)).filter_map(|(_, value)| value.quantity());
    let used: Vec<&str> = torques
        .filter_map(|torque| chosen(torque, &listed, book.last_release()))
        .map(|tool| tool.id.text.as_str())
        .collect();
    listed.retain(|tool| used.contains(&tool.id.text.as_str()));
    listed
}

/// Which of the wrenches a torque falls to: of those in calibration the smallest.
fn chosen<'s>(torque: &Quantity, wrenches: &[&'s Tool], day: Option<Date>) -> Option<&'s Tool> {
    wrenches_for(wrenches.iter().copied(), &[torque], day).first().copied()
}

/// The letters of these wrenches.
pub(super) fn letters_of(book: &Book, wrenches: &[&Tool]) -> Vec<String> {
    wrenches.iter().map(|wrench| letter(book, wrench).to_string()).collect()
}

/// What the letters mean, and which of them is out of calibration.
pub(super) fn wrench_list(book: &Book<'_>, wrenches: &[&Tool]) -> String {
    let named = wrenches.iter().map(|tool| {
        let since = ran_out(tool, book.last_release());
        let over = since.map(|since| format!(" OUT\u{a0}since\u{a0}{}", vouch::unbroken(since)));
        // "Wrench" stands before the list.
        let title = lower(&tool.title);
        let title = title.strip_suffix(" torque wrench").unwrap_or(&title);
        format!("{}\u{a0}{title}{}", letter(book, tool), over.unwrap_or_default())
    });
    if wrenches.is_empty() {
        String::new()
    } else {
        format!("wrench {}", named.collect::<Vec<_>>().join(", "))
    }
}

/// The two faces between which a height is measured; `None` where the record does not name both.
fn faces(book: &Book, fork: &CheckedFork, height: FieldId) -> Option<String> {
    let catalogue = &book.shop.catalogue;
    let [from, to] = catalogue.relations().faces(height)?.map(|face| {
        let value = fork.any(face).and_then(Resolved::value)?;
        let text = lower(&value_text(book.shop, catalogue.field(face), value).0);
        Some(signed(&text, fork.is_uncompared(face)))
    });
    Some(format!("from {} to {}", from?, to?))
}
