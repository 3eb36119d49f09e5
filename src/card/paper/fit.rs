//! How a card is made to fit on its sheet: how much is said of each caution and step.

use std::cell::OnceCell;
use std::ops::Range;
use std::ptr::from_ref;
use std::sync::Arc;

use super::face::{POINT, Words};
use super::height::{back_rest, front_height};
use super::size::{HEIGHT, WIDTH};
use crate::book::Book;
use crate::book::memo::OPEN;
use crate::book::reading::{boxed, is_number};
use crate::book::texts::ForkTexts;
use crate::card::view::{CardCaution, CardColumn, CardGroup, CardPart, CardView};
use crate::plan::Plan;
use crate::record::{Caution, Procedure, Signal};
use crate::syntax::markdown::{Part, Piece, Step};

/// Chooses how much of each caution is printed; returns how far the front goes over.
pub(in crate::card) fn front(book: &Book, told: &ForkTexts<'_>, plan: &Plan<'_>, view: &mut CardView) -> f64 {
    let facts = told.facts();
    let worked_out = |id: &str| {
        let found = facts.cautions.iter().find(|(known, _)| known == id);
        found.map_or_else(String::new, |(_, sentences)| sentences.join(" "))
    };
    let mut cautions: Vec<&Caution> = Vec::new();
    for reference in plan.references().filter(|reference| reference.scheme == "caution") {
        if let Some(caution) = book.shop.caution(&reference.target)
            && caution.applies.holds(&told.fork.choices)
            && !cautions.iter().any(|known| known.id.text == caution.id.text)
        {
            cautions.push(caution);
        }
    }
    cautions.sort_by(|a, b| (a.signal, &a.title).cmp(&(b.signal, &b.title)));
    let line = |signal: Signal, title: String, text: String, wide: bool| CardCaution {
        signal: signal.word().to_lowercase(),
        word: signal.word().to_owned(),
        title,
        text,
        wide,
    };
    // All texts; then only those of the grave ones; then titles alone, each in its place or run together.
    for worst in [Some(Signal::Notice), Some(Signal::Warning), Some(Signal::Danger), None] {
        let made = cautions.iter().map(|caution| {
            let told = worst.is_some_and(|worst| caution.signal <= worst);
            let text = if told { sentence(&body_text(book, caution)) } else { String::new() };
            let text = format!("{text} {}", worked_out(&caution.id.text)).trim().to_owned();
            line(caution.signal, caution.title.clone(), text, false)
        });
        view.cautions = made.collect();
        let over = front_height(view) - HEIGHT;
        if over <= 0.0 {
            return over;
        }
    }
    // Run together, with as much of what was worked out as there is room for; all of it is on the page.
    let mut over = 0.0;
    for most in [usize::MAX, 1, 0] {
        view.cautions.clear();
        for (_, signal) in Signal::ALL {
            let own = || cautions.iter().filter(|caution| caution.signal == signal);
            let titles: Vec<&str> = own().map(|caution| caution.title.as_str()).collect();
            let told = own().map(|caution| worked_out(&caution.id.text)).filter(|text| !text.is_empty());
            let told: Vec<String> = told.take(most).collect();
            if !titles.is_empty() {
                view.cautions.push(line(signal, titles.join(". "), told.join(" "), true));
            }
        }
        over = front_height(view) - HEIGHT;
        if over <= 0.0 {
            break;
        }
    }
    over
}

/// The text of a caution, which must be one of the shop's, without marks.
pub(in crate::card) fn body_text(book: &Book, caution: &Caution) -> Arc<str> {
    let make = || {
        let texts = caution.body.parts.iter().map(|part| match part {
            Part::Heading(prose) | Part::Prose(prose) => prose.plain(|reference| reference.text.clone()),
            Part::Step(step) => step.action.plain(|reference| reference.text.clone()),
        });
        texts.collect::<Vec<_>>().join(" ")
    };
    book.body_texts.or_make(from_ref(caution).addr(), make)
}

/// The first sentence.
fn sentence(text: &str) -> String {
    let end = text.find(". ").map_or(text.len(), |at| at + 1);
    text[..end].to_owned()
}

