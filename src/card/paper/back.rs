//! The back: how procedures share boxes, how the boxes stand in columns, and how much is said of each procedure.

use std::cell::OnceCell;
use std::ops::Range;
use std::sync::Arc;

use super::face::{POINT, Words};
use super::height::back_rest;
use super::size::{
    ROUNDING, SHEET_HEIGHT, SHEET_WIDTH, STEP_BOX_GAP, STEP_BOX_WIDTH, STEP_GAP, STEP_HEIGHT, STEP_LINE,
    STEP_TYPE,
};
use crate::book::Book;
use crate::book::texts::ForkTexts;
use crate::card::cautions::is_grave;
use crate::card::steps::{Detail, wording};
use crate::card::view::{CardColumn, CardGroup, CardPart, CardView};
use crate::plan::Plan;
use crate::record::{Phase, Procedure};

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

/// A text with its words measured.
type Measured = (Arc<str>, Words);

/// What can be said of the procedures of the back, with its words measured: made when first asked for, since most
/// are only ever said in one or two ways.
struct Wordings<'p> {
    plan: &'p Plan<'p>,
    /// The number of the first step, and of the last.
    steps: Vec<(usize, usize)>,
    titles: Vec<(String, Words)>,
    texts: Vec<[OnceCell<Measured>; 4]>,
    make: &'p dyn Fn(&Procedure, Detail) -> Arc<str>,
}

impl<'p> Wordings<'p> {
    fn new(plan: &'p Plan<'p>, make: &'p dyn Fn(&Procedure, Detail) -> Arc<str>) -> Self {
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
        Wordings { plan, steps, titles: titles.collect(), texts, make }
    }

    fn of(&self, at: usize, detail: Detail) -> &Measured {
        self.texts[at][detail as usize].get_or_init(|| {
            let text = (self.make)(self.plan.items[at].procedure, detail);
            let words = Words::of(&text);
            (text, words)
        })
    }

    fn text(&self, at: usize, detail: Detail) -> &str {
        &self.of(at, detail).0
    }

    fn phase(&self, at: usize) -> Option<Phase> {
        self.plan.items[at].procedure.phase
    }
}

/// The procedures of the back in columns, each with the lines it takes.
struct Parts<'p> {
    wordings: &'p Wordings<'p>,
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
    fn new(wordings: &'p Wordings<'p>, grave: &'p [bool], columns: usize) -> Self {
        let gaps = STEP_GAP * (columns as f64 - 1.0);
        let room = (SHEET_WIDTH - gaps) / columns as f64 - STEP_BOX_WIDTH - STEP_BOX_GAP;
        Parts { wordings, grave, counts: vec![Default::default(); grave.len()], columns, room }
    }

    /// The steps of a part, as they stand before it. Parts on one line have those of all before the first.
    fn steps_text(&self, at: usize, of: &Range<usize>, run_on: bool) -> String {
        let last = if run_on { of.end - 1 } else { at };
        match (self.wordings.steps[at].0, self.wordings.steps[last].1) {
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
        let (more, from) = self.wordings.titles[at].1.lines_after(&steps, STEP_TYPE, bold, self.room, from);
        let (_, words) = self.wordings.of(at, detail);
        if words.is_empty() {
            return (more - 1, from);
        }
        let (again, from) = words.lines_after(&Words::default(), STEP_TYPE, false, self.room, from);
        (more + again - 2, from)
    }

    fn height(&self, of: &Range<usize>, details: &[Detail], run_on: bool) -> f64 {
        let apart = |at: usize| {
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
            of.clone().map(apart).sum()
        };
        // What is above and below the lines, with the rule under the box.
        (count as f64 * STEP_TYPE * STEP_LINE * POINT + 0.6).max(STEP_HEIGHT + ROUNDING)
    }

    /// The boxes, when procedures share them like this.
    fn boxes(&self, sharing: Sharing) -> Vec<Range<usize>> {
        let mut out: Vec<Range<usize>> = Vec::new();
        let phase = |at: usize| self.wordings.phase(at);
        let alone = |at: usize| self.grave[at] && !(sharing.calm && phase(at).is_some_and(Phase::is_calm));
        for at in 0..self.wordings.plan.items.len() {
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
            title: self.wordings.titles[at].0.clone(),
            text: self.wordings.text(at, details[at]).to_owned(),
        };
        CardGroup { parts: of.clone().map(part).collect(), run_on: run_on && of.len() > 1 }
    }
}

/// The procedures in boxes, the boxes in columns, and how much is said of each procedure.
struct Arrangement<'p> {
    parts: &'p Parts<'p>,
    run_on: bool,
    boxes: Vec<Range<usize>>,
    details: Vec<Detail>,
    /// How high each box is.
    heights: Vec<f64>,
}

impl<'p> Arrangement<'p> {
    /// Every procedure with its title alone.
    fn titles(parts: &'p Parts<'p>, sharing: Sharing) -> Self {
        let (boxes, details) = (parts.boxes(sharing), vec![Detail::Title; parts.grave.len()]);
        let heights = boxes.iter().map(|of| parts.height(of, &details, sharing.run_on)).collect();
        Arrangement { parts, run_on: sharing.run_on, boxes, details, heights }
    }

    /// The boxes in each column, and how far the tallest goes over.
    fn balanced(&self, free: f64) -> (Vec<usize>, f64) {
        balance(&self.heights, self.parts.columns, free)
    }

