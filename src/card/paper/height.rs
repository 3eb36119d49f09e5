//! How much room the lines of a card take on its sheet, by the sizes of its style sheet.

use std::sync::Arc;

use super::face::{POINT, Words, lines, lines_after, width};
use super::size::*;
use crate::book::held::Shared;
use crate::book::view::CardTable;
use crate::card::view::{
    CardCaution, CardHazard, CardLine, CardPicture, CardValue, CardView, HangHazard, HangView,
};

/// A heading of one line with the rule below it, in mm.
const HEADING: f64 = 5.6;

/// How high a heading is with the rule below it, in mm: what holds for all of the part may take more than a line.
pub(super) fn heading_height(title: &str, note: &str, wide: f64) -> f64 {
    let room = wide - width(title, HEADING_TYPE, true) - HEAD_GAP - 2.0 * HEADING_PAD;
    let more = if room < NOTE_ROOM {
        lines(note, UNDER_TYPE, false, wide - 2.0 * HEADING_PAD)
    } else {
        lines(note, UNDER_TYPE, false, room).saturating_sub(1)
    };
    HEADING + tall(more, UNDER_TYPE, UNDER_LINE)
}

/// The least room beside a heading's title for what holds for all of the part, in mm; where there is less, it stands below.
const NOTE_ROOM: f64 = 12.0;

/// The room at both ends of a heading that is white on black, in mm.
const HEADING_PAD: f64 = 1.2;

/// The frame and the room inside and around it of a number that goes across the sheet, above and below, in mm.
const AROUND: f64 = 4.6;

/// The same, left and right.
const BESIDE: f64 = 4.4;

/// How high lines of a size are together, in mm.
fn tall(lines: usize, points: f64, spacing: f64) -> f64 {
    lines as f64 * points * spacing * POINT
}

fn high(text: &str, points: f64, bold: bool, room: f64, spacing: f64) -> f64 {
    tall(lines(text, points, bold, room.max(8.0)), points, spacing)
}

/// The front without its lines.
pub(super) fn front_rest(view: &CardView) -> f64 {
    let job = if view.job.is_empty() { 0.0 } else { 2.0 * DESK_HEIGHT + FRAME + ROUNDING + BLOCK_GAP };
    let found = if view.findings.is_empty() { 0.0 } else { DESK_HEIGHT + FRAME + ROUNDING + BLOCK_GAP };
    let small = format!(
        "The maker’s manual for this exact model overrides this card. {} {} {} {}",
        view.signs, view.front_left_out, view.address, "Turn over at 99."
    );
    let small = high(&small, UNDER_TYPE, false, SHEET_WIDTH, UNDER_LINE) + 0.2;
    let numbered = if view.numbered.is_empty() {
        0.0
    } else {
        high(&format!("Parts by number: {}", view.numbered), UNDER_TYPE, true, SHEET_WIDTH, UNDER_LINE)
            + BLOCK_GAP
    };
    let service = format!("{}, {}", view.service, view.length);
    let top = Top {
        fork: &view.fork,
        service: &service,
        machines: &view.machines,
        review: &format!("reviewed {}", view.review),
        has_picture: !view.qr_html.is_empty(),
    };
    let cautions = cautions_height(&view.cautions, SHEET_WIDTH);
    top_height(&top, SHEET_WIDTH)
        + job
        + cautions
        + numbered
        + pictures_height(&view.pictures)
        + found
        + small
}

/// The shop's own pictures with their words beside them, two in a row, in mm.
fn pictures_height(pictures: &[CardPicture]) -> f64 {
    let wide = if pictures.len() > 1 { (SHEET_WIDTH - COLUMN_GAP) / 2.0 } else { SHEET_WIDTH };
    // A picture takes what room is left on its side: its words must do with what the widest one leaves them.
    let room = wide - PICTURE_WIDTH - LINE_GAP;
    let one =
        |picture: &CardPicture| high(&picture.words, UNDER_TYPE, false, room, UNDER_LINE).max(PICTURE_HEIGHT);
    pictures.chunks(2).map(|row| row.iter().map(one).fold(0.0, f64::max) + BLOCK_GAP).sum()
}

