//! How a card is made to fit on its sheet: how much is said of each caution and step.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::budget::{POINT, lines, lines_after, width};
use super::card::{HEIGHT, WIDTH, figures_text};
use super::facts::Facts;
use super::{Book, fork::is_number};
use crate::plan::{Plan, legs_word};
use crate::publish::view::{CardCaution, CardColumn, CardGroup, CardNumber, CardPart, CardTorque, CardView};
use crate::record::{Procedure, Signal};
use crate::resolve::ResolvedFork;
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
            let text = if told { sentence(&body_text(caution)) } else { String::new() };
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

/// A box of the back: its first procedure, how much is said of each, and whether they run on.
type BoxKey = (usize, Vec<Detail>, bool);

/// Chooses how the steps are shortened; returns how far the back goes over. Titles come first; what room is
/// left is given out, procedure by procedure, to numbers, to steps with a number, and to every step.
pub(super) fn back(book: &Book, fork: &ResolvedFork, plan: &Plan<'_>, view: &mut CardView) -> f64 {
    let columns = 2usize;
    let room = (WIDTH - 3.0 * (columns as f64 - 1.0)) / columns as f64 - 12.4 - 1.6;
    view.shortened =
        "Steps in short, as far as there is room; every step with its reason is on the page to work from."
            .to_owned();
    let free = HEIGHT - back_rest(view);
    let mut details = vec![Detail::Title; plan.procedures.len()];
    let texts: Vec<[String; 4]> = plan
        .procedures
        .iter()
        .map(|procedure| {
            [Detail::Title, Detail::Numbers, Detail::Numbered, Detail::Every]
                .map(|detail| text(book, fork, procedure, detail))
        })
        .collect();
    // A box's height by the procedures in it and how much is said of each: between two trials one box differs.
    let known: RefCell<BTreeMap<BoxKey, f64>> = RefCell::default();
    let height = |group: &CardGroup, first: &mut usize, details: &[Detail]| {
        let range = *first..*first + group.parts.len();
        let key = (range.start, details[range.clone()].to_vec(), group.run_on);
        *first = range.end;
        *known.borrow_mut().entry(key).or_insert_with(|| group_height(group, room))
    };
    let fitted = |details: &[Detail], together: (usize, bool)| {
        let groups = groups(plan, &texts, details, together);
        let mut first = 0;
        let heights: Vec<f64> = groups.iter().map(|group| height(group, &mut first, details)).collect();
        let (split, over) = balance(&heights, columns, free);
        (groups, split, over)
    };
    let together = TOGETHER
        .into_iter()
        .find(|together| fitted(&details, *together).2 <= 0.0)
        .unwrap_or(TOGETHER[TOGETHER.len() - 1]);
    let rank = |at: &usize| {
        FIRST.iter().position(|phase| *phase == plan.procedures[*at].phase).unwrap_or(FIRST.len())
    };
    let mut order: Vec<usize> = (0..plan.procedures.len()).collect();
    order.sort_by_key(rank);
    for detail in [Detail::Numbers, Detail::Numbered, Detail::Every] {
        for at in &order {
            let before = details[*at];
            if texts[*at][detail as usize].is_empty()
                || texts[*at][detail as usize] == texts[*at][before as usize]
            {
                continue;
            }
            details[*at] = detail;
            if fitted(&details, together).2 > 0.0 {
                details[*at] = before;
            }
        }
    }
    let all = details
        .iter()
        .zip(&texts)
        .all(|(detail, texts)| texts[*detail as usize] == texts[Detail::Every as usize]);
    if all {
        view.shortened = String::new();
    }
    let (groups, split, over) = fitted(&details, together);
    let mut rest = groups.into_iter();
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

fn group_height(group: &CardGroup, room: f64) -> f64 {
    let mut count = 0;
    let mut at = 0.0;
    for part in &group.parts {
        if !group.run_on || count == 0 {
            count += 1;
            at = 0.0;
        }
        for (text, bold) in [(format!("{} {}", part.steps, part.title), true), (part.text.clone(), false)] {
            if !text.is_empty() {
                let (more, now) = lines_after(&text, 11.0, bold, room, at);
                count += more - 1;
                at = now;
            }
        }
    }
    (count as f64 * 11.0 * 1.16 * POINT + 1.2).max(10.6)
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
    if torque.unreviewed {
        label.push_str(" UNREVIEWED____");
    }
    let first = (lines(&label, 11.0, true, room) as f64 * 11.0 * 1.16 * POINT).max(17.0 * 1.16 * POINT);
    let detail =
        (lines(&torque.detail, 8.5, false, room) as f64 * 8.5 * 1.12 * POINT).max(9.5 * 1.16 * POINT);
    (first + detail).max(9.5) + 1.1
}

fn groups(
    plan: &Plan<'_>,
    texts: &[[String; 4]],
    details: &[Detail],
    together: (usize, bool),
) -> Vec<CardGroup> {
    let mut out: Vec<CardGroup> = Vec::new();
    let mut phase = "";
    let mut number = 1;
    for ((item, texts), detail) in plan.items.iter().zip(texts).zip(details) {
        let procedure = item.procedure;
        let steps = procedure.body.steps().count();
        let title = procedure.title.trim_end_matches('.');
        let leg = legs_word(item.legs);
        let part = CardPart {
            steps: if steps > 1 { format!("{number}–{}", number + steps - 1) } else { number.to_string() },
            title: if leg.is_empty() { format!("{title}.") } else { format!("{title}, {leg}.") },
            text: texts[*detail as usize].clone(),
        };
        number += steps;
        match out.last_mut() {
            Some(last) if procedure.phase == phase && last.parts.len() < together.0 => last.parts.push(part),
            _ => out.push(CardGroup { parts: vec![part], run_on: together.1 }),
        }
        phase = &procedure.phase;
    }
    out
}

fn text(book: &Book, fork: &ResolvedFork, procedure: &Procedure, detail: Detail) -> String {
    match detail {
        Detail::Title => String::new(),
        Detail::Numbers => {
            let mut told: Vec<String> = Vec::new();
            for reference in procedure.body.references.iter().filter(|reference| reference.scheme == "spec") {
                let Some(id) = book.shop.catalogue.find(&reference.target) else { continue };
                let field = book.shop.catalogue.field(id);
                let value = figures_text(book, fork, id);
                let one = format!("{} {value}", field.short);
                if is_number(&field.kind) && !value.is_empty() && !told.contains(&one) {
                    told.push(one);
                }
            }
            if told.is_empty() { String::new() } else { format!("{}.", told.join("; ")) }
        }
        Detail::Every | Detail::Numbered => {
            let steps = procedure.body.steps().filter(|step| detail == Detail::Every || has_number(step));
            let told = steps.map(|step| {
                let plain = step.action.plain(|reference| match reference.scheme.as_str() {
                    "spec" => book.shop.catalogue.find(&reference.target).map_or_else(
                        || reference.text.clone(),
                        |id| {
                            format!("{} {}", reference.text, figures_text(book, fork, id))
                                .trim_end()
                                .to_owned()
                        },
                    ),
                    "reading" if reference.text.starts_with("reading:") => "in its box".to_owned(),
                    _ => reference.text.clone(),
                });
                if has_number(step) { plain } else { sentence(&plain) }
            });
            told.collect::<Vec<_>>().join(" ")
        }
    }
}

fn has_number(step: &Step) -> bool {
    step.action
        .pieces
        .iter()
        .any(|piece| matches!(piece, Piece::Reference(r) if r.scheme == "spec" || r.scheme == "reading"))
}