/// How much the back says of a procedure, from short to full.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Detail {
    /// The title.
    Title,
    /// The numbers with their names.
    Numbers,
    /// Only the steps with a number, in full.
    Numbered,
    /// The first sentence of every step; those with a number in full.
    Every,
}

/// How procedures share boxes.
#[derive(Debug, Clone, Copy)]
struct Sharing {
    /// How many may share one.
    most: usize,
    /// Whether they run on in one line.
    run_on: bool,
    /// Whether they may be of different phases.
    across: bool,
    /// Whether those of the intake and the inspection share, whatever is warned of in them.
    calm: bool,
}

/// What is tried, in this order: as few to a box as there is room for. A procedure that lets pressure or tension out,
/// or in which anybody is warned of death or injury, always has a box of its own: one tick for it and its neighbours
/// would hide that it was left out. Only where even that does not fit do the warned ones of intake and inspection,
/// in which nothing of the fork is opened, share a box with theirs.
const SHARING: [Sharing; 9] = [
    Sharing { most: 1, run_on: false, across: false, calm: false },
    Sharing { most: 2, run_on: false, across: false, calm: false },
    Sharing { most: 3, run_on: false, across: false, calm: false },
    Sharing { most: 2, run_on: true, across: false, calm: false },
    Sharing { most: 3, run_on: true, across: false, calm: false },
    Sharing { most: 5, run_on: true, across: false, calm: false },
    Sharing { most: 99, run_on: true, across: false, calm: false },
    Sharing { most: 99, run_on: true, across: true, calm: false },
    Sharing { most: 99, run_on: true, across: true, calm: true },
];

/// The numbers of columns that are tried for each way of sharing.
const COLUMNS: [usize; 2] = [2, 3];

/// Whether a procedure warns of death or injury on this fork.
fn is_grave(book: &Book, told: &ForkTexts<'_>, procedure: &Procedure) -> bool {
    let named = procedure.body.references.iter().filter(|reference| reference.scheme == "caution");
    let mut given = named.filter_map(|reference| book.shop.caution(&reference.target));
    given.any(|caution| caution.signal <= Signal::Warning && caution.applies.holds(&told.fork.choices))
}

/// The phases in which nothing of the fork is opened or loaded.
const CALM: [&str; 2] = ["intake", "inspect"];

/// The phases whose procedures get room for their steps first: where a wrong number is made for good.
const FIRST: [&str; 8] = ["set", "fill", "rebuild", "check", "strip", "hand-back", "inspect", "intake"];

/// A text with its words measured.
type Measured = (Arc<str>, Words);

/// What can be said of the procedures of the back, with its words measured: made when first asked for, since most
/// are only ever said in one or two ways.
struct Sayings<'p> {
    plan: &'p Plan<'p>,
    /// The number of the first step, and of the last.
    steps: Vec<(usize, usize)>,
    titles: Vec<(String, Words)>,
    texts: Vec<[OnceCell<Measured>; 4]>,
    say: &'p dyn Fn(&Procedure, Detail) -> Arc<str>,
}

impl<'p> Sayings<'p> {
    fn new(plan: &'p Plan<'p>, say: &'p dyn Fn(&Procedure, Detail) -> Arc<str>) -> Self {
        let mut number = 1;
        let steps = plan.items.iter().map(|item| {
            let first = number;
            number += item.procedure.body.steps().count();
            (first, number - 1)
        });
        let steps = steps.collect();
        let titles = plan.items.iter().map(|item| {
            let title = item.procedure.title.trim_end_matches('.');
            // As beside the numbers; whose left and right it is stands at the foot of the card.
            let title = match item.legs {
                [true, false] => format!("{title}, L."),
                [false, true] => format!("{title}, R."),
                _ => format!("{title}."),
            };
            let words = Words::of(&title);
            (title, words)
        });
        let texts = vec![Default::default(); plan.items.len()];
        Sayings { plan, steps, titles: titles.collect(), texts, say }
    }

