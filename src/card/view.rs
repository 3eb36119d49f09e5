//! What the template of a card receives: finished strings, never numbers to be formatted.

use serde::Serialize;

use super::goes::{PARTS_BY_NUMBER, PICTURES};
use crate::book::held::Shared;
use crate::book::view::CardTable;

/// A box that is filled in at the desk.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct JobBox {
    /// What to write in it.
    pub label: String,
    /// How many twenty-fourths of the sheet's width it takes.
    pub span: u8,
}

/// A caution at the head of the card: one that carries a number of this fork, or that somebody acts on for the whole
/// job.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardCaution {
    /// How grave: `danger`, `warning`, `caution` or `notice`.
    pub signal: String,
    /// The signal word as it is printed.
    pub word: String,
    /// The hazard in a few words.
    pub title: String,
    /// What this fork's number is, or what is done about it; may be empty.
    pub text: String,
}

/// A picture of the shop's own, with its words beside it.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardPicture {
    /// Its file, from the site's top folder; before it a gap for the way there.
    pub src: String,
    /// What it shows, in words.
    pub words: String,
    /// How wide it is, in pixels.
    pub width: u32,
    /// How high.
    pub height: u32,
}

/// A hazard at the line where it is met, in a word or two.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct CardHazard {
    /// `DANGER` and `NOTICE` are said; the others have the triangle alone.
    pub signal: String,
    /// The hazard: `spring`.
    pub word: String,
    /// Whether the triangle stands before it: somebody may be hurt.
    pub triangle: bool,
}

/// A number with its unit: large, and smaller after it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct CardValue {
    /// `L`, `R`, or empty for both.
    pub side: String,
    /// The number: `104`.
    pub main: String,
    /// Its tolerance and unit: `± 2 mm`.
    pub tail: String,
}

/// Boxes that are written in beside others, such as the oil's temperature beside the gap.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct CardBoxes {
    /// What is written in them.
    pub label: String,
    /// One for each leg, `L` and `R`, or one without a name.
    pub boxes: Vec<String>,
}

/// A line of the card: a procedure to tick, or a number with its boxes.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize)]
pub struct CardLine {
    /// The procedure's number, as on the service page.
    pub number: String,
    /// What is done, or what the number is.
    pub title: String,
    /// The field whose number it is, by key; empty for a procedure.
    pub key: String,
    /// The keys of all values it tells, with blanks between: `oil.air_gap oil.air_gap_range`.
    pub keys: String,
    /// The state that the number belongs to, what is poured, or what else is worked from; in the size of labels.
    pub state: String,
    /// What hazards are met here.
    pub hazards: Vec<CardHazard>,
    /// The oils that are poured.
    pub oils: Vec<String>,
    /// The number, or left and right; none where only a reading is written.
    pub figures: Vec<CardValue>,
    /// Limits, thread, wrench and what else stands under it.
    pub under: String,
    /// What is read, where a line is ticked and has a box to write in as well.
    pub reading: String,
    /// Boxes to write in: `L` and `R`, or one without a name.
    pub boxes: Vec<String>,
    /// Boxes to tick: `L` and `R`, or one without a name.
    pub ticks: Vec<String>,
    /// Boxes to write in that stand in a row of their own below, each with its name: the readings that a number is the
    /// middle of, or when something began and ended.
    pub row: Vec<String>,
    /// What is tried again, each with a box to tick before it.
    pub again: Vec<String>,
    /// More boxes of the same frame.
    pub more: Vec<CardBoxes>,
    /// Tables from a reading to what to do about it.
    pub tables: Vec<CardTable>,
    /// Where it is read: finished SVG, or empty.
    pub drawing_html: String,
    /// How it is read, a low drawing without words: below what is said, or above its row of boxes. Finished SVG, or empty.
    pub sketch_html: String,
    /// It goes across the sheet, in a frame of its own.
    pub frame: bool,
    /// A count, such as of strokes, which is counted while it is done; or no number at all.
    pub quiet: bool,
    /// It is the number that decides most, and the largest on the sheet.
    pub largest: bool,
    /// Its drawing is the low one.
    pub low: bool,
    /// What stands under it goes across, below the number as well.
    pub across: bool,
    /// The number stands below its name, since both have no room on one line.
    pub below: bool,
    /// Rests on nothing better than an estimate: printed inside the line.
    pub estimate: bool,
    /// Nobody vouches for it as it is: `CHANGED` since it was reviewed, or `UNREVIEWED`; printed inside the line.
    pub mark: String,
    /// `check` has a finding open on it: printed inside the line.
    pub doubt: bool,
    /// `†` where it is taken over from the family and nobody compared it with a sheet of this very fork; else empty.
    pub sign: String,
}

impl CardLine {
    /// Whether it is a frame without drawing and tables: its boxes stand side by side then, so that it is low.
    pub fn is_low_frame(&self) -> bool {
        self.frame && self.tables.is_empty() && self.drawing_html.is_empty()
    }
}

/// Lines that stand together: in columns that are read down one after the other, or one across the sheet.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardRun {
    /// The columns with their lines.
    pub columns: Vec<Vec<Shared<CardLine>>>,
}

/// A part of the job on one side of the card.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardBlock {
    /// What it is called.
    pub title: String,
    /// What holds for all of it; may be empty.
    pub note: String,
    /// Its lines in the order of work.
    pub runs: Vec<CardRun>,
}

