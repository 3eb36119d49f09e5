//! Parts that flow down columns and on into the next, as in a newspaper, so that no column stands empty beside another.

use super::fit::{Paper, Placed, Worked};
use super::height::heading_height;
use super::size::BLOCK_GAP;
use crate::card::view::{CardBlock, CardRun};

/// A line with its part. A part goes on in the next column between two lines.
struct Unit<'w> {
    part: usize,
    line: &'w Placed,
}

/// Parts in columns.
pub(super) struct Flow<'w> {
    parts: &'w [Worked],
    units: Vec<Unit<'w>>,
    columns: usize,
    /// Where each column ends.
    ends: Vec<usize>,
    /// In mm, with the room below.
    high: f64,
}

/// The parts in two or three columns, whichever is lower.
pub(super) fn flow(parts: &[Worked], paper: Paper) -> Flow<'_> {
    let units: Vec<Unit<'_>> = parts
        .iter()
        .enumerate()
        .flat_map(|(part, worked)| worked.lines.iter().map(move |line| Unit { part, line }))
        .collect();
    let ways = if units.is_empty() { &[][..] } else { &[2, 3] };
    let ways = ways.iter().map(|columns| (*columns, breaks(parts, &units, *columns, paper)));
    let least = ways.min_by(|(_, (_, a)), (_, (_, b))| a.total_cmp(b));
    let (columns, (ends, high)) = least.unwrap_or((0, (Vec::new(), -BLOCK_GAP)));
    Flow { parts, units, columns, ends, high: high + BLOCK_GAP }
}

impl Flow<'_> {
    /// How high they are, with the room below, in mm.
    pub(super) fn high(&self) -> f64 {
        self.high
    }

    /// The columns.
    pub(super) fn columns(&self) -> Vec<Vec<CardBlock>> {
        let begin = [0].into_iter().chain(self.ends.iter().copied());
        let column = |(from, to): (usize, &usize)| {
            blocks(self.parts, &self.units[from..*to], from, self.columns, &self.units)
        };
        begin.zip(&self.ends).map(column).collect()
    }
}

/// Where each column ends, so that the highest is as low as the order allows; and how high it is.
fn breaks(parts: &[Worked], units: &[Unit<'_>], columns: usize, paper: Paper) -> (Vec<usize>, f64) {
    let all = units.len();
    let mut best = (vec![all], f64::INFINITY);
    let heights = heights(parts, units, columns, paper);
    let high = |from: usize, to: usize| if from == to { 0.0 } else { heights[from][to - from - 1] };
    for first in 1..=all {
        let one = high(0, first);
        if columns == 2 || first == all {
            let most = one.max(high(first, all));
            if most < best.1 {
                best = (vec![first, all], most);
            }
            continue;
        }
        for second in first..=all {
            let most = one.max(high(first, second)).max(high(second, all));
            if most < best.1 {
                best = (vec![first, second, all], most);
            }
        }
    }
    best
}

/// How high a column is that begins at a line and ends with it or with one of those after it, for each line.
fn heights(parts: &[Worked], units: &[Unit<'_>], columns: usize, paper: Paper) -> Vec<Vec<f64>> {
    let wide = paper.column(columns);
    let head = |part: &Worked| heading_height(part.part, &part.note, wide);
    let heads: Vec<f64> = parts.iter().map(head).collect();
    let from = |first: usize| {
        // The blocks above, and of the one that is being filled its part and its lines.
        let (mut above, mut filling, mut lines) = (0.0, None, 0.0);
        let block = |part: usize, lines: f64| heads[part] - paper.tight() + lines + BLOCK_GAP;
        let to = |unit: &Unit<'_>| {
            if let Some(before) = filling.filter(|before| *before != unit.part) {
                above += block(before, lines);
                lines = 0.0;
            }
            filling = Some(unit.part);
            lines += unit.line.high(columns);
            above + block(unit.part, lines)
        };
        units[first..].iter().map(to).collect()
    };
    (0..units.len()).map(from).collect()
}

/// The blocks of a column; a part that was begun in the column before says so.
fn blocks(
    parts: &[Worked],
    here: &[Unit<'_>],
    from: usize,
    columns: usize,
    all: &[Unit<'_>],
) -> Vec<CardBlock> {
    let before = from.checked_sub(1).and_then(|n| all.get(n)).map(|unit| unit.part);
    let made = here.chunk_by(|a, b| a.part == b.part).filter_map(|block| {
        let n = block.first()?.part;
        let part = parts.get(n)?;
        let goes_on = before == Some(n);
        let title = if goes_on { format!("{}, cont.", part.part) } else { part.part.to_owned() };
        let lines = block.iter().map(|unit| unit.line.in_column(columns));
        Some(CardBlock {
            title,
            note: if goes_on { String::new() } else { part.note.clone() },
            runs: vec![CardRun { columns: vec![lines.collect()] }],
        })
    });
    made.collect()
}