    fn said(&self, at: usize, detail: Detail) -> &Measured {
        self.texts[at][detail as usize].get_or_init(|| {
            let text = (self.say)(self.plan.items[at].procedure, detail);
            let words = Words::of(&text);
            (text, words)
        })
    }
}

/// The procedures of the back in columns, each with the lines it takes.
struct Parts<'p> {
    said: &'p Sayings<'p>,
    /// Whether it has its box alone, whatever the room.
    grave: &'p [bool],
    /// Lines of a part that begins a line of its own.
    counts: Vec<[OnceCell<usize>; 4]>,
    /// Into how many columns they go.
    columns: usize,
    /// The room in a column, in mm.
    room: f64,
}

impl<'p> Parts<'p> {
    fn new(said: &'p Sayings<'p>, grave: &'p [bool], columns: usize, room: f64) -> Self {
        Parts { said, grave, counts: vec![Default::default(); grave.len()], columns, room }
    }

    fn text(&self, at: usize, detail: Detail) -> &str {
        &self.said.said(at, detail).0
    }

    /// The steps of a part, as they stand before it. Parts on one line have those of all before the first.
    fn steps_text(&self, at: usize, of: &Range<usize>, run_on: bool) -> String {
        let last = if run_on { of.end - 1 } else { at };
        match (self.said.steps[at].0, self.said.steps[last].1) {
            _ if run_on && at > of.start => String::new(),
            (first, last) if last > first => format!("{first}–{last}"),
            (first, _) => first.to_string(),
        }
    }

    /// Lines it adds after a line that is filled `from` mm, and how far it fills its last.
    fn lines(&self, at: usize, of: &Range<usize>, run_on: bool, detail: Detail, from: f64) -> (usize, f64) {
        let steps = Words::of(&self.steps_text(at, of, run_on));
        // Titles that follow one another are not all in bold.
        let bold = !run_on || of.len() == 1;
        let (more, from) = self.said.titles[at].1.lines_after(&steps, 11.0, bold, self.room, from);
        let (_, words) = self.said.said(at, detail);
        if words.is_empty() {
            return (more - 1, from);
        }
        let (again, from) = words.lines_after(&Words::default(), 11.0, false, self.room, from);
        (more + again - 2, from)
    }

    fn height(&self, of: &Range<usize>, details: &[Detail], run_on: bool) -> f64 {
        let own = |at: usize| {
            let detail = details[at];
            let alone = at..at + 1;
            *self.counts[at][detail as usize].get_or_init(|| 1 + self.lines(at, &alone, false, detail, 0.0).0)
        };
        let count: usize = if run_on {
            let mut from = 0.0;
            let more = |at: usize| {
                let (more, filled) = self.lines(at, of, true, details[at], from);
                from = filled;
                more
            };
            1 + of.clone().map(more).sum::<usize>()
        } else {
            of.clone().map(own).sum()
        };
        (count as f64 * 11.0 * 1.12 * POINT + 0.6).max(9.8)
    }

    /// The boxes, when procedures share them like this.
    fn boxes(&self, sharing: Sharing) -> Vec<Range<usize>> {
        let mut out: Vec<Range<usize>> = Vec::new();
        let phase = |at: usize| self.said.plan.items[at].procedure.phase.as_str();
        let alone = |at: usize| self.grave[at] && !(sharing.calm && CALM.contains(&phase(at)));
        for at in 0..self.said.plan.items.len() {
            match out.last_mut() {
                Some(last)
                    if last.len() < sharing.most
                        && !alone(last.start)
                        && !alone(at)
                        && (sharing.across || phase(last.start) == phase(at)) =>
                {
                    last.end = at + 1;
                }
                _ => out.push(at..at + 1),
            }
        }
        out
    }

    fn group(&self, of: &Range<usize>, details: &[Detail], run_on: bool) -> CardGroup {
        let part = |at: usize| CardPart {
            steps: self.steps_text(at, of, run_on),
            title: self.said.titles[at].0.clone(),
            text: self.text(at, details[at]).to_owned(),
        };
        CardGroup { parts: of.clone().map(part).collect(), run_on: run_on && of.len() > 1 }
    }
}