/// A hang card without its lines, on a sheet that is so wide.
pub(super) fn hang_rest(view: &HangView, wide: f64) -> f64 {
    let top = Top {
        fork: &view.fork,
        service: &view.what,
        machines: &view.machines,
        review: &format!("{} {}", view.released, view.review),
        has_picture: !view.qr_html.is_empty(),
    };
    let small = |label: &str, text: &str| {
        let room = high(&format!("{label} {text}"), UNDER_TYPE, true, wide, UNDER_LINE);
        if text.is_empty() { 0.0 } else { room + BLOCK_GAP }
    };
    top_height(&top, wide)
        + cautions_height(&view.cautions, wide)
        + strip_height(&view.hazards, wide)
        + small("", &view.wrenches)
        + small("Due again:", &view.due)
        + small("Parts by number:", &view.numbered)
        + small(NOT_MADE, &view.not_made.join(" "))
        + hang_foot(view, wide)
        + ROUNDING
}

/// What stands at the foot of every hang card, and whether it is bold; it stands in its template as well.
const HANG_FOOT: [(&str, bool); 2] = [
    ("The maker’s manual for this exact model overrides this card. ", false),
    ("A copy on a wall goes stale unseen: look its code up before you trust it. ", true),
];

/// The foot of a hang card, in mm.
fn hang_foot(view: &HangView, wide: f64) -> f64 {
    let own = [(format!("{} ", view.signs), true), (format!("{} {}", view.left_out, view.address), false)];
    let always = HANG_FOOT.into_iter().map(|(text, bold)| (text.to_owned(), bold));
    tall(runs(always.chain(own), wide), UNDER_TYPE, UNDER_LINE)
}

/// How many lines texts take that follow one another, each bold or not.
fn runs(texts: impl Iterator<Item = (String, bool)>, wide: f64) -> usize {
    let (mut count, mut filled) = (1, 0.0);
    for (text, bold) in texts {
        let (more, at) = lines_after(&text, UNDER_TYPE, bold, wide, filled);
        (count, filled) = (count + more - 1, at);
    }
    count
}

/// The margin left and right in the strip of hazards, in mm.
const STRIP_SIDE: f64 = 1.0;

/// The strip of hazards that are met at no number, in mm.
fn strip_height(hazards: &[HangHazard], wide: f64) -> f64 {
    if hazards.is_empty() {
        return 0.0;
    }
    // Behind each hazard is a little room; a frame and a margin stand left and right.
    let texts = hazards.iter().flat_map(|one| {
        let signs = one
            .hazards
            .iter()
            .map(|hazard| (format!("{}\u{a0}", hazards_of(std::slice::from_ref(hazard))), true));
        std::iter::once((format!("{}:", one.at), false)).chain(signs).collect::<Vec<_>>()
    });
    let room = wide - 2.0 * (FRAME + STRIP_SIDE);
    tall(runs(texts, room), UNDER_TYPE, STRIP_LINE) + 2.0 * FRAME + STRIP_PAD + BLOCK_GAP
}

/// What stands at the head of a card.
struct Top<'v> {
    fork: &'v str,
    service: &'v str,
    machines: &'v str,
    review: &'v str,
    has_picture: bool,
}

/// Who the card is for, its codes and its picture, with the rule below, in mm.
fn top_height(view: &Top<'_>, wide: f64) -> f64 {
    let picture = if view.has_picture { QR_SIZE } else { 0.0 };
    let room = wide - CODES_WIDTH - 2.0 * HEAD_GAP - picture;
    let who = high(view.fork, TITLE_TYPE, true, room, TITLE_LINE)
        + high(view.service, LABEL_TYPE, true, room, LABEL_LINE)
        + high(view.machines, UNDER_TYPE, false, room, UNDER_LINE);
    let codes = 2.0 * tall(1, LABEL_TYPE, LABEL_LINE)
        + high(view.review, UNDER_TYPE, false, CODES_WIDTH - 1.0, UNDER_LINE);
    who.max(codes).max(picture) + HEAD_PAD + HEAD_RULE + ROUNDING + BLOCK_GAP
}

fn cautions_height(cautions: &[CardCaution], wide: f64) -> f64 {
    let room = wide - SIGNAL_WIDTH - 4.0;
    let height = |caution: &CardCaution| {
        let (title, filled) = lines_after(&format!("{}.", caution.title), CAUTION_TYPE, true, room, 0.0);
        let text = lines_after(&caution.text, CAUTION_TYPE, false, room, filled).0;
        tall(title + text - 1, CAUTION_TYPE, CAUTION_LINE) + CAUTION_PAD + FRAME
    };
    let all: f64 = cautions.iter().map(height).sum();
    if cautions.is_empty() { 0.0 } else { all + BLOCK_GAP + 0.6 }
}

