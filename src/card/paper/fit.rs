//! How lines are laid out on a side: parts of the job one below the other, lines in columns, frames across the sheet;
//! at which procedure the sheet is turned, and how much each side leaves out.

use std::cell::OnceCell;
use std::sync::Arc;

use super::height::{Measured, Way, back_rest, front_rest, has_room, heading_height, least_room};
use super::size::{BLOCK_GAP, COLUMN_GAP, RUN_GAP, SHEET_HEIGHT, SHEET_WIDTH};
use crate::book::held::Shared;
use crate::card::view::{CardBlock, CardLine, CardRun, CardView};

/// The most columns of lines.
const COLUMNS: usize = 3;

/// What a card is laid out on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::card) struct Paper {
    /// How much larger than on a job card everything is, in hundredths.
    percent: u32,
    /// In mm.
    wide: f64,
    /// In mm.
    high: f64,
    /// By how much a heading is lower than on a job card, in mm.
    tight: f64,
    /// Whether lines with numbers may stand in three columns: where nothing is written beside them.
    three: bool,
}

impl Paper {
    /// A side of a job card.
    pub const JOB: Paper =
        Paper { percent: 100, wide: SHEET_WIDTH, high: SHEET_HEIGHT, tight: 0.0, three: false };

    /// A hang card on which everything is larger by this share, in hundredths.
    pub fn hang(percent: u32) -> Paper {
        let share = 100.0 / f64::from(percent);
        Paper { percent, wide: SHEET_WIDTH * share, high: SHEET_HEIGHT * share, tight: 0.4, three: true }
    }

    /// In mm.
    pub(super) fn wide(self) -> f64 {
        self.wide
    }

    /// How much larger than on a job card everything is, in hundredths.
    pub fn percent(self) -> u32 {
        self.percent
    }

    /// In mm.
    pub fn high(self) -> f64 {
        self.high
    }

    /// By how much a heading is lower than on a job card, in mm.
    pub(super) fn tight(self) -> f64 {
        self.tight
    }

    /// How wide each of so many columns is, in mm.
    pub(super) fn column(self, columns: usize) -> f64 {
        (self.wide - COLUMN_GAP * (columns as f64 - 1.0)) / columns as f64
    }
}

/// A line with where its figure stands in a column across the sheet, in one of two and in one of three.
#[derive(Clone)]
pub(in crate::card) struct Placed {
    line: Arc<Measured>,
    ways: [Way; COLUMNS],
    /// It goes across the sheet: a frame, or what would be very high in a column.
    alone: bool,
    /// Its tables and its words have room in one of three columns.
    in_three: bool,
}

impl Placed {
    /// A line on a paper.
    pub fn new(line: Arc<Measured>, paper: Paper) -> Placed {
        let ways: [Way; COLUMNS] = std::array::from_fn(|n| least_room(&line, paper.column(n + 1)));
        let is_tall = line.line().tables.is_empty() && ways[1].high > TALL;
        let tables = line.tables_width();
        let alone = line.line().frame || is_tall || tables > paper.column(2);
        let narrow = paper.column(COLUMNS);
        let in_three = tables <= narrow && has_room(line.line(), narrow);
        Placed { line, ways, alone, in_three }
    }

    fn line(&self) -> &CardLine {
        self.line.line()
    }

    /// Whether it is this very line.
    pub fn is_of(&self, line: &Arc<Measured>) -> bool {
        Arc::ptr_eq(&self.line, line)
    }

    /// How much of a side it takes at the least, in mm of its whole width.
    pub(super) fn least_share(&self) -> f64 {
        self.ways
            .iter()
            .zip(1u8..)
            .map(|(way, columns)| way.high / f64::from(columns))
            .fold(f64::INFINITY, f64::min)
    }

    /// How high it is in one of so many columns, in mm.
    pub(super) fn high(&self, columns: usize) -> f64 {
        self.ways[columns - 1].high
    }

    /// The line with its figure where it stands in one of so many columns.
    pub(super) fn in_column(&self, columns: usize) -> Shared<CardLine> {
        let Way { across, below, .. } = self.ways[columns - 1];
        self.line.placed(across, below)
    }
}