    /// The first way of sharing that fits; where none does, the one that goes over least: the finding says by how much.
    fn best(tried: &'p [Parts<'p>], free: f64) -> Option<Self> {
        let mut least: Option<(f64, Self)> = None;
        for (sharing, parts) in
            SHARING.iter().flat_map(|sharing| tried.iter().map(move |parts| (sharing, parts)))
        {
            let arrangement = Arrangement::titles(parts, *sharing);
            let over = arrangement.balanced(free).1;
            if least.as_ref().is_none_or(|(before, _)| over < *before) {
                least = Some((over, arrangement));
            }
            if over <= 0.0 {
                break;
            }
        }
        least.map(|(_, arrangement)| arrangement)
    }

    /// Gives out what room is left: to numbers, to steps with a number, and to every step, each where it counts first.
    fn fill(&mut self, free: f64) {
        let wordings = self.parts.wordings;
        let rank = |at: &usize| wordings.phase(*at).map_or(u8::MAX, Phase::turn_for_room);
        let mut order: Vec<usize> = (0..self.details.len()).collect();
        order.sort_by_key(rank);
        for detail in [Detail::Numbers, Detail::Numbered, Detail::Every] {
            for at in &order {
                let before = self.details[*at];
                let text = wordings.text(*at, detail);
                if !text.is_empty() && text != wordings.text(*at, before) {
                    self.try_detail(*at, detail, free);
                }
            }
        }
    }

    /// Says so much of a procedure if there is room for it.
    fn try_detail(&mut self, at: usize, detail: Detail, free: f64) {
        let before = std::mem::replace(&mut self.details[at], detail);
        // One box differs from the trial before.
        let Some(n) = self.boxes.iter().position(|of| of.contains(&at)) else { return };
        let height = self.parts.height(&self.boxes[n], &self.details, self.run_on);
        let tall = std::mem::replace(&mut self.heights[n], height);
        if height > tall && self.balanced(free).1 > 0.0 {
            self.details[at] = before;
            self.heights[n] = tall;
        }
    }

    /// Whether every step of every procedure is said.
    fn is_whole(&self) -> bool {
        let wordings = self.parts.wordings;
        let whole =
            |(at, detail): (usize, &Detail)| wordings.text(at, *detail) == wordings.text(at, Detail::Every);
        self.details.iter().enumerate().all(whole)
    }

    /// As the template receives it.
    fn columns(&self, split: &[usize]) -> Vec<CardColumn> {
        let mut groups = self.boxes.iter().map(|of| self.parts.group(of, &self.details, self.run_on));
        split.iter().map(|n| CardColumn { groups: groups.by_ref().take(*n).collect() }).collect()
    }
}

/// Chooses how the steps are shortened; returns how far the back goes over. Titles come first; what room is
/// left is given out, procedure by procedure, to numbers, to steps with a number, and to every step.
pub(in crate::card) fn back(book: &Book, texts: &ForkTexts<'_>, plan: &Plan<'_>, view: &mut CardView) -> f64 {
    let tables = view.tables.len();
    let mut over = back_with(book, texts, plan, view, SHORTENED);
    // The notes at the torques first: their steps say them as well.
    let noted = view.torques.iter().any(|torque| !torque.note.is_empty());
    let without_notes = over > 0.0 && noted;
    if without_notes {
        view.torques.iter_mut().for_each(|torque| torque.note.clear());
        over = back_with(book, texts, plan, view, SHORTENED);
    }
    // A tick for every danger goes before a table that is on the page as well.
    while over > 0.0 && view.tables.pop().is_some() {
        over = back_with(book, texts, plan, view, BOTH);
    }
    // Then the reasons why a check could not be made: that there are some is still said.
    if over > 0.0 && !view.not_made.is_empty() {
        view.not_made.clear();
        over = back_with(book, texts, plan, view, NOT_MADE_LEFT_OUT);
    }
    if view.tables.len() < tables && view.shortened.is_empty() {
        view.shortened = TABLES_LEFT_OUT.to_owned();
    }
    if without_notes && view.shortened.is_empty() {
        view.shortened = NOTES_LEFT_OUT.to_owned();
    }
    over
}

/// What a card says where there was no room for every step.
const SHORTENED: &str =
    "Steps in short, as far as there is room; every step with its reason is on the page to work from.";

/// What a card says where there was room neither for every step nor for all its tables.
const BOTH: &str =
    "Steps in short; every step with its reason, and what to turn or draw off, is on the page to work from.";

/// What a card says where there was no room for all its tables.
const TABLES_LEFT_OUT: &str = "What to turn or draw off for a reading is on the page to work from.";

/// What a card says where there was no room for the checks that could not be made.
const NOT_MADE_LEFT_OUT: &str =
    "What to turn or draw off, and which checks could not be made, is on the page to work from.";

/// What a card says where there was no room for the notes at its torques.
const NOTES_LEFT_OUT: &str = "Notes at torques are on the page to work from.";

fn back_with(
    book: &Book,
    texts: &ForkTexts<'_>,
    plan: &Plan<'_>,
    view: &mut CardView,
    shortened: &str,
) -> f64 {
    view.shortened = shortened.to_owned();
    let free = SHEET_HEIGHT - back_rest(view);
    let make = |procedure: &Procedure, detail: Detail| wording(book, texts, procedure, detail);
    let grave: Vec<bool> = plan.items.iter().map(|item| is_grave(book, texts.fork, item.procedure)).collect();
    let wordings = Wordings::new(plan, &make);
    let tried = COLUMNS.map(|columns| Parts::new(&wordings, &grave, columns));
    let Some(mut arrangement) = Arrangement::best(&tried, free) else { return 0.0 };
    arrangement.fill(free);
    if arrangement.is_whole() {
        view.shortened = String::new();
    }
    let (split, over) = arrangement.balanced(free);
    view.columns = arrangement.columns(&split);
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