/// The two sides of a job card, `card-sheet.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardView {
    /// The fork's id.
    pub fork_id: String,
    /// Maker and model of the fork.
    pub fork: String,
    /// What the service is called.
    pub service: String,
    /// How many steps it has and how long it takes; may be empty.
    pub length: String,
    /// The machines in one line.
    pub machines: String,
    /// How the values stand: `none recorded`, who reviewed how many and the oldest day, or since when they have changed.
    pub review: String,
    /// Digest of the values, to be typed: `7H2K-9QWD`.
    pub values_code: String,
    /// Digest of the values, the steps, the cautions and what is worked out, to be typed.
    pub print_code: String,
    /// A picture of the page's address to be read with a telephone: finished SVG, or empty.
    pub qr_html: String,
    /// What the sign `†` means, and which torques stand in no procedure and so not on the card; may be empty.
    pub signs: String,
    /// The page's address; empty where the shop gives none.
    pub address: String,
    /// Boxes to fill in at intake.
    pub job: Vec<JobBox>,
    /// Cautions of the whole job, worst first.
    pub cautions: Vec<CardCaution>,
    /// The front: intake, strip, measuring.
    pub front: Vec<CardBlock>,
    /// The parts that are ordered by number, in a line; empty where none has one, or where there was no room.
    pub numbered: String,
    /// Pictures of the shop's own that are asked for on the card; empty where none is, or where there was no room.
    pub pictures: Vec<CardPicture>,
    /// Boxes for what was found, below it.
    pub findings: Vec<JobBox>,
    /// What the front had no room for and where it stands, one sentence; may be empty.
    pub front_left_out: String,
    /// At which procedure the sheet is turned: `Turn over at 27.`
    pub turn: String,
    /// The back: filling, setting, refitting, checking.
    pub back: Vec<CardBlock>,
    /// Checks that could not be made, and why.
    pub not_made: Vec<String>,
    /// What the back had no room for and where it stands, one sentence; may be empty.
    pub left_out: String,
    /// Boxes for oil, wrench and when it is due again.
    pub parts: Vec<JobBox>,
    /// Boxes of the sign-off.
    pub sign: Vec<JobBox>,
}

/// A hazard that is met at no number, and where.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct HangHazard {
    /// The part of the job in which they are met.
    pub at: String,
    /// The hazards in a word or two each.
    pub hazards: Vec<CardHazard>,
}

/// The one side of a hang card, `hang-sheet.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct HangView {
    /// The fork's id.
    pub fork_id: String,
    /// Maker and model of the fork.
    pub fork: String,
    /// What the sheet is, and what it is not.
    pub what: String,
    /// How much larger everything is than on a job card, in hundredths: as large as the sheet has room for.
    pub percent: u32,
    /// The machines in one line.
    pub machines: String,
    /// The day its code was released, `released 2026-03-02`, or that it was not.
    pub released: String,
    /// How the values stand.
    pub review: String,
    /// Digest of the values, to be typed.
    pub values_code: String,
    /// Digest of all that the card says, to be typed.
    pub print_code: String,
    /// A picture of the card's address to be read with a telephone: finished SVG, or empty.
    pub qr_html: String,
    /// The card's address; empty where the shop gives none.
    pub address: String,
    /// What the sign `†` means; may be empty.
    pub signs: String,
    /// Cautions that carry a number of this fork or hold for all work on it, worst first.
    pub cautions: Vec<CardCaution>,
    /// Hazards that are met at no number, in the order of work.
    pub hazards: Vec<HangHazard>,
    /// What is poured and set, across the sheet.
    pub blocks: Vec<CardBlock>,
    /// Torques, seals, settings and limits, in columns that are read down one after the other.
    pub columns: Vec<Vec<CardBlock>>,
    /// What the letters of the wrenches mean; may be empty.
    pub wrenches: String,
    /// When oil, seals and so on are next due, in a line; may be empty.
    pub due: String,
    /// The parts that are ordered by number, in a line; may be empty.
    pub numbered: String,
    /// Checks that could not be made, and why.
    pub not_made: Vec<String>,
    /// What it had no room for and where it stands, one sentence; may be empty.
    pub left_out: String,
}

impl HangView {
    /// Every line.
    pub fn lines(&self) -> impl Iterator<Item = &CardLine> {
        let blocks = self.blocks.iter().chain(self.columns.iter().flatten());
        blocks.flat_map(|block| &block.runs).flat_map(|run| run.columns.iter().flatten()).map(|line| &**line)
    }
}

impl CardView {
    /// What went from a card and stood on none of its lines. `whole`: the card with nothing gone.
    pub(super) fn went_beside(&self, whole: &CardView) -> Vec<&'static str> {
        let parts = self.numbered.is_empty() && !whole.numbered.is_empty();
        let pictures = self.pictures.len() < whole.pictures.len();
        let went = [(parts, PARTS_BY_NUMBER), (pictures, PICTURES)];
        went.into_iter().filter(|(went, _)| *went).map(|(_, name)| name).collect()
    }

    /// Every line, in the order of work.
    pub fn lines(&self) -> impl Iterator<Item = &CardLine> {
        let blocks = self.front.iter().chain(&self.back);
        blocks.flat_map(|block| &block.runs).flat_map(|run| run.columns.iter().flatten()).map(|line| &**line)
    }

    /// The line on which the number of this field stands, by key.
    pub fn line(&self, key: &str) -> Option<&CardLine> {
        self.lines().find(|line| line.key == key && !line.figures.is_empty())
    }
}