/// The back without its lines, with this at its head of what it left out.
pub(super) fn back_rest(view: &CardView, left_out: &str) -> f64 {
    let (notes, gaps) = if view.not_made.is_empty() {
        (0.0, 1.0)
    } else {
        let notes = format!("{NOT_MADE} {}", view.not_made.join(" "));
        (high(&notes, UNDER_TYPE, false, SHEET_WIDTH, UNDER_LINE), 2.0)
    };
    back_head(view, left_out) + notes + 2.0 * (DESK_HEIGHT + ROUNDING) + FRAME + gaps * BLOCK_GAP
}

/// The head of the back with its rule, in mm.
fn back_head(view: &CardView, left_out: &str) -> f64 {
    // The codes are set in a face whose letters are all six tenths of the size wide.
    let codes = format!("{} / {}", view.print_code, view.values_code);
    let codes = codes.chars().count() as f64 * 0.6 * LABEL_TYPE * POINT;
    let room = SHEET_WIDTH - codes - HEAD_GAP;
    let (fork, filled) = lines_after(&view.fork, HEAD_TYPE, true, room, 0.0);
    let (service, filled) = lines_after(&view.service, LABEL_TYPE, false, room, filled);
    let left_out = lines_after(left_out, UNDER_TYPE, false, room, filled).0;
    tall(fork + service + left_out - 2, HEAD_TYPE, LABEL_LINE) + 0.8 + HEAD_RULE + ROUNDING
}

/// The label of the line of checks that could not be made; it stands in the card's template as well.
const NOT_MADE: &str = "Checks that could not be made:";

/// How wide a figure is, in mm.
fn figure_width(line: &CardLine, figure: &CardValue) -> f64 {
    let (value, tolerance) =
        if line.largest { (largest(line), LARGEST_TOLERANCE) } else { (value_type(line), TOLERANCE_TYPE) };
    let space = width(" ", value, true);
    let side = if figure.side.is_empty() { 0.0 } else { width(&figure.side, LABEL_TYPE, true) + space };
    let tail = if figure.tail.is_empty() { 0.0 } else { space + width(&figure.tail, tolerance, true) };
    side + width(&figure.main, value, true) + width(&line.sign, tolerance, true) + tail
}

/// The size of a number on a line.
fn value_type(line: &CardLine) -> f64 {
    if line.quiet { QUIET_TYPE } else { VALUE_TYPE }
}

/// The size of the largest number: of two, one for each leg, it is smaller.
fn largest(line: &CardLine) -> f64 {
    if line.figures.len() > 1 { LARGEST_OF_TWO } else { LARGEST_TYPE }
}

fn figures_width(line: &CardLine) -> f64 {
    line.figures.iter().map(|figure| figure_width(line, figure)).fold(0.0, f64::max)
}

fn figures_height(line: &CardLine) -> f64 {
    let type_size = if line.largest { largest(line) } else { value_type(line) };
    tall(line.figures.len(), type_size, VALUE_LINE)
}

/// The room beside the boxes of a line.
fn text_room(line: &CardLine, wide: f64) -> f64 {
    let boxes = line.boxes.len() as f64 * WRITE_WIDTH + line.row.len() as f64 * ROW_WIDTH;
    let ticks = line.ticks.len() as f64 * (TICK_SIZE + TICK_GAP) - TICK_GAP;
    let gap = if line.boxes.is_empty() { 0.0 } else { LINE_GAP };
    let gap = if line.row.is_empty() { gap } else { gap + LINE_GAP };
    wide - boxes - gap - if line.ticks.is_empty() { 0.0 } else { ticks + LINE_GAP }
}

/// The frame around the name of an oil and the room inside it, left and right, in mm.
const OIL_FRAME: f64 = 2.8;

/// The least room for the words of a line beside its boxes, in mm.
const LEAST_ROOM: f64 = 20.0;

/// Whether the words of a line have room beside its boxes in a column that is so wide.
pub(super) fn has_room(line: &CardLine, wide: f64) -> bool {
    text_room(line, wide) >= LEAST_ROOM
}

