//! How a card is made to fit on its sheet: how much is said of each caution and step.

use std::cell::OnceCell;
use std::ops::Range;
use std::sync::Arc;

use super::budget::{POINT, lines, lines_after, width};
use super::card::{HEIGHT, WIDTH};
use super::facts::Facts;
use super::prose::OPEN;
use super::told::Told;
use super::{Book, fork::is_number};
use crate::plan::{Plan, legs_word};
use crate::publish::view::{CardCaution, CardColumn, CardGroup, CardNumber, CardPart, CardTorque, CardView};
use crate::record::{Procedure, Signal};
use crate::source::markdown::{Part, Piece, Step};

/// Room between blocks, in mm.
const GAP: f64 = 2.0;

/// Chooses how much of each caution is printed; returns how far the front goes over.
pub(super) fn front(book: &Book, plan: &Plan<'_>, facts: &Facts, view: &mut CardView) -> f64 {
    let worked_out = |id: &str| {
        let found = facts.cautions.iter().find(|(known, _)| known == id);
        found.map_or_else(String::new, |(_, sentences)| sentences.join(" "))
    };
    let mut cautions: Vec<&crate::record::Caution> = Vec::new();
    for reference in plan.references().filter(|reference| reference.scheme == "caution") {
        if let Some(caution) = book.shop.caution(&reference.target)
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
            let text = if told { sentence(&book.body_text(caution)) } else { String::new() };
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

/// The text of a caution, without marks.
pub(super) fn body_text(caution: &crate::record::Caution) -> String {
    let texts = caution.body.parts.iter().map(|part| match part {
        Part::Heading(prose) | Part::Prose(prose) => prose.plain(|reference| reference.text.clone()),
        Part::Step(step) => step.action.plain(|reference| reference.text.clone()),
    });
    texts.collect::<Vec<_>>().join(" ")
}

/// The first sentence.
fn sentence(text: &str) -> String {
    let end = text.find(". ").map_or(text.len(), |at| at + 1);
    text[..end].to_owned()
}

fn front_height(view: &CardView) -> f64 {
    let room = WIDTH - 52.0 - 6.0 - if view.qr_html.is_empty() { 0.0 } else { 19.0 };
    let svc = format!("{}. {}", view.service, view.machines);
    let who = 3.7
        + lines(&view.fork, 19.0, true, room) as f64 * 19.0 * 1.1 * POINT
        + lines(&svc, 10.0, true, room) as f64 * 10.0 * 1.16 * POINT;
    let head = who.max(19.0) + 2.2;
    let job = 2.0 * 12.8;
    let room = (WIDTH - 3.0) / 2.0 - 23.0 - 1.6;
    let heights: Vec<f64> = view
        .cautions
        .iter()
        .map(|caution| {
            let room = if caution.wide { WIDTH - 23.0 - 1.6 } else { room };
            let (first, at) = lines_after(&format!("{}.", caution.title), 9.0, true, room, 0.0);
            let rest =
                if caution.text.is_empty() { 1 } else { lines_after(&caution.text, 9.0, false, room, at).0 };
            ((first + rest - 1) as f64 * 9.0 * 1.14 * POINT + 0.4).max(4.6)
        })
        .collect();
    let abreast = if view.cautions.iter().any(|caution| caution.wide) { 1 } else { 2 };
    let cautions: f64 =
        heights.chunks(abreast).map(|pair| pair.iter().fold(0.0, |a: f64, b| a.max(*b)) + 1.0).sum();
    let half = (WIDTH - 4.0) / 2.0;
    let numbers: f64 = 5.6 + view.numbers.iter().map(|number| number_height(number, half)).sum::<f64>();
    let label = half * 0.36 - 1.0;
    let found: f64 = 5.6
        + 8.6
        + view
            .found
            .iter()
            .map(|row| {
                let text = lines(&row.label, 10.5, true, label) as f64 * 10.5 * 1.05 * POINT
                    + lines(&row.hint, 8.5, false, label) as f64 * 8.5 * 1.05 * POINT;
                (text + 0.7).max(9.8)
            })
            .sum::<f64>();
    let small = format!(
        "Left and right as seen from the saddle. The maker’s manual for the very model goes before this card. {}",
        view.address
    );
    head + job
        + cautions
        + numbers.max(found)
        + lines(&small, 8.5, false, WIDTH) as f64 * 8.5 * 1.12 * POINT
        + 4.0 * GAP
}

fn number_height(number: &CardNumber, half: f64) -> f64 {
    let room = half
        - 34.0
        - 1.5
        - (number.boxes.len() as f64 * 13.0 + if number.boxes.is_empty() { 0.0 } else { 1.5 });
    let mut label = number.label.clone();
    if number.estimate {
        label.push_str(" ESTIMATE____");
    }
    if number.doubt {
        label.push_str(" IN_DOUBT____");
    }
    if number.unreviewed {
        label.push_str(" UNREVIEWED____");
    }
    let label = lines(&label, 11.0, true, 34.0) as f64 * 11.0 * 1.16 * POINT + 1.2;
    let values: f64 = number
        .figures
        .iter()
        .map(|figure| {
            let side = if figure.side.is_empty() { 0.0 } else { 5.6 };
            let main = side + width(&figure.main, 17.0, true);
            let tolerance = width(&figure.tolerance, 11.0, true) + 1.0;
            let second = width(&figure.second, 9.5, false) + 1.0;
            let first = 17.0 * 1.16 * POINT;
            if main + tolerance + second <= room { first } else { first + 11.0 * 1.16 * POINT }
        })
        .sum();
    let state = lines(&number.state, 8.5, false, half) as f64 * 8.5 * 1.12 * POINT;
    let boxes = if number.boxes.is_empty() { 0.0 } else { 9.8 };
    label.max(values).max(boxes) + state + 1.5
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

/// How many procedures of a phase may share a box, and whether they run on in one line: as few as there is room for.
const TOGETHER: [(usize, bool); 12] = [
    (1, false),
    (2, false),
    (3, false),
    (4, false),
    (2, true),
    (3, true),
    (4, true),
    (5, true),
    (6, true),
    (8, true),
    (12, true),
    (99, true),
];

/// The phases whose procedures get room for their steps first: where a wrong number is made for good.
const FIRST: [&str; 8] = ["set", "fill", "rebuild", "check", "strip", "hand-back", "inspect", "intake"];

/// The procedures of the back, each with what can be said of it and the lines that takes: made when first asked
/// for, since most are only ever said in one or two ways.
struct Parts<'p> {
    plan: &'p Plan<'p>,
    /// The number of the first step, and of the last.
    steps: Vec<(usize, usize)>,
    texts: Vec<[OnceCell<Arc<str>>; 4]>,
    /// Lines of a part that begins a line of its own.
    counts: Vec<[OnceCell<usize>; 4]>,
    /// The room in a column, in mm.
    room: f64,
    say: &'p dyn Fn(&Procedure, Detail) -> Arc<str>,
}

impl<'p> Parts<'p> {
    fn new(plan: &'p Plan<'p>, room: f64, say: &'p dyn Fn(&Procedure, Detail) -> Arc<str>) -> Self {
        let mut number = 1;
        let steps = plan.items.iter().map(|item| {
            let first = number;
            number += item.procedure.body.steps().count();
            (first, number - 1)
        });
        let steps = steps.collect();
        let many = plan.items.len();
        Parts {
            plan,
            steps,
            texts: vec![Default::default(); many],
            counts: vec![Default::default(); many],
            room,
            say,
        }
    }

    fn text(&self, at: usize, detail: Detail) -> &str {
        self.texts[at][detail as usize].get_or_init(|| (self.say)(self.plan.items[at].procedure, detail))
    }

    fn steps_text(&self, at: usize) -> String {
        match self.steps[at] {
            (first, last) if last > first => format!("{first}–{last}"),
            (first, _) => first.to_string(),
        }
    }

    fn title(&self, at: usize) -> String {
        let item = &self.plan.items[at];
        let title = item.procedure.title.trim_end_matches('.');
        let leg = legs_word(item.legs);
        if leg.is_empty() { format!("{title}.") } else { format!("{title}, {leg}.") }
    }

    /// Lines it adds after a line that is filled `from` mm, and how far it fills its last.
    fn lines(&self, at: usize, detail: Detail, from: f64) -> (usize, f64) {
        let head = format!("{} {}", self.steps_text(at), self.title(at));
        let (more, from) = lines_after(&head, 11.0, true, self.room, from);
        match self.text(at, detail) {
            "" => (more - 1, from),
            text => {
                let (again, from) = lines_after(text, 11.0, false, self.room, from);
                (more + again - 2, from)
            }
        }
    }

    fn height(&self, of: &Range<usize>, details: &[Detail], run_on: bool) -> f64 {
        let own = |at: usize| {
            let detail = details[at];
            *self.counts[at][detail as usize].get_or_init(|| 1 + self.lines(at, detail, 0.0).0)
        };
        let count: usize = if run_on {
            let mut from = 0.0;
            let more = |at: usize| {
                let (more, filled) = self.lines(at, details[at], from);
                from = filled;
                more
            };
            1 + of.clone().map(more).sum::<usize>()
        } else {
            of.clone().map(own).sum()
        };
        (count as f64 * 11.0 * 1.16 * POINT + 1.2).max(10.6)
    }

    /// The boxes, when so many procedures of a phase share one.
    fn boxes(&self, together: usize) -> Vec<Range<usize>> {
        let mut out: Vec<Range<usize>> = Vec::new();
        let phase = |at: usize| &self.plan.items[at].procedure.phase;
        for at in 0..self.plan.items.len() {
            match out.last_mut() {
                Some(last) if last.len() < together && phase(last.start) == phase(at) => last.end = at + 1,
                _ => out.push(at..at + 1),
            }
        }
        out
    }

    fn group(&self, of: &Range<usize>, details: &[Detail], run_on: bool) -> CardGroup {
        let part = |at: usize| CardPart {
            steps: self.steps_text(at),
            title: self.title(at),
            text: self.text(at, details[at]).to_owned(),
        };
        CardGroup { parts: of.clone().map(part).collect(), run_on }
    }
}

/// Chooses how the steps are shortened; returns how far the back goes over. Titles come first; what room is
/// left is given out, procedure by procedure, to numbers, to steps with a number, and to every step.
pub(super) fn back(book: &Book, told: &Told<'_>, plan: &Plan<'_>, view: &mut CardView) -> f64 {
    let columns = 2usize;
    let room = (WIDTH - 3.0 * (columns as f64 - 1.0)) / columns as f64 - 12.4 - 1.6;
    view.shortened =
        "Steps in short, as far as there is room; every step with its reason is on the page to work from."
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
            .or_make((std::ptr::from_ref(procedure).addr(), detail as u8), || steps(book, procedure, detail));
        if open.contains(OPEN) { filled(book, told, procedure, &open).into() } else { open }
    };
    let parts = Parts::new(plan, room, &say);
    let mut details = vec![Detail::Title; plan.items.len()];
    let arrange = |(together, run_on): (usize, bool), details: &[Detail]| {
        let boxes = parts.boxes(together);
        let heights: Vec<f64> = boxes.iter().map(|of| parts.height(of, details, run_on)).collect();
        (boxes, heights)
    };
    let fits = |together: &(usize, bool)| balance(&arrange(*together, &details).1, columns, free).1 <= 0.0;
    let together = TOGETHER.into_iter().find(fits).unwrap_or(TOGETHER[TOGETHER.len() - 1]);
    let run_on = together.1;
    let (boxes, mut heights) = arrange(together, &details);
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

/// Everything on the back but the steps.
fn back_rest(view: &CardView) -> f64 {
    let mut height = 6.2 + GAP;
    if !view.shortened.is_empty() {
        height += lines(&view.shortened, 8.5, false, WIDTH) as f64 * 8.5 * 1.12 * POINT + GAP;
    }
    if !view.torques.is_empty() {
        let half = (WIDTH - 4.0) / 2.0;
        let rows =
            view.torques.chunks(2).map(|row| row.iter().map(|t| torque_height(t, half)).fold(0.0, f64::max));
        height += 5.6 + rows.sum::<f64>() + GAP;
    }
    // Tables stand two abreast: title, heads, cells.
    for pair in view.tables.chunks(2) {
        let rows = pair.iter().map(|table| table.rows.len()).max().unwrap_or(0);
        height += 9.0 * 1.2 * POINT + (rows + 1) as f64 * 5.0 + GAP;
    }
    if !view.not_made.is_empty() {
        height += 5.6 + lines(&view.not_made.join(" "), 9.0, false, WIDTH) as f64 * 9.0 * 1.14 * POINT + GAP;
    }
    height + 2.0 * 12.8 + GAP
}

fn torque_height(torque: &CardTorque, half: f64) -> f64 {
    let value = width(&torque.main, 17.0, true)
        + if torque.tolerance.is_empty() { 0.0 } else { width(&torque.tolerance, 11.0, true) + 1.0 };
    let value = value.max(width(&torque.second, 9.5, false));
    let room = (half - 5.0 - 13.4 - 2.0 - value).max(8.0);
    let mut label = torque.label.clone();
    if torque.estimate {
        label.push_str(" ESTIMATE____");
    }
    if torque.doubt {
        label.push_str(" IN_DOUBT____");
    }
    if torque.unreviewed {
        label.push_str(" UNREVIEWED____");
    }
    let first = (lines(&label, 11.0, true, room) as f64 * 11.0 * 1.16 * POINT).max(17.0 * 1.16 * POINT);
    let detail =
        (lines(&torque.detail, 8.5, false, room) as f64 * 8.5 * 1.12 * POINT).max(9.5 * 1.16 * POINT);
    (first + detail).max(9.5) + 1.1
}

/// The numbers that a procedure names, with their names.
fn numbers(book: &Book, told: &Told<'_>, procedure: &Procedure) -> String {
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
        if has_number(step) { plain } else { sentence(&plain) }
    });
    said.collect::<Vec<_>>().join(" ")
}

/// The same with the numbers of a fork.
fn filled(book: &Book, told: &Told<'_>, procedure: &Procedure, open: &str) -> String {
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