/// A procedure's lines with the part of the job it belongs to.
pub(in crate::card) struct Worked {
    /// The part of the job.
    pub part: &'static str,
    /// What holds for all of it.
    pub note: String,
    /// Its lines.
    pub lines: Arc<[Placed]>,
    /// It flows down columns together with its neighbors, and not across the sheet.
    pub flows: bool,
}

/// A card with so much left out: the texts at its head and foot, and its lines.
pub(in crate::card) struct Level {
    /// What stands beside the lines.
    pub view: CardView,
    /// The lines, procedure by procedure.
    pub work: Vec<Worked>,
    /// How high the front is without them, the back with what it left out at its head, and without, in mm.
    rests: [f64; 3],
}

impl Level {
    /// A card with these texts and lines.
    pub fn new(view: CardView, work: Vec<Worked>) -> Level {
        let rests = [front_rest(&view), back_rest(&view, &view.left_out), back_rest(&view, "")];
        Level { rests, view, work }
    }

    fn front_over(&self, turn: usize) -> f64 {
        height(&self.work[..turn], Paper::JOB) + self.rests[0] - SHEET_HEIGHT
    }

    fn back_over(&self, turn: usize) -> f64 {
        let back = &self.work[turn..];
        let rest = if has_place(back, &self.view.left_out) { self.rests[2] } else { self.rests[1] };
        height(back, Paper::JOB) + rest - SHEET_HEIGHT
    }
}

/// Whether what a side left out has room beside the heading of its last part, which says nothing itself: what holds for
/// several parts is said once, at the first.
fn has_place(side: &[Worked], left_out: &str) -> bool {
    let mut parts: Vec<&Worked> = parts(side).map(|(first, _)| first).collect();
    let Some(last) = parts.pop() else { return false };
    let is_said = last.note.is_empty() || parts.iter().any(|part| part.note == last.note);
    is_said
        && !parts.is_empty()
        && heading_height(last.part, left_out, SHEET_WIDTH) <= heading_height("", "", SHEET_WIDTH)
}

/// The levels of a card, each made when it is first asked for.
pub(in crate::card) struct Levels<F> {
    made: Vec<OnceCell<Level>>,
    make: F,
}

impl<F: Fn(usize) -> Level> Levels<F> {
    /// So many levels, the first with nothing left out.
    pub fn new(count: usize, make: F) -> Self {
        Levels { made: (0..count).map(|_| OnceCell::new()).collect(), make }
    }

    fn at(&self, n: usize) -> &Level {
        self.made[n].get_or_init(|| (self.make)(n))
    }

    /// The first level at which a side fits, and how far it goes over there; else the last.
    fn least(&self, over: impl Fn(&Level) -> f64) -> (usize, f64) {
        let whole = over(self.at(0));
        if whole <= 0.0 {
            return (0, whole);
        }
        // What is left out stays left out in the next: found by halves.
        let (mut low, mut high) = (0, self.made.len() - 1);
        while low + 1 < high {
            let middle = (low + high) / 2;
            if over(self.at(middle)) <= 0.0 { high = middle } else { low = middle }
        }
        (high, over(self.at(high)))
    }
}

/// How a card is laid out.
pub(in crate::card) struct Laid {
    /// At which procedure the sheet is turned.
    pub turn: usize,
    /// The level of the front and of the back.
    pub levels: [usize; 2],
    /// How far each side goes over, in mm; zero or less where it fits.
    pub over: [f64; 2],
}

