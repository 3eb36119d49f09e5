//! How much room the lines of a card take on its sheet, by the sizes of its style sheet.

use super::face::{POINT, lines, lines_after, width};
use super::size::*;
use crate::card::view::{CardCaution, CardHazard, CardLine, CardValue, CardView};

/// A heading with the rule below it, in mm.
pub(super) const HEADING: f64 = 5.6;

/// The head of the back with its rule, in mm.
const BACK_HEAD: f64 = 7.2;

/// The frame and the room inside of a number that goes across the sheet, in mm.
const AROUND: f64 = 5.6;

/// How high lines of a size are together, in mm.
fn tall(lines: usize, points: f64, spacing: f64) -> f64 {
    lines as f64 * points * spacing * POINT
}

fn high(text: &str, points: f64, bold: bool, room: f64, spacing: f64) -> f64 {
    tall(lines(text, points, bold, room.max(8.0)), points, spacing)
}

/// The front without its lines.
pub(super) fn front_rest(view: &CardView) -> f64 {
    let boxes = |boxes: usize| if boxes == 0 { 0.0 } else { DESK_HEIGHT + FRAME + ROUNDING };
    let job = if view.job.is_empty() { 0.0 } else { 2.0 * boxes(1) + BLOCK_GAP };
    let found = if view.findings.is_empty() { 0.0 } else { boxes(1) + BLOCK_GAP };
    let small = format!(
        "L and R as seen from the saddle. The maker’s manual for this exact model overrides this card. {} {} {}",
        view.signs, view.turn, view.address
    );
    let small = high(&small, UNDER_TYPE, false, SHEET_WIDTH, UNDER_LINE) + 0.2;
    top_height(view) + job + cautions_height(&view.cautions) + found + small
}

/// Who the card is for, its codes and its picture, with the rule below.
fn top_height(view: &CardView) -> f64 {
    let picture = if view.qr_html.is_empty() { 0.0 } else { QR_SIZE };
    let room = SHEET_WIDTH - CODES_WIDTH - 2.0 * HEAD_GAP - picture;
    let service = format!("{}, {}", view.service, view.length);
    let who = high(&view.fork, TITLE_TYPE, true, room, TITLE_LINE)
        + high(&service, LABEL_TYPE, true, room, LABEL_LINE)
        + high(&view.machines, UNDER_TYPE, false, room, UNDER_LINE);
    let review = format!("reviewed {}", view.review);
    let codes = 2.0 * tall(1, LABEL_TYPE, LABEL_LINE)
        + high(&review, UNDER_TYPE, false, CODES_WIDTH - 1.0, UNDER_LINE);
    who.max(codes).max(picture) + HEAD_PAD + HEAD_RULE + ROUNDING + BLOCK_GAP
}

fn cautions_height(cautions: &[CardCaution]) -> f64 {
    let room = SHEET_WIDTH - SIGNAL_WIDTH - 4.0;
    let height = |caution: &CardCaution| {
        let (title, filled) = lines_after(&format!("{}.", caution.title), CAUTION_TYPE, true, room, 0.0);
        let text = lines_after(&caution.text, CAUTION_TYPE, false, room, filled).0;
        tall(title + text - 1, CAUTION_TYPE, CAUTION_LINE) + CAUTION_PAD + FRAME
    };
    let all: f64 = cautions.iter().map(height).sum();
    if cautions.is_empty() { 0.0 } else { all + BLOCK_GAP + 0.6 }
}

/// The back without its lines.
pub(super) fn back_rest(view: &CardView) -> f64 {
    let notes = if view.not_made.is_empty() {
        view.left_out.clone()
    } else {
        format!("{NOT_MADE} {} {}", view.not_made.join(" "), view.left_out)
    };
    let notes = high(&notes, UNDER_TYPE, false, SHEET_WIDTH, UNDER_LINE);
    BACK_HEAD + notes + 2.0 * (DESK_HEIGHT + FRAME + ROUNDING) + 3.0 * BLOCK_GAP
}

/// The label of the line of checks that could not be made; it stands in the card's template as well.
const NOT_MADE: &str = "Checks that could not be made:";

/// How wide a figure is, in mm.
fn figure_width(line: &CardLine, figure: &CardValue) -> f64 {
    let (value, tolerance) =
        if line.largest { (largest(line), LARGEST_TOLERANCE) } else { (VALUE_TYPE, TOLERANCE_TYPE) };
    let side = if figure.side.is_empty() { 0.0 } else { 6.0 };
    let tail = format!("{}{}", figure.tail, line.sign);
    side + width(&figure.main, value, true) + width(&tail, tolerance, true) + 3.0
}

/// The size of the largest number: of two, one for each leg, it is smaller.
fn largest(line: &CardLine) -> f64 {
    if line.figures.len() > 1 { LARGEST_OF_TWO } else { LARGEST_TYPE }
}

fn figures_width(line: &CardLine) -> f64 {
    line.figures.iter().map(|figure| figure_width(line, figure)).fold(0.0, f64::max)
}

fn figures_height(line: &CardLine) -> f64 {
    let type_size = if line.largest { largest(line) } else { VALUE_TYPE };
    tall(line.figures.len(), type_size, VALUE_LINE)
}