/// Chooses how the steps are shortened; returns how far the back goes over. Titles come first; what room is
/// left is given out, procedure by procedure, to numbers, to steps with a number, and to every step.
pub(in crate::card) fn back(book: &Book, told: &ForkTexts<'_>, plan: &Plan<'_>, view: &mut CardView) -> f64 {
    let tables = view.tables.len();
    let mut over = back_with(book, told, plan, view, "");
    // A tick for every danger goes before a table that is on the page as well.
    while over > 0.0 && view.tables.pop().is_some() {
        over = back_with(book, told, plan, view, TABLES_LEFT_OUT);
    }
    if view.tables.len() < tables && view.shortened.is_empty() {
        view.shortened = TABLES_LEFT_OUT.to_owned();
    }
    over
}

/// What a card says where there was no room for all its tables.
const TABLES_LEFT_OUT: &str = "What to turn or draw off for a reading is on the page to work from.";

fn back_with(book: &Book, told: &ForkTexts<'_>, plan: &Plan<'_>, view: &mut CardView, left_out: &str) -> f64 {
    view.shortened = format!(
        "Steps in short, as far as there is room; every step with its reason is on the page to work from. {left_out}"
    )
    .trim()
    .to_owned();
    let free = HEIGHT - back_rest(view);
    let say = |procedure: &Procedure, detail: Detail| {
        if detail == Detail::Title {
            return Arc::from("");
        }
        if detail == Detail::Numbers {
            return numbers(book, told, procedure).into();
        }
        let open = book
            .on_cards
            .or_make((from_ref(procedure).addr(), detail as u8), || steps(book, procedure, detail));
        if open.contains(OPEN) { filled(book, told, procedure, &open).into() } else { open }
    };
    let grave: Vec<bool> = plan.items.iter().map(|item| is_grave(book, told, item.procedure)).collect();
    let said = Sayings::new(plan, &say);
    let of_columns = COLUMNS.map(|columns| {
        let room = (WIDTH - 3.0 * (columns as f64 - 1.0)) / columns as f64 - 12.4 - 1.6;
        Parts::new(&said, &grave, columns, room)
    });
    let mut details = vec![Detail::Title; plan.items.len()];
    let arrange = |parts: &Parts<'_>, sharing: Sharing| {
        let boxes = parts.boxes(sharing);
        let heights: Vec<f64> = boxes.iter().map(|of| parts.height(of, &details, sharing.run_on)).collect();
        (boxes, heights)
    };
    let tried = SHARING.into_iter().flat_map(|sharing| of_columns.iter().map(move |one| (sharing, one)));
    // Where nothing fits, what goes over least: the finding says by how much.
    let mut least: Option<(f64, Sharing, &Parts<'_>)> = None;
    for (sharing, parts) in tried {
        let over = balance(&arrange(parts, sharing).1, parts.columns, free).1;
        if least.is_none_or(|(before, ..)| over < before) {
            least = Some((over, sharing, parts));
        }
        if over <= 0.0 {
            break;
        }
    }
    let Some((_, sharing, parts)) = least else { return 0.0 };
    let (columns, run_on) = (parts.columns, sharing.run_on);
    let (boxes, mut heights) = arrange(parts, sharing);
    let rank = |at: &usize| {
        FIRST.iter().position(|phase| *phase == plan.items[*at].procedure.phase).unwrap_or(FIRST.len())
    };
    let mut order: Vec<usize> = (0..plan.items.len()).collect();
    order.sort_by_key(rank);
    for detail in [Detail::Numbers, Detail::Numbered, Detail::Every] {
        for at in &order {
            let before = details[*at];
            let text = parts.text(*at, detail);
            if text.is_empty() || text == parts.text(*at, before) {
                continue;
            }
            details[*at] = detail;
            // One box differs from the trial before.
            let Some(n) = boxes.iter().position(|of| of.contains(at)) else { continue };
            let tall = std::mem::replace(&mut heights[n], parts.height(&boxes[n], &details, run_on));
            if heights[n] > tall && balance(&heights, columns, free).1 > 0.0 {
                details[*at] = before;
                heights[n] = tall;
            }
        }
    }
    let all = (0..details.len()).all(|at| parts.text(at, details[at]) == parts.text(at, Detail::Every));
    if all {
        view.shortened = String::new();
    }
    let (split, over) = balance(&heights, columns, free);
    let mut rest = boxes.iter().map(|of| parts.group(of, &details, run_on));
    view.columns = split.iter().map(|n| CardColumn { groups: rest.by_ref().take(*n).collect() }).collect();
    over
}

