//! How lines are laid out on a side: parts of the job one below the other, lines in columns, frames across the sheet;
//! and at which procedure the sheet is turned.

use super::height::{HEADING, back_rest, front_rest, line_height, place_figure};
use super::size::{BLOCK_GAP, COLUMN_GAP, RUN_GAP, SHEET_HEIGHT, SHEET_WIDTH};
use crate::card::view::{CardBlock, CardLine, CardRun, CardView};

/// A procedure's lines with the part of the job it belongs to.
pub(in crate::card) struct Worked {
    /// The part of the job.
    pub part: &'static str,
    /// What holds for all of it.
    pub note: String,
    /// Its lines.
    pub lines: Vec<CardLine>,
}

/// How far each side goes over, in mm; zero or less where it fits.
pub(in crate::card) type Over = [f64; 2];

/// Lays the procedures out on both sides. The sheet is turned at the first of `turns` at which both have room; returns
/// how far each side goes over.
pub(in crate::card) fn lay_out(
    work: &[Worked],
    turns: impl IntoIterator<Item = usize>,
    most: usize,
    view: &mut CardView,
) -> Over {
    let mut best: Option<(f64, Over, usize)> = None;
    for turn in turns {
        let front = height(&blocks(&work[..turn], most)) + front_rest(view) - SHEET_HEIGHT;
        let back = height(&blocks(&work[turn..], most)) + back_rest(view) - SHEET_HEIGHT;
        let worst = front.max(back);
        if best.as_ref().is_none_or(|(before, ..)| worst < *before) {
            best = Some((worst, [front, back], turn));
        }
        if worst <= 0.0 {
            break;
        }
    }
    let (_, over, turn) = best.unwrap_or((0.0, [0.0; 2], work.len()));
    (view.front, view.back) = (blocks(&work[..turn], most), blocks(&work[turn..], most));
    let number = work.get(turn).and_then(|next| next.lines.first()).map(|line| line.number.as_str());
    view.turn = number.map_or_else(String::new, |number| format!("Turn over at {number}."));
    over
}

/// The parts of the job, each with its lines in columns and its frames across.
fn blocks(work: &[Worked], most: usize) -> Vec<CardBlock> {
    let mut out: Vec<(CardBlock, Vec<CardLine>)> = Vec::new();
    for worked in work {
        if out.last().is_none_or(|(block, _)| block.title != worked.part) {
            let (title, note) = (worked.part.to_owned(), worked.note.clone());
            out.push((CardBlock { title, note, runs: Vec::new() }, Vec::new()));
        }
        if let Some((_, lines)) = out.last_mut() {
            lines.extend(worked.lines.iter().cloned());
        }
    }
    out.into_iter().map(|(block, lines)| CardBlock { runs: runs(lines, most), ..block }).collect()
}

/// From which height on a line in a column goes across the sheet instead, in mm.
const TALL: f64 = 24.0;

fn runs(lines: Vec<CardLine>, most: usize) -> Vec<CardRun> {
    let alone = |line: &CardLine| line.frame || is_tall(line);
    let mut out = Vec::new();
    for together in lines.chunk_by(|a, b| !alone(a) && !alone(b)) {
        let columns = match together {
            [one] if alone(one) => 1,
            [_] => 2,
            _ if together.iter().all(|line| line.figures.is_empty()) => least(together, most.max(2)),
            _ => 2,
        };
        out.push(CardRun { columns: columned(together, columns) });
    }
    out
}

fn is_tall(line: &CardLine) -> bool {
    line_height(&place_figure(line, column(2)), column(2)) > TALL
}

/// Two columns or more, whichever is lower.
fn least(lines: &[CardLine], most: usize) -> usize {
    let high = |columns: usize| run_height(&CardRun { columns: columned(lines, columns) });
    (2..=most.min(lines.len())).min_by(|a, b| high(*a).total_cmp(&high(*b))).unwrap_or(2)
}

/// How wide each of so many columns is, in mm.
fn column(columns: usize) -> f64 {
    (SHEET_WIDTH - COLUMN_GAP * (columns as f64 - 1.0)) / columns as f64
}

/// Lines in columns, read down one after the other, the tallest as low as can be.
fn columned(lines: &[CardLine], columns: usize) -> Vec<Vec<CardLine>> {
    let wide = column(columns);
    let placed: Vec<CardLine> = lines.iter().map(|line| place_figure(line, wide)).collect();
    let heights: Vec<f64> = placed.iter().map(|line| line_height(line, wide)).collect();
    let mut rest = placed.into_iter();
    split(&heights, columns).into_iter().map(|n| rest.by_ref().take(n).collect()).collect()
}

/// How many lines go into each column.
fn split(heights: &[f64], columns: usize) -> Vec<usize> {
    let fits = |room: f64| {
        let (mut counts, mut at) = (vec![0], 0.0);
        for height in heights {
            if at + height > room + 1e-9 && at > 0.0 {
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
    // The tallest column ends at the sum of some lines that follow one another.
    let sums = (0..heights.len()).flat_map(|from| (from + 1..=heights.len()).map(move |to| (from, to)));
    let mut rooms: Vec<f64> = sums.map(|(from, to)| heights[from..to].iter().sum()).collect();
    rooms.sort_by(f64::total_cmp);
    let mut counts = rooms.into_iter().find_map(fits).unwrap_or_else(|| vec![heights.len()]);
    counts.resize(columns, 0);
    counts
}

fn run_height(run: &CardRun) -> f64 {
    let wide = column(run.columns.len());
    let tall = |lines: &Vec<CardLine>| lines.iter().map(|line| line_height(line, wide)).sum::<f64>();
    run.columns.iter().map(tall).fold(0.0, f64::max) + RUN_GAP
}

/// How high blocks are together, with the room between them, in mm.
fn height(blocks: &[CardBlock]) -> f64 {
    let block = |block: &CardBlock| HEADING + block.runs.iter().map(run_height).sum::<f64>() + BLOCK_GAP;
    blocks.iter().map(block).sum()
}

#[cfg(test)]
mod tests {
    use super::split;

    #[test]
    fn the_tallest_column_is_as_low_as_the_order_allows() {
        assert_eq!(split(&[1.0, 1.0, 1.0, 1.0], 2), [2, 2]);
        assert_eq!(split(&[3.0, 1.0, 1.0, 1.0], 2), [1, 3]);
        assert_eq!(split(&[1.0; 7], 3), [3, 3, 1]);
        assert_eq!(split(&[5.0], 2), [1, 0]);
        assert_eq!(split(&[], 2), [0, 0]);
    }
}