/// Where the sheet is turned: at the first place of the first of `turns` that has one at which both sides fit, with
/// the least left out; else where the least goes over.
pub(in crate::card) fn lay_out<F: Fn(usize) -> Level>(
    levels: &Levels<F>,
    turns: impl IntoIterator<Item = Vec<usize>>,
    said: impl Fn(&[usize], &[&'static str]) -> String,
) -> (Laid, CardView) {
    let mut best: Option<Laid> = None;
    for places in turns {
        for turn in places {
            let (front, front_over) = levels.least(|level| level.front_over(turn));
            let (back, back_over) = levels.least(|level| level.back_over(turn));
            let laid = Laid { turn, levels: [front, back], over: [front_over, back_over] };
            if best.as_ref().is_none_or(|before| worse(before, &laid)) {
                best = Some(laid);
            }
        }
        if best.as_ref().is_some_and(|laid| laid.over.iter().all(|over| *over <= 0.0)) {
            break;
        }
    }
    let mut laid = best.unwrap_or(Laid { turn: 0, levels: [0; 2], over: [0.0; 2] });
    let view = view(levels, &laid, said);
    // Room was kept for the names of all that may have gone; those that did take less.
    let [front, back] = laid.levels.map(|n| levels.at(n));
    laid.over = [
        height(&front.work[..laid.turn], Paper::JOB) + front_rest(&view) - SHEET_HEIGHT,
        height(&back.work[laid.turn..], Paper::JOB) + back_rest(&view, &view.left_out) - SHEET_HEIGHT,
    ];
    (laid, view)
}

fn worse(before: &Laid, laid: &Laid) -> bool {
    let over = |laid: &Laid| laid.over.iter().map(|over| over.max(0.0)).sum::<f64>();
    let left_out = |laid: &Laid| {
        let [front, back] = laid.levels;
        (front.max(back), front + back)
    };
    over(laid).total_cmp(&over(before)).then_with(|| left_out(laid).cmp(&left_out(before))).is_lt()
}

/// Which levels took something from the lines of a side.
fn went<F: Fn(usize) -> Level>(
    levels: &Levels<F>,
    level: usize,
    is_side: impl Fn(usize) -> bool,
) -> Vec<usize> {
    let sides = |n: usize| levels.at(n).work.iter().enumerate().filter(|(at, _)| is_side(*at));
    // Lines that nothing goes from are the very same at both levels.
    let differ = |(before, after): (&Worked, &Worked)| {
        !Arc::ptr_eq(&before.lines, &after.lines)
            && !before.lines.iter().map(Placed::line).eq(after.lines.iter().map(Placed::line))
    };
    let pairs = |n: usize| sides(n - 1).zip(sides(n)).map(|((_, before), (_, after))| (before, after));
    (1..=level).filter(|n| pairs(*n).any(differ)).collect()
}

fn view<F: Fn(usize) -> Level>(
    levels: &Levels<F>,
    laid: &Laid,
    said: impl Fn(&[usize], &[&'static str]) -> String,
) -> CardView {
    let [front, back] = laid.levels.map(|n| levels.at(n));
    let beside = front.view.went_beside(&levels.at(0).view);
    let number = back.work.get(laid.turn).and_then(|next| next.lines.first());
    let mut left_out = said(&went(levels, laid.levels[1], |at| at >= laid.turn), &[]);
    let mut back_blocks = blocks(&back.work[laid.turn..], Paper::JOB);
    if let Some(last) = back_blocks.last_mut().filter(|_| has_place(&back.work[laid.turn..], &left_out)) {
        last.note = std::mem::take(&mut left_out);
    }
    CardView {
        front: blocks(&front.work[..laid.turn], Paper::JOB),
        back: back_blocks,
        turn: number.map_or_else(String::new, |next| format!("Turn over at {}.", next.line().number)),
        not_made: back.view.not_made.clone(),
        front_left_out: said(&went(levels, laid.levels[0], |at| at < laid.turn), &beside),
        left_out,
        ..front.view.clone()
    }
}

/// The parts of the job: neighbors that belong to the same, with all their lines.
fn parts(work: &[Worked]) -> impl Iterator<Item = (&Worked, Vec<&Placed>)> {
    work.chunk_by(|a, b| a.part == b.part).filter_map(|part| {
        Some((part.first()?, part.iter().flat_map(|worked| worked.lines.iter()).collect()))
    })
}

pub(super) fn blocks(work: &[Worked], paper: Paper) -> Vec<CardBlock> {
    let block = |(first, lines): (&Worked, Vec<&Placed>)| CardBlock {
        title: first.part.to_owned(),
        note: first.note.clone(),
        runs: runs(&lines, paper.three).map(|(run, counts)| columned(run, &counts)).collect(),
    };
    let mut blocks: Vec<CardBlock> = parts(work).map(block).collect();
    // What holds for several parts of a side is said once.
    for n in (1..blocks.len()).rev() {
        let (before, from) = blocks.split_at_mut(n);
        if let Some(block) = from.first_mut().filter(|block| before.iter().any(|one| one.note == block.note))
        {
            block.note.clear();
        }
    }
    blocks
}

/// How high the parts are together, with the room between them, in mm.
pub(super) fn height(work: &[Worked], paper: Paper) -> f64 {
    let part = |(first, lines): (&Worked, Vec<&Placed>)| {
        heading_height(first.part, &first.note, paper.wide) - paper.tight
            + runs(&lines, paper.three).map(|(run, counts)| run_height(run, &counts)).sum::<f64>()
            + BLOCK_GAP
    };
    parts(work).map(part).sum()
}

/// From which height on a line in a column goes across the sheet instead, in mm.
const TALL: f64 = 32.0;

/// Lines that stand together, with how many go into each column.
fn runs<'p, 'l>(
    lines: &'l [&'p Placed],
    three: bool,
) -> impl Iterator<Item = (&'l [&'p Placed], Vec<usize>)> {
    lines.chunk_by(|a, b| !a.alone && !b.alone).map(move |run| {
        let counts = match run {
            [one] if one.alone => vec![1],
            [_] => vec![1, 0],
            _ if three || run.iter().all(|placed| placed.line().figures.is_empty()) => least(run),
            _ => split(run, 2),
        };
        (run, counts)
    })
}

/// Two columns or three, whichever is lower.
fn least(run: &[&Placed]) -> Vec<usize> {
    let (two, three) = (split(run, 2), split(run, COLUMNS.min(run.len())));
    let has_room = run.iter().all(|placed| placed.in_three);
    if has_room && run_height(run, &three) < run_height(run, &two) { three } else { two }
}

/// The columns that so many lines go into.
fn cut<'l, 'p>(run: &'l [&'p Placed], counts: &[usize]) -> impl Iterator<Item = &'l [&'p Placed]> {
    let mut rest = run;
    counts.iter().map(move |count| {
        let (column, after) = rest.split_at((*count).min(rest.len()));
        rest = after;
        column
    })
}

