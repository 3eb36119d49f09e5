//! A number on a line: its figures, the state it belongs to, its limits, and what else is said under it.

use super::goes::Goes;
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
use crate::resolve::{Resolved, ResolvedFork};
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

/// Puts the number of a field on its line, with all that belongs to it.
pub(super) fn number(
    book: &Book,
    texts: &ForkTexts<'_>,
    (id, legs): (FieldId, [bool; 2]),
    wrenches: &[&Tool],
    goes: Goes,
    line: &mut CardLine,
) {
    let (shop, fork) = (book.shop, texts.fork);
    let field = shop.catalogue.field(id);
    let here = sides_on(fork, (id, field.per == Per::Leg), legs);
    let Some((_, first)) = here.first() else { return };
    let entry = &first.entry;
    let figures: Vec<CardFigure> =
        here.iter().map(|(side, value)| texts.card_figure(id, side, value)).collect();
    line.figures = figures.iter().map(value).collect();
    if field.kind == Kind::Count {
        // Strokes have no unit: they are called by their name.
        line.figures.iter_mut().for_each(|figure| figure.tail = lower(&field.short));
        line.quiet = true;
    }
    line.estimate = here.iter().any(|(_, value)| value.is_estimate());
    line.mark = vouch::card_mark(book, fork, field, line.estimate).to_owned();
    line.doubt = texts.in_doubt(id) || beside(book, id).iter().any(|told| texts.in_doubt(*told));
    line.sign = if fork.is_uncompared(id) { SIGN.to_owned() } else { String::new() };
    let mut said: Vec<String> = Vec::new();
    if first.is_unknown() {
        // A sentence of its own, and not one of a list.
        line.state = format!("{}.", capital(&instead_of_figure(first)).trim_end_matches('.'));
        // It is no number: a word as large as one takes the room of what is done instead.
        line.quiet = true;
    }
    said.push(build::beside(shop, fork, id));
    said.push(faces(book, fork, id).unwrap_or_else(|| state(entry)));
    said.push(attribute_text(entry, "thread_state"));
    said.push(pinched(fork, id));
    // The second unit is the figure's own: it stands before any other figure of the small print.
    let mut under: Vec<String> = Vec::new();
    if goes.keeps(Goes::SecondUnits) {
        under.extend(figures.iter().map(|figure| figure.second.clone()));
        under.dedup();
    }
    under.push(std::mem::take(&mut line.under));
    under.extend(["counted", "first_click"].map(|key| attribute_text(entry, key)));
    under.extend(limits(book, texts, id));
    under.extend(fastener(book, (entry, field), first.quantity(), wrenches, goes));
    if goes.keeps(Goes::Notes) {
        under.extend(entry.note.clone());
        under.push(weighs(shop, fork, id));
    }
    let said = joined(said);
    line.state =
        if line.state.ends_with('.') { format!("{} {said}", line.state) } else { join(&line.state, &said) };
    line.under = joined(under);
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

/// Parts that say something, with commas.
pub(super) fn joined(parts: Vec<String>) -> String {
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// Two parts, the first of which may say nothing.
pub(super) fn join(first: &str, second: &str) -> String {
    match (first, second) {
        ("", one) | (one, "") => one.to_owned(),
        (first, second) => format!("{first}, {second}"),
    }
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
    goes: Goes,
) -> Vec<String> {
    if field.kind != Kind::Quantity(Dimension::Torque) {
        return Vec::new();
    }
    let class = attribute_text(entry, "property_class");
    let class =
        if class.is_empty() || class.starts_with("class") { class } else { format!("class\u{a0}{class}") };
    let into = if goes.keeps(Goes::Notes) { attribute_text(entry, "into") } else { String::new() };
    let new = attribute_text(entry, "single_use").starts_with("new");
    let thread = attribute_text(entry, "thread");
    // The size tells the bolt; its pitch is on the page as well.
    let size = thread.split(['\u{a0}', ' ', '×']).next().unwrap_or_default();
    let mut out = vec![if goes.keeps(Goes::Notes) { thread.clone() } else { size.to_owned() }, class];
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
