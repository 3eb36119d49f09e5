//! How much room the blocks of a card take on its sheet, by the sizes of its style sheet.

use super::face::{POINT, lines, lines_after, width};
use super::size::WIDTH;
use crate::card::view::{CardNumber, CardTorque, CardView};

/// Room between blocks, in mm.
const GAP: f64 = 2.0;

/// The same on the back, which has more to hold.
const BACK_GAP: f64 = 1.5;

/// How high the blocks of the front are together, with the room between them, in mm.
pub(super) fn front_height(view: &CardView) -> f64 {
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
    label.push_str(&mark_room(&number.mark));
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

/// Everything on the back but the steps.
pub(super) fn back_rest(view: &CardView) -> f64 {
    let mut height = 6.2 + BACK_GAP;
    if !view.torques.is_empty() {
        let half = (WIDTH - 4.0) / 2.0;
        let rows =
            view.torques.chunks(2).map(|row| row.iter().map(|t| torque_height(t, half)).fold(0.0, f64::max));
        height += 5.6 + rows.sum::<f64>() + BACK_GAP;
    }
    let notes = |room: f64| {
        let said = if view.not_made.is_empty() {
            String::new()
        } else {
            format!("{NOT_MADE} {}", view.not_made.join(" "))
        };
        let all = [&said, &view.shortened];
        all.iter().map(|text| lines(text, 9.0, false, room) as f64 * 9.0 * 1.14 * POINT).sum::<f64>()
    };
    // Tables stand two abreast: title, heads, cells. Beside a table alone stand the notes, else below.
    for pair in view.tables.chunks(2) {
        let rows = pair.iter().map(|table| table.rows.len()).max().unwrap_or(0);
        let table = 9.0 * 1.2 * POINT + (rows + 1) as f64 * 5.0;
        let beside = if pair.len() == 1 { notes((WIDTH - 4.0) / 2.0) } else { 0.0 };
        height += table.max(beside) + BACK_GAP;
    }
    let below = if view.tables.len().is_multiple_of(2) { notes(WIDTH) } else { 0.0 };
    if below > 0.0 {
        height += below + BACK_GAP;
    }
    height + 2.0 * 11.6 + BACK_GAP
}

/// The label of the line of checks that could not be made; it stands in the card's template as well.
const NOT_MADE: &str = "Checks that could not be made:";

/// Room for a mark beside a label, with its frame.
fn mark_room(mark: &str) -> String {
    if mark.is_empty() { String::new() } else { format!(" {mark}____") }
}

fn torque_height(torque: &CardTorque, half: f64) -> f64 {
    let value = width(&torque.main, 17.0, true)
        + if torque.tolerance.is_empty() { 0.0 } else { width(&torque.tolerance, 11.0, true) + 1.0 };
    let room = half - 4.5 - torque.boxes.len().max(1) as f64 * 12.2 - 1.6;
    let mut label = torque.label.clone();
    if torque.estimate {
        label.push_str(" ESTIMATE____");
    }
    if torque.doubt {
        label.push_str(" IN_DOUBT____");
    }
    label.push_str(&mark_room(&torque.mark));
    let line = |text: &str, points: f64, bold: bool, beside: f64| {
        lines(text, points, bold, (room - beside - 1.0).max(8.0)) as f64 * points * POINT
    };
    let first = (line(&label, 11.0, true, value) * 1.16 + 1.0).max(17.0 * POINT);
    let detail = (line(&torque.detail, 8.5, false, width(&torque.second, 9.5, false)) * 1.12)
        .max(if torque.second.is_empty() { 0.0 } else { 9.5 * 1.04 * POINT });
    (first + detail).max(9.2) + 0.9
}