/// Between two boxes to tick, in mm.
const TICK_GAP: f64 = 0.8;

/// The hazards of a line.
fn hazards_text(line: &CardLine) -> String {
    hazards_of(&line.hazards)
}

/// A hazard with its triangle does not break; underscores stand for the triangle, and with a space for the room behind
/// the word.
fn hazards_of(hazards: &[CardHazard]) -> String {
    let said = |hazard: &CardHazard| {
        let (triangle, room) = if hazard.triangle { ("__", "") } else { ("", "\u{a0}") };
        let parts = [triangle, &hazard.signal, &hazard.word].into_iter().filter(|part| !part.is_empty());
        format!(" {}{room}", parts.collect::<Vec<_>>().join(" ").replace(' ', "\u{a0}"))
    };
    hazards.iter().map(said).collect()
}

/// A line with its texts measured, so that they are read once for all columns in which it is tried.
pub(in crate::card) struct Measured {
    line: Shared<CardLine>,
    /// The title, as far as it says something.
    title: Option<Words>,
    /// The names of oils in their frames.
    oils: Vec<FramedOil>,
    /// Marks, state and hazards, as far as they say something.
    head: Vec<Words>,
    /// How much the frames and signs of the head add, in mm.
    signs: [f64; 2],
    /// Hazards and what stands under the figure; none where both say nothing.
    under: Option<[Words; 2]>,
    /// How wide and how high its figures are, in mm.
    figures: [f64; 2],
    /// How wide the longest word of its title or the widest oil is, in mm.
    longest: f64,
    /// How wide each of what is tried again is with its box, in mm.
    again: Vec<f64>,
    /// How high its tables are and how wide the widest is at least, in mm.
    tables: [f64; 2],
}

impl Measured {
    /// Measures a line.
    pub fn new(line: CardLine) -> Arc<Measured> {
        let words = line.title.split(' ').map(|word| width(word, LABEL_TYPE, true));
        let oils: Vec<FramedOil> = line.oils.iter().map(|oil| FramedOil::new(oil)).collect();
        let longest = words.chain(oils.iter().map(|oil| oil.wide)).fold(0.0, f64::max);
        Arc::new(Measured {
            title: title_words(&line),
            oils,
            head: head_words(&line),
            signs: head_signs(&line),
            under: under_words(&line),
            figures: [figures_width(&line), figures_height(&line)],
            longest,
            again: line
                .again
                .iter()
                .map(|name| AGAIN_TICK + AGAIN_GAP + width(name, UNDER_TYPE, false))
                .collect(),
            tables: [tables_height(&line), tables_width(&line)],
            line: line.into(),
        })
    }

    /// The line.
    pub fn line(&self) -> &CardLine {
        &self.line
    }

    /// The line with its figure where it stands in this way.
    pub(super) fn placed(&self, across: bool, below: bool) -> Shared<CardLine> {
        if (self.line.across, self.line.below) == (across, below) {
            return self.line.clone();
        }
        CardLine { across, below, ..CardLine::clone(&self.line) }.into()
    }

    /// How wide its widest table is at least, in mm.
    pub(super) fn tables_width(&self) -> f64 {
        self.tables[1]
    }

    /// How high title and state are, with the marks and signs between them.
    fn head_height(&self, room: f64) -> f64 {
        let room = room.max(8.0);
        let added = |(count, filled), words: &Words| {
            let (more, at) = words.lines_after(room, filled);
            (count + more - 1, at)
        };
        let (count, filled) = self.title.iter().fold((1, 0.0), added);
        let (count, filled) = self.oils.iter().fold((count, filled), |(count, filled), oil| {
            if oil.wide <= room {
                return added((count, filled), &oil.unbroken);
            }
            // It stands on lines of its own, and nothing behind it on its last.
            let own = oil.broken.lines_after((room - OIL_FRAME).max(8.0), 0.0).0;
            (count + own - usize::from(filled == 0.0), room)
        });
        let (count, _) = self.head.iter().fold((count, filled), added);
        let [frames, signs] = self.signs;
        tall(count, LABEL_TYPE, LABEL_LINE) + frames + signs
    }