fn columned(run: &[&Placed], counts: &[usize]) -> CardRun {
    let column = |lines: &[&Placed]| lines.iter().map(|placed| placed.in_column(counts.len())).collect();
    CardRun { columns: cut(run, counts).map(column).collect() }
}

fn run_height(run: &[&Placed], counts: &[usize]) -> f64 {
    let tall = |lines: &[&Placed]| lines.iter().map(|placed| placed.high(counts.len())).sum::<f64>();
    cut(run, counts).map(tall).fold(0.0, f64::max) + RUN_GAP
}

fn split(run: &[&Placed], columns: usize) -> Vec<usize> {
    let heights: Vec<f64> = run.iter().map(|placed| placed.high(columns)).collect();
    split_heights(&heights, columns)
}

/// How many lines go into each column, read down one after the other, so that the tallest is as low as can be.
fn split_heights(heights: &[f64], columns: usize) -> Vec<usize> {
    let fits = |room: f64| {
        let (mut counts, mut at) = (vec![0], 0.0);
        for height in heights {
            if at + height > room && at > 0.0 {
                counts.push(0);
                at = 0.0;
            }
            at += height;
            if let Some(last) = counts.last_mut() {
                *last += 1;
            }
        }
        (counts.len() <= columns).then_some(counts)
    };
    let whole: f64 = heights.iter().sum();
    let (mut low, mut high) = (whole / columns as f64, whole + 1.0);
    let mut best = vec![heights.len()];
    // A hundredth of a millimetre is finer than any printer.
    while high - low > 0.01 {
        let middle = (low + high) / 2.0;
        match fits(middle) {
            Some(counts) => (best, high) = (counts, middle),
            None => low = middle,
        }
    }
    best.resize(columns, 0);
    best
}

#[cfg(test)]
mod tests {
    use super::split_heights as split;

    #[test]
    fn the_tallest_column_is_as_low_as_the_order_allows() {
        assert_eq!(split(&[1.0, 1.0, 1.0, 1.0], 2), [2, 2]);
        assert_eq!(split(&[3.0, 1.0, 1.0, 1.0], 2), [1, 3]);
        assert_eq!(split(&[1.0; 7], 3), [3, 3, 1]);
        assert_eq!(split(&[5.0], 2), [1, 0]);
        assert_eq!(split(&[], 2), [0, 0]);
    }
}
