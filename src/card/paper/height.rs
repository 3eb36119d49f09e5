//! How much room the blocks of a card take on its sheet, by the sizes of its style sheet.

use super::face::{POINT, lines, lines_after, width};
use super::size::*;
use crate::book::view::CardTable;
use crate::card::view::{CardCaution, CardNumber, CardTorque, CardView, FoundRow};

/// A heading with the rule below it, in mm.
const HEADING: f64 = 5.6;

/// The two head lines of the table of readings, in mm.
const READ_HEAD: f64 = 8.6;

/// A signal word with its frame, in mm.
const SIGNAL: f64 = 4.6;

/// The head of the back with its rule, in mm.
const BACK_HEAD: f64 = 6.2;

/// How high lines of a size are together, in mm.
fn tall(lines: usize, points: f64, spacing: f64) -> f64 {
    lines as f64 * points * spacing * POINT
}

/// How high the blocks of the front are together, with the room between them, in mm.
pub(super) fn front_height(view: &CardView) -> f64 {
    let job = 2.0 * (BOX_HEIGHT + FRAME + ROUNDING);
    let half = (SHEET_WIDTH - HALF_GAP) / 2.0;
    let numbers = HEADING + view.numbers.iter().map(|number| number_height(number, half)).sum::<f64>();
    let read = HEADING + READ_HEAD + view.found.iter().map(|row| read_height(row, half)).sum::<f64>();
    let small = format!(
        "Left and right as seen from the saddle. The maker’s manual for the very model goes before this card. {} {}",
        view.signs, view.address
    );
    let small = tall(lines(&small, SMALL_TYPE, false, SHEET_WIDTH), SMALL_TYPE, SMALL_LINE);
    head_height(view) + job + cautions_height(&view.cautions) + numbers.max(read) + small + 4.0 * FRONT_GAP
}

/// Who the card is for, its codes and its picture, with the rule below.
fn head_height(view: &CardView) -> f64 {
    let picture = if view.qr_html.is_empty() { 0.0 } else { QR_SIZE };
    let room = SHEET_WIDTH - CODES_WIDTH - 2.0 * HEAD_GAP - picture;
    let service = format!("{}. {}", view.service, view.machines);
    let who = tall(1, SHOP_TYPE, LINE)
        + tall(lines(&view.fork, TITLE_TYPE, true, room), TITLE_TYPE, TITLE_LINE)
        + tall(lines(&service, SERVICE_TYPE, true, room), SERVICE_TYPE, LINE);
    who.max(QR_SIZE) + HEAD_PAD + HEAD_RULE + ROUNDING
}

/// The cautions, two abreast unless one of them goes across the sheet.
fn cautions_height(cautions: &[CardCaution]) -> f64 {
    let beside = SIGNAL_WIDTH + SIGNAL_GAP;
    let height = |caution: &CardCaution| {
        let column = if caution.wide { SHEET_WIDTH } else { (SHEET_WIDTH - CAUTION_GAP) / 2.0 };
        let room = column - beside;
        let (first, filled) = lines_after(&format!("{}.", caution.title), CAUTION_TYPE, true, room, 0.0);
        let more = if caution.text.is_empty() {
            0
        } else {
            lines_after(&caution.text, CAUTION_TYPE, false, room, filled).0 - 1
        };
        (tall(first + more, CAUTION_TYPE, CAUTION_LINE) + CAUTION_PAD).max(SIGNAL)
    };
    let heights: Vec<f64> = cautions.iter().map(height).collect();
    let abreast = if cautions.iter().any(|caution| caution.wide) { 1 } else { 2 };
    heights.chunks(abreast).map(|row| row.iter().copied().fold(0.0, f64::max) + CAUTION_ROW_GAP).sum()
}

/// A line of the table of readings.
fn read_height(row: &FoundRow, half: f64) -> f64 {
    // A millimetre between the words and the first box.
    let room = half * READ_LABEL - 1.0;
    let text = tall(lines(&row.label, READ_TYPE, true, room), READ_TYPE, READ_LINE)
        + tall(lines(&row.hint, HINT_TYPE, false, room), HINT_TYPE, READ_LINE);
    (text + 0.7).max(READ_BOX_HEIGHT + FRAME)
}

/// A label with the marks beside it; an underscore stands for the frame of a mark.
fn marked(label: &str, estimate: bool, doubt: bool, mark: &str) -> String {
    let marks = [(estimate, "ESTIMATE"), (doubt, "IN_DOUBT"), (!mark.is_empty(), mark)];
    let marks = marks.into_iter().filter(|(stands, _)| *stands).map(|(_, mark)| format!(" {mark}____"));
    format!("{label}{}", marks.collect::<String>())
}