    fn under_height(&self, room: f64) -> f64 {
        let Some([hazards, under]) = &self.under else { return 0.0 };
        let room = room.max(8.0);
        let (first, filled) = hazards.lines_after(room, 0.0);
        let rest = under.lines_after(room, filled).0;
        tall(first + rest - 1, UNDER_TYPE, UNDER_LINE)
    }

    /// How high what is tried again is, a box to tick before each, in mm.
    fn again_height(&self, room: f64) -> f64 {
        let (mut rows, mut filled) = (0, 0.0);
        for wide in &self.again {
            if rows == 0 || filled + wide > room {
                (rows, filled) = (rows + 1, 0.0);
            }
            filled += wide + AGAIN_GAP;
        }
        rows as f64 * (AGAIN_TICK + LINE_PAD)
    }
}

/// The name of an oil in its frame: on one line where it has room, else broken between its words.
struct FramedOil {
    /// How wide it is on one line, with its frame, in mm.
    wide: f64,
    /// Its name as one word, an underscore for its frame.
    unbroken: Words,
    /// Its name by words.
    broken: Words,
}

impl FramedOil {
    fn new(name: &str) -> FramedOil {
        FramedOil {
            wide: width(name, LABEL_TYPE, true) + OIL_FRAME,
            unbroken: Words::new(&format!("{}_", name.replace(' ', "\u{a0}")), LABEL_TYPE, true),
            broken: Words::new(&name.replace('\u{a0}', " "), LABEL_TYPE, true),
        }
    }
}

/// Number and title of a line, where it says something.
fn title_words(line: &CardLine) -> Option<Words> {
    let said = format!("{} {}", line.number, line.title);
    (!said.trim().is_empty()).then(|| Words::new(&said, LABEL_TYPE, line.ticks.is_empty()))
}

/// The state of a line, with the marks and signs before it; underscores stand for their frames.
fn head_words(line: &CardLine) -> Vec<Words> {
    let bold = line.ticks.is_empty();
    let marks =
        [(line.estimate, "ESTIMATE"), (line.doubt, "IN_DOUBT"), (!line.mark.is_empty(), line.mark.as_str())];
    let marks = marks.into_iter().filter(|(stands, _)| *stands).map(|(_, mark)| format!(" {mark}_"));
    let hazards = if bold { String::new() } else { hazards_text(line) };
    let pieces = [
        (marks.collect(), UNDER_TYPE, true),
        (line.state.clone(), LABEL_TYPE, false),
        (line.reading.clone(), LABEL_TYPE, true),
        (hazards, UNDER_TYPE, true),
    ];
    let said = pieces.iter().filter(|(text, ..)| !text.trim().is_empty());
    said.map(|(text, points, bold)| Words::new(text, *points, *bold)).collect()
}

/// How much the frames and signs of the head add, in mm.
fn head_signs(line: &CardLine) -> [f64; 2] {
    let frames =
        line.oils.len() + [line.estimate, line.doubt, !line.mark.is_empty()].iter().filter(|on| **on).count();
    let signs = if line.ticks.is_empty() { 0 } else { line.hazards.len() };
    [0.7 * frames as f64, 0.2 * signs as f64]
}

fn under_words(line: &CardLine) -> Option<[Words; 2]> {
    let hazards = if line.ticks.is_empty() { hazards_text(line) } else { String::new() };
    let says = !hazards.is_empty() || !line.under.is_empty();
    says.then(|| [Words::new(&hazards, UNDER_TYPE, true), Words::new(&line.under, UNDER_TYPE, false)])
}

/// Where the figure of a line stands, and how high the line is then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Way {
    /// What stands under the figure goes across.
    pub across: bool,
    /// The figure stands below its name.
    pub below: bool,
    /// In mm.
    pub high: f64,
}

/// The figure of a line where it takes least room: beside all its words, beside its name alone, or below it.
pub(super) fn least_room(measured: &Measured, wide: f64) -> Way {
    let line = &measured.line;
    if line.frame {
        return Way { across: false, below: false, high: frame_height(measured, wide) };
    }
    let beside = Way { across: false, below: false, high: line_height(measured, (false, false), wide) };
    if line.figures.is_empty() {
        return beside;
    }
    let room = text_room(line, wide) - measured.figures[0] - LINE_GAP;
    let has_room = room >= measured.longest.max(LEAST_ROOM);
    let ways = [(true, false), (true, true)].into_iter().filter(|(_, below)| *below || has_room);
    let ways =
        ways.map(|(across, below)| Way { across, below, high: line_height(measured, (across, below), wide) });
    let first = has_room.then_some(beside);
    let least = first.into_iter().chain(ways).min_by(|a, b| a.high.total_cmp(&b.high));
    least.unwrap_or(beside)
}

