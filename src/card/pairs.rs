//! Readings without a number, of one procedure, share a line: a card has two sides.

use super::view::CardLine;

/// How many boxes stand on one line at most.
const MOST: usize = 3;
/// The longest name in letters that has room beside so many.
const LONGEST: usize = 52;

/// How a reading that is written again says where its number stands.
pub(super) const AS_AT: &str = "as at ";

/// Joins neighbors that are one empty box each: `Tire pressure / Loaded length` with two boxes in that order.
pub(super) fn pair(lines: Vec<CardLine>) -> Vec<CardLine> {
    let mut out: Vec<CardLine> = Vec::new();
    for line in lines {
        if let Some(number) = out.iter_mut().find(|number| is_beside(number, &line)) {
            put_beside(number, line);
            continue;
        }
        match out.last_mut() {
            Some(last) if is_alike(last, &line) && has_room(last, &line) => join(last, line),
            _ => out.push(line),
        }
    }
    out
}

/// Whether a procedure's only reading has room on the line to tick: it has two boxes at most.
pub(super) fn stands_on_tick(lines: &[CardLine]) -> bool {
    let [tick, line] = lines else { return false };
    is_plain(line) && line.boxes.len() < MOST && !tick.ticks.is_empty() && tick.boxes.is_empty()
}

/// Where room is short, a procedure's only reading stands on the line to tick.
pub(super) fn on_the_tick(mut lines: Vec<CardLine>) -> Vec<CardLine> {
    if !stands_on_tick(&lines) {
        return lines;
    }
    let [tick, line] = lines.as_mut_slice() else { return lines };
    tick.reading = std::mem::take(&mut line.title);
    (tick.key, tick.keys) = (std::mem::take(&mut line.key), std::mem::take(&mut line.keys));
    tick.boxes = std::mem::take(&mut line.boxes);
    lines.truncate(1);
    lines
}

/// Whether a single box belongs to a number that has one box: `Bench test, balance` beside `Bench test`.
fn is_beside(number: &CardLine, line: &CardLine) -> bool {
    let named = line.title.strip_prefix(&number.title).is_some_and(|rest| rest.starts_with(", "));
    named && is_single(line) && !number.frame && !number.figures.is_empty() && number.boxes.len() == 1
}

/// Puts a box beside that of its number, with the word that tells them apart.
fn put_beside(number: &mut CardLine, line: CardLine) {
    let word = line.title.strip_prefix(&number.title).unwrap_or(&line.title).trim_start_matches(", ");
    number.boxes.push(word.to_owned());
    number.keys = format!("{} {}", number.keys, line.keys);
}

/// Whether two lines are boxes alone, few enough for one line, and no box is taken for another: each is a reading of
/// its own, or all have names of their own.
fn is_alike(last: &CardLine, line: &CardLine) -> bool {
    let mut names: Vec<&String> = last.boxes.iter().chain(&line.boxes).collect();
    let all = names.len();
    names.sort();
    names.dedup();
    let each_its_own = last.boxes.len() == last.keys.split(' ').count() && line.boxes.len() == 1;
    is_plain(last) && is_plain(line) && all <= MOST && (each_its_own || names.len() == all)
}

/// Whether the name of both has room beside the boxes of both.
fn has_room(last: &CardLine, line: &CardLine) -> bool {
    last.boxes.len() + line.boxes.len() < MOST || joined(last, line).chars().count() <= LONGEST
}

/// Whether a line is one box and no number.
fn is_single(line: &CardLine) -> bool {
    line.boxes.len() == 1 && is_plain(line)
}

/// Whether a line is boxes and nothing else.
fn is_plain(line: &CardLine) -> bool {
    !line.boxes.is_empty()
        && !line.frame
        && line.figures.is_empty()
        && line.tables.is_empty()
        && line.more.is_empty()
        && line.hazards.is_empty()
        && line.row.is_empty()
        && line.sketch_html.is_empty()
        && (line.state.is_empty() || line.state.starts_with(AS_AT))
        && line.under.is_empty()
}

/// The name of both. What both say of themselves is said once, behind the second.
fn joined(last: &CardLine, line: &CardLine) -> String {
    let tail = line.title.rsplit_once(", ").map_or("", |(_, tail)| tail);
    let own = last.title.strip_suffix(tail).and_then(|title| title.strip_suffix(", "));
    let first = own.filter(|_| !tail.is_empty()).unwrap_or(&last.title);
    format!("{first} / {}", line.title)
}

fn join(last: &mut CardLine, line: CardLine) {
    last.title = joined(last, &line);
    last.state.clear();
    last.keys = format!("{} {}", last.keys, line.keys);
    last.boxes.extend(line.boxes);
}

#[cfg(test)]
mod tests {
    use super::super::view::CardValue;
    use super::*;

    fn line(title: &str, boxes: &[&str]) -> CardLine {
        let boxes = boxes.iter().map(|one| (*one).to_owned()).collect();
        CardLine {
            title: title.to_owned(),
            keys: title.replace([' ', ','], "-"),
            boxes,
            ..CardLine::default()
        }
    }

    /// For the apprentice: empty boxes stand in the order of their names, and no two on a line are called the same.
    #[test]
    fn two_single_boxes_share_a_line_in_their_order() {
        let lines = vec![
            line("Nut, as found", &["L mm"]),
            line("Main, as found", &["L mL"]),
            line("Stop, as found", &["L mL"]),
            line("Balance lubricant, as found", &["L mL"]),
            line("Drained", &["L mL", "R mL"]),
            line("Rinse", &["L mL"]),
            line("Main air", &["L kPa"]),
        ];
        let paired = pair(lines);
        let titles: Vec<&str> = paired.iter().map(|line| line.title.as_str()).collect();
        assert_eq!(
            titles,
            ["Nut / Main / Stop, as found", "Balance lubricant, as found", "Drained", "Rinse / Main air"]
        );
        assert_eq!(paired[0].boxes, ["L mm", "L mL", "L mL"]);
    }

    /// For the apprentice: the box of a step's only reading stands on the line that is ticked for it.
    #[test]
    fn an_only_reading_stands_on_the_line_to_tick() {
        let tick = || CardLine { ticks: vec![String::new()], ..line("Check axle and clamps", &[]) };
        let one = on_the_tick(vec![tick(), line("Axle, whole swing", &["mm"])]);
        assert_eq!(
            (one[0].title.as_str(), one[0].reading.as_str()),
            ("Check axle and clamps", "Axle, whole swing")
        );
        assert_eq!((one.len(), one[0].boxes.len()), (1, 1));
        let two = on_the_tick(vec![tick(), line("Main air", &["L kPa"]), line("Drained", &["L mL", "R mL"])]);
        assert_eq!(two.len(), 3);
    }

    /// A second chamber's box stands beside the first one's number, and is named.
    #[test]
    fn a_box_that_belongs_to_a_number_stands_beside_it() {
        let number = CardLine { figures: vec![CardValue::default()], ..line("Bench test", &["L"]) };
        let paired =
            pair(vec![number, line("Bench test, balance", &["L kPa"]), line("Main air", &["L kPa"])]);
        assert_eq!(paired[0].boxes, ["L", "balance"]);
        assert_eq!(paired.len(), 2);
    }
}