/// Splits boxes into columns in order, as evenly as they go; how far the tallest is over.
fn balance(heights: &[f64], columns: usize, free: f64) -> (Vec<usize>, f64) {
    let total: f64 = heights.iter().sum();
    let mut limit = total / columns as f64;
    loop {
        let mut split = vec![0usize; columns];
        let mut at = 0;
        let mut filled = 0.0;
        for height in heights {
            if filled + height > limit + 1e-9 && at + 1 < columns && split[at] > 0 {
                at += 1;
                filled = 0.0;
            }
            filled += height;
            split[at] += 1;
        }
        // Every column but the last keeps to the limit unless a single box is taller.
        let mut rest = heights.iter();
        let tallest = split.iter().map(|n| rest.by_ref().take(*n).sum::<f64>()).fold(0.0, f64::max);
        if tallest <= limit + 1e-9 || limit >= total {
            return (split, tallest - free);
        }
        limit += 1.0;
    }
}

/// The numbers that a procedure names, with their names.
fn numbers(book: &Book, told: &ForkTexts<'_>, procedure: &Procedure) -> String {
    let mut said: Vec<String> = Vec::new();
    for reference in procedure.body.references.iter().filter(|reference| reference.scheme == "spec") {
        let Some(id) = book.shop.catalogue.find(&reference.target) else { continue };
        let field = book.shop.catalogue.field(id);
        let value = told.short(id);
        let one = format!("{} {value}", field.short);
        if is_number(&field.kind) && !value.is_empty() && !said.contains(&one) {
            said.push(one);
        }
    }
    if said.is_empty() { String::new() } else { format!("{}.", said.join("; ")) }
}

/// The steps of a procedure, with [`OPEN`] for each number of the fork: that reads the same on every card.
fn steps(book: &Book, procedure: &Procedure, detail: Detail) -> String {
    let steps = procedure.body.steps().filter(|step| detail == Detail::Every || has_number(step));
    let said = steps.map(|step| {
        let plain = step.action.plain(|reference| match reference.scheme.as_str() {
            "spec" if book.shop.catalogue.find(&reference.target).is_some() => OPEN.to_string(),
            "reading" if reference.text.starts_with("reading:") => "in its box".to_owned(),
            _ => reference.text.clone(),
        });
        let plain = boxed(&plain, "in its box", "in their boxes");
        if has_number(step) { plain } else { sentence(&plain) }
    });
    said.collect::<Vec<_>>().join(" ")
}

/// The same with the numbers of a fork.
fn filled(book: &Book, told: &ForkTexts<'_>, procedure: &Procedure, open: &str) -> String {
    let pieces = procedure.body.steps().flat_map(|step| &step.action.pieces);
    let mut numbers = pieces.filter_map(|piece| match piece {
        Piece::Reference(reference) if reference.scheme == "spec" => {
            Some((reference, book.shop.catalogue.find(&reference.target)?))
        }
        _ => None,
    });
    let mut out = String::with_capacity(open.len() + 64);
    for (n, piece) in open.split(OPEN).enumerate() {
        if n > 0
            && let Some((reference, id)) = numbers.next()
        {
            out.push_str(format!("{} {}", reference.text, told.short(id)).trim_end());
        }
        out.push_str(piece);
    }
    out
}

fn has_number(step: &Step) -> bool {
    step.action
        .pieces
        .iter()
        .any(|piece| matches!(piece, Piece::Reference(r) if r.scheme == "spec" || r.scheme == "reading"))
}