/// How high a line is with its figure there, in mm.
fn line_height(measured: &Measured, (across, below): (bool, bool), wide: f64) -> f64 {
    let line = &measured.line;
    let room = text_room(line, wide);
    let [figures_width, figures] = measured.figures;
    let beside = if line.figures.is_empty() { 0.0 } else { figures_width + LINE_GAP };
    let words = if below {
        measured.head_height(room) + figures + measured.under_height(room)
    } else if across {
        measured.head_height(room - beside).max(figures) + measured.under_height(room)
    } else {
        (measured.head_height(room - beside) + measured.under_height(room - beside)).max(figures)
    };
    let sketch = if line.sketch_html.is_empty() { 0.0 } else { SKETCH_HEIGHT };
    let (below, above) = if line.row.is_empty() { (sketch, 0.0) } else { (0.0, sketch) };
    let boxes = if line.boxes.is_empty() { 0.0 } else { WRITE_HEIGHT + above };
    let ticks = if line.ticks.is_empty() { 0.0 } else { TICK_SIZE };
    let words = words + measured.again_height(room) + below;
    words.max(boxes).max(ticks) + measured.tables[0] + LINE_PAD + ROUNDING
}

/// How high the tables of a line are, in mm.
fn tables_height(line: &CardLine) -> f64 {
    let table = |rows: usize| (rows + 1) as f64 * TABLE_ROW + FRAME + TABLE_GAP;
    line.tables.iter().map(|one| table(one.rows.len())).sum()
}

/// How wide the widest table of a line is at least, in mm.
fn tables_width(line: &CardLine) -> f64 {
    let cell = |text: &String, first: bool| {
        let points = if first { UNDER_TYPE } else { TABLE_TYPE };
        width(text, points, true) + 1.2 + FRAME
    };
    let rows = |table: &CardTable| {
        let columns = (0..table.heads.len()).map(|n| {
            let cells = table.rows.iter().chain([&table.heads]).filter_map(|row| row.get(n));
            cells.map(|text| cell(text, n == 0)).fold(0.0, f64::max)
        });
        columns.sum::<f64>()
    };
    line.tables.iter().map(rows).fold(0.0, f64::max)
}

/// Above a table in a frame, and below what stands beside the number, in mm.
const TABLE_GAP: f64 = 1.2;
const TOP_GAP: f64 = 1.0;

/// How high a frame across the sheet is, in mm.
fn frame_height(measured: &Measured, wide: f64) -> f64 {
    let line = &measured.line;
    let [figures_width, figures_height] = measured.figures;
    let (drawing_width, drawing_height) = match (line.drawing_html.is_empty(), line.largest && !line.low) {
        (true, _) => (0.0, 0.0),
        (false, true) => (DRAWING_WIDTH + LINE_GAP, DRAWING_HEIGHT),
        (false, false) => (DRAWING_WIDTH + LINE_GAP, SMALL_DRAWING_HEIGHT),
    };
    let room = wide - BESIDE - drawing_width;
    let more = line.more.len() as f64;
    let (boxes, beside) = if line.boxes.is_empty() {
        (0.0, 0.0)
    } else if line.is_low_frame() {
        let label = if line.more.is_empty() { 0.0 } else { MORE_LABEL };
        (WRITE_HEIGHT + label, (1.0 + more) * (2.0 * WRITE_WIDTH + LINE_GAP))
    } else {
        (WRITE_HEIGHT + more * (WRITE_HEIGHT + MORE_LABEL), 2.0 * WRITE_WIDTH + LINE_GAP)
    };
    // On a hang card everything stands closer.
    let gaps = if line.low { LINE_GAP } else { 2.0 * LINE_GAP };
    let words = room - beside - figures_width - gaps;
    let top = (measured.head_height(words) + measured.under_height(words)).max(figures_height).max(boxes);
    let tables = measured.tables[0];
    (top + TOP_GAP + tables).max(drawing_height) + AROUND + ROUNDING
}