/// A number to set.
fn number_height(number: &CardNumber, half: f64) -> f64 {
    let boxes = number.boxes.len() as f64 * NUMBER_BOX_WIDTH;
    let beside = if number.boxes.is_empty() { 0.0 } else { boxes + NUMBER_GAP };
    let room = half - LABEL_WIDTH - NUMBER_GAP - beside;
    let label = marked(&number.label, number.estimate, number.doubt, &number.mark);
    let label = tall(lines(&label, LABEL_TYPE, true, LABEL_WIDTH), LABEL_TYPE, LINE) + LABEL_PAD;
    let values = number.figures.iter().map(|figure| {
        // The letter of a leg with the space after it.
        let side = if figure.side.is_empty() { 0.0 } else { 5.6 };
        let wide = side
            + width(&figure.main, VALUE_TYPE, true)
            + width(&figure.tolerance, TOLERANCE_TYPE, true)
            + width(&figure.second, SECOND_TYPE, false)
            + width(&number.sign, TOLERANCE_TYPE, true)
            + 2.0;
        let first = tall(1, VALUE_TYPE, LINE);
        if wide <= room { first } else { first + tall(1, TOLERANCE_TYPE, LINE) }
    });
    let state = tall(lines(&number.state, STATE_TYPE, false, half), STATE_TYPE, SMALL_LINE);
    let boxes = if number.boxes.is_empty() { 0.0 } else { NUMBER_BOX_HEIGHT + 2.0 * ROUNDING };
    label.max(values.sum()).max(boxes) + state + 1.5
}

/// Everything on the back but the steps.
pub(super) fn back_rest(view: &CardView) -> f64 {
    let mut height = BACK_HEAD + BACK_GAP;
    if !view.torques.is_empty() {
        let half = (SHEET_WIDTH - TORQUE_GAP) / 2.0;
        let row =
            |row: &[CardTorque]| row.iter().map(|torque| torque_height(torque, half)).fold(0.0, f64::max);
        height += HEADING + view.torques.chunks(2).map(row).sum::<f64>() + BACK_GAP;
    }
    // Tables stand two abreast: title, heads, cells. Beside a table alone stand the notes, else below.
    for pair in view.tables.chunks(2) {
        let beside = if pair.len() == 1 { notes_height(view, (SHEET_WIDTH - TABLE_GAP) / 2.0) } else { 0.0 };
        height += tables_height(pair).max(beside) + BACK_GAP;
    }
    let below = if view.tables.len().is_multiple_of(2) { notes_height(view, SHEET_WIDTH) } else { 0.0 };
    if below > 0.0 {
        height += below + BACK_GAP;
    }
    height + 2.0 * (BACK_BOX_HEIGHT + FRAME + ROUNDING) + BACK_GAP
}

/// Tables side by side.
fn tables_height(pair: &[CardTable]) -> f64 {
    let rows = pair.iter().map(|table| table.rows.len()).max().unwrap_or(0);
    tall(1, TABLE_TYPE, TABLE_TITLE_LINE) + (rows + 1) as f64 * (TABLE_ROW + 2.0 * ROUNDING)
}

/// The label of the line of checks that could not be made; it stands in the card's template as well.
const NOT_MADE: &str = "Checks that could not be made:";

/// Which checks could not be made, and that steps were shortened.
fn notes_height(view: &CardView, room: f64) -> f64 {
    let not_made = match view.not_made.as_slice() {
        [] => String::new(),
        sentences => format!("{NOT_MADE} {}", sentences.join(" ")),
    };
    let high = |text: &String| tall(lines(text, NOTES_TYPE, false, room), NOTES_TYPE, NOTES_LINE);
    [&not_made, &view.shortened].into_iter().map(high).sum()
}

/// A torque with its boxes.
fn torque_height(torque: &CardTorque, half: f64) -> f64 {
    let tolerance =
        if torque.tolerance.is_empty() { 0.0 } else { width(&torque.tolerance, TOLERANCE_TYPE, true) + 1.0 };
    let value = width(&torque.main, VALUE_TYPE, true) + width(&torque.sign, TOLERANCE_TYPE, true) + tolerance;
    let room = half - ORDER_WIDTH - torque.boxes.len().max(1) as f64 * TORQUE_BOX_WIDTH - 1.6;
    let label = marked(&torque.label, torque.estimate, torque.doubt, &torque.mark);
    let high = |text: &str, points: f64, bold: bool, beside: f64, spacing: f64| {
        tall(lines(text, points, bold, (room - beside - 1.0).max(8.0)), points, spacing)
    };
    let first =
        (high(&label, LABEL_TYPE, true, value, LINE) + TORQUE_LABEL_PAD).max(tall(1, VALUE_TYPE, 1.0));
    let second = width(&torque.second, SECOND_TYPE, false);
    let detail = format!("{}, {}", torque.detail, torque.note);
    let detail = high(detail.trim_end_matches(", "), STATE_TYPE, false, second, SMALL_LINE)
        .max(if torque.second.is_empty() { 0.0 } else { tall(1, SECOND_TYPE, 1.04) });
    (first + detail).max(TORQUE_BOX_HEIGHT) + 0.9
}
