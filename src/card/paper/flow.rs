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

/// The parts in two or three columns, whichever is lower, and how high they are in mm.
pub(super) fn flow(parts: &[Worked], paper: Paper) -> (Vec<Vec<CardBlock>>, f64) {
    let units: Vec<Unit<'_>> = parts
        .iter()
        .enumerate()
        .flat_map(|(part, worked)| worked.lines.iter().map(move |line| Unit { part, line }))
        .collect();
    if units.is_empty() {
        return (Vec::new(), 0.0);
    }
    let ways = [2, 3].map(|columns| (columns, breaks(parts, &units, columns, paper)));
    let least = ways.into_iter().min_by(|(_, (_, a)), (_, (_, b))| a.total_cmp(b));
    let Some((columns, (ends, high))) = least else { return (Vec::new(), 0.0) };
    let mut from = 0;
    let made = ends.into_iter().map(|to| {
        let column = blocks(parts, &units[from..to], from, columns, &units);
        from = to;
        column
    });
    (made.collect(), high + BLOCK_GAP)
}

/// Where each column ends, so that the highest is as low as the order allows; and how high it is.
fn breaks(parts: &[Worked], units: &[Unit<'_>], columns: usize, paper: Paper) -> (Vec<usize>, f64) {
    let all = units.len();
    let mut best = (vec![all], f64::INFINITY);
    let high = |from: usize, to: usize| column_height(parts, &units[from..to], columns, paper);
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

fn column_height(parts: &[Worked], units: &[Unit<'_>], columns: usize, paper: Paper) -> f64 {
    let wide = paper.column(columns);
    let blocks = units.chunk_by(|a, b| a.part == b.part);
    let heights = blocks.map(|block| {
        let first = block.first().map_or(0, |unit| unit.part);
        let head = parts.get(first).map_or(0.0, |part| heading_height(part.part, &part.note, wide));
        head - paper.tight() + block.iter().map(|unit| unit.line.high(columns)).sum::<f64>() + BLOCK_GAP
    });
    heights.sum()
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
        let title = if goes_on { format!("{}, continued", part.part) } else { part.part.to_owned() };
        let lines = block.iter().map(|unit| unit.line.in_column(columns));
        Some(CardBlock {
            title,
            note: if goes_on { String::new() } else { part.note.clone() },
            runs: vec![CardRun { columns: vec![lines.collect()] }],
        })
    });
    made.collect()
}