/// The room beside the boxes of a line.
fn text_room(line: &CardLine, wide: f64) -> f64 {
    let boxes = line.boxes.len() as f64 * WRITE_WIDTH;
    let ticks = line.ticks.len() as f64 * (TICK_SIZE + 0.8);
    let gap = if line.boxes.is_empty() { 0.0 } else { LINE_GAP };
    wide - boxes - gap - if line.ticks.is_empty() { 0.0 } else { ticks + LINE_GAP }
}

fn hazards_text(line: &CardLine) -> String {
    let said = |hazard: &CardHazard| format!(" __{} {}", hazard.signal, hazard.word).trim_end().to_owned();
    line.hazards.iter().map(said).collect()
}

/// How high title and state are, with the marks and signs between them; underscores stand for their frames.
fn head_height(line: &CardLine, room: f64) -> f64 {
    let bold = line.ticks.is_empty();
    let marks = [(line.estimate, "ESTIMATE"), (line.doubt, "IN_DOUBT"), (!line.mark.is_empty(), line.mark.as_str())];
    let marks = marks.into_iter().filter(|(stands, _)| *stands).map(|(_, mark)| format!(" {mark}__"));
    let oils = line.oils.iter().map(|oil| format!(" {oil}_"));
    let hazards = if bold { String::new() } else { hazards_text(line) };
    let pieces = [
        (format!("{} {}", line.number, line.title), LABEL_TYPE, bold),
        (oils.collect(), LABEL_TYPE, true),
        (marks.collect(), UNDER_TYPE, true),
        (line.state.clone(), LABEL_TYPE, false),
        (hazards, UNDER_TYPE, true),
    ];
    let (mut count, mut filled) = (1, 0.0);
    for (text, points, bold) in pieces.iter().filter(|(text, ..)| !text.trim().is_empty()) {
        let (more, at) = lines_after(text, *points, *bold, room.max(8.0), filled);
        (count, filled) = (count + more - 1, at);
    }
    let framed = !line.oils.is_empty() || line.estimate || line.doubt || !line.mark.is_empty();
    tall(count, LABEL_TYPE, LABEL_LINE) + if framed { 0.8 } else { 0.0 }
}

fn under_height(line: &CardLine, room: f64) -> f64 {
    let hazards = if line.ticks.is_empty() { hazards_text(line) } else { String::new() };
    if hazards.is_empty() && line.under.is_empty() {
        return 0.0;
    }
    let room = room.max(8.0);
    let (first, filled) = lines_after(&hazards, UNDER_TYPE, true, room, 0.0);
    let rest = lines_after(&line.under, UNDER_TYPE, false, room, filled).0;
    tall(first + rest - 1, UNDER_TYPE, UNDER_LINE)
}

/// The line with its figure where it takes least room: beside all its words, beside its name alone, or below it.
pub(super) fn place_figure(line: &CardLine, wide: f64) -> CardLine {
    if line.frame || line.figures.is_empty() {
        return line.clone();
    }
    let room = text_room(line, wide) - figures_width(line) - LINE_GAP;
    let longest = line.title.split(' ').map(|word| width(word, LABEL_TYPE, true)).fold(0.0, f64::max);
    let ways = [(false, false), (true, false), (true, true)];
    let ways = ways.into_iter().filter(|(_, below)| *below || room >= longest.max(20.0));
    let placed = ways.map(|(across, below)| CardLine { across, below, ..line.clone() });
    let high = |line: &CardLine| line_height(line, wide);
    placed.min_by(|a, b| high(a).total_cmp(&high(b))).unwrap_or_else(|| line.clone())
}

/// How high a line is, in mm.
pub(super) fn line_height(line: &CardLine, wide: f64) -> f64 {
    if line.frame {
        return frame_height(line, wide);
    }
    let room = text_room(line, wide);
    let figures = figures_height(line);
    let beside = if line.figures.is_empty() { 0.0 } else { figures_width(line) + LINE_GAP };
    let words = if line.below {
        head_height(line, room) + figures + under_height(line, room)
    } else if line.across {
        head_height(line, room - beside).max(figures) + under_height(line, room)
    } else {
        (head_height(line, room - beside) + under_height(line, room - beside)).max(figures)
    };
    let boxes = if line.boxes.is_empty() { 0.0 } else { WRITE_HEIGHT };
    let ticks = if line.ticks.is_empty() { 0.0 } else { TICK_SIZE };
    words.max(boxes).max(ticks) + LINE_PAD + ROUNDING
}

/// How high a frame across the sheet is, in mm.
fn frame_height(line: &CardLine, wide: f64) -> f64 {
    let (drawing_width, drawing_height) = match (line.drawing_html.is_empty(), line.largest) {
        (true, _) => (0.0, 0.0),
        (false, true) => (DRAWING_WIDTH + LINE_GAP, DRAWING_HEIGHT),
        (false, false) => (DRAWING_WIDTH + LINE_GAP, SMALL_DRAWING_HEIGHT),
    };
    let room = wide - AROUND - drawing_width - 1.0;
    let boxes = WRITE_HEIGHT + line.more.len() as f64 * (WRITE_HEIGHT + MORE_LABEL);
    let words = room - 2.0 * WRITE_WIDTH - figures_width(line) - 3.0 * LINE_GAP;
    let top = (head_height(line, words) + under_height(line, words)).max(figures_height(line)).max(boxes);
    let table = |rows: usize| (rows + 1) as f64 * (TABLE_ROW + 2.0 * ROUNDING) + 1.4;
    let tables: f64 = line.tables.iter().map(|one| table(one.rows.len())).sum();
    (top + tables).max(drawing_height) + AROUND + LINE_PAD
}
