//! What the template of a card receives: finished strings, never numbers to be formatted.

use serde::Serialize;

use crate::book::view::{CardFigure, CardTable};

/// A box of the job strip.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct JobBox {
    /// What to write in it.
    pub label: String,
    /// How many twelfths of the sheet's width it takes.
    pub span: u8,
}

/// A caution as the card prints it.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardCaution {
    /// How grave: `danger`, `warning`, `caution` or `notice`.
    pub signal: String,
    /// The signal word as it is printed.
    pub word: String,
    /// The hazard in a few words.
    pub title: String,
    /// As much of the text as there is room for; may be empty.
    pub text: String,
    /// Several hazards of one grade share this line across the sheet, since there was no room for more.
    pub wide: bool,
}

/// A line of the numbers to set.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardNumber {
    /// The keys of the values it tells, with blanks between: `oil.air_gap oil.air_gap_range`.
    pub key: String,
    /// What it is, at most 18 letters.
    pub label: String,
    /// One figure, or left and right.
    pub figures: Vec<CardFigure>,
    /// The state the number belongs to; may be empty.
    pub state: String,
    /// Boxes beside it to write in what was reached: `L`, `R`; none where it has a line among the readings.
    pub boxes: Vec<String>,
    /// Safety-critical.
    pub safety: bool,
    /// Rests on nothing better than an estimate: printed inside the line.
    pub estimate: bool,
    /// Nobody vouches for it as it is: `CHANGED` since it was reviewed, or `UNREVIEWED`; printed inside the line.
    pub mark: String,
    /// `check` has a finding open on it: printed inside the line.
    pub doubt: bool,
    /// `†` where it is taken over from the family and nobody compared it with a sheet of this very fork; else empty.
    pub sign: String,
}

/// A line of the table "as found, as left".
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct FoundRow {
    /// What is read.
    pub label: String,
    /// In which unit, or the limit it is judged by; may be empty.
    pub hint: String,
    /// Left and right leg apart: four boxes. Else two.
    pub legs: bool,
    /// Whether this service reads it as found: on the left leg and on the right, or once. The boxes of what nobody
    /// reads are hatched.
    pub found: Vec<bool>,
    /// The same, as left.
    pub left: Vec<bool>,
}

/// A joint, in tightening order.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardTorque {
    /// The keys of the values it tells, with blanks between: `oil.air_gap oil.air_gap_range`.
    pub key: String,
    /// Its place in the order; empty where the record gives none: it is tightened at its step.
    pub order: String,
    /// The joint.
    pub label: String,
    /// The torque with its unit.
    pub main: String,
    /// Its tolerance; may be empty.
    pub tolerance: String,
    /// The second unit; may be empty.
    pub second: String,
    /// Its step where it has no place in the order, thread, thread state and so on in one line; may be empty.
    pub detail: String,
    /// What the record says about it besides, where there is room for it; may be empty.
    pub note: String,
    /// Boxes to write in the torque that was reached: `L`, `R`, or one without a name; none where nobody writes it.
    pub boxes: Vec<String>,
    /// Rests on nothing better than an estimate.
    pub estimate: bool,
    /// Nobody vouches for it as it is: `CHANGED` since it was reviewed, or `UNREVIEWED`.
    pub mark: String,
    /// `check` has a finding open on it.
    pub doubt: bool,
    /// `†` where it is taken over from the family and nobody compared it with a sheet of this very fork; else empty.
    pub sign: String,
}

/// A procedure on the card.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardPart {
    /// The steps it has on the page to work from: `12–16`. Where procedures follow one another on the same line the
    /// first has the steps of all, the others none.
    pub steps: String,
    /// The procedure's title.
    pub title: String,
    /// What the card says of its steps; may be empty.
    pub text: String,
}

/// A box to tick with what it stands for: one procedure, or several in which nothing is under pressure or tension
/// and no DANGER or WARNING is given.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardGroup {
    /// The procedures in order.
    pub parts: Vec<CardPart>,
    /// They follow one another on the same line, since there was no room for a line each.
    pub run_on: bool,
}

/// A column of the back.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardColumn {
    /// Its boxes in order.
    pub groups: Vec<CardGroup>,
}

/// The two sides of a bench card, `card-sheet.html`.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct CardView {
    /// The fork's id.
    pub fork_id: String,
    /// Maker and model of the fork.
    pub fork: String,
    /// What the service is called.
    pub service: String,
    /// The machines in one line.
    pub machines: String,
    /// How the values stand: `none recorded`, who reviewed them and when, or since when they have changed.
    pub review: String,
    /// Digest of the values, to be typed: `7H2K-9QWD`.
    pub values_code: String,
    /// Digest of the values, the steps, the cautions and what is worked out, to be typed.
    pub print_code: String,
    /// A picture of the page's address to be read with a telephone: finished SVG, or empty.
    pub qr_html: String,
    /// What the sign `†` means, one sentence; empty where none stands on the card.
    pub signs: String,
    /// The page's address; empty where the shop gives none.
    pub address: String,
    /// Boxes to fill in at intake.
    pub job: Vec<JobBox>,
    /// Cautions, worst first.
    pub cautions: Vec<CardCaution>,
    /// Numbers to set.
    pub numbers: Vec<CardNumber>,
    /// As found and as left.
    pub found: Vec<FoundRow>,
    /// Joints in tightening order.
    pub torques: Vec<CardTorque>,
    /// Correction tables.
    pub tables: Vec<CardTable>,
    /// The steps, in columns.
    pub columns: Vec<CardColumn>,
    /// How far the steps had to be shortened; empty when they were not.
    pub shortened: String,
    /// Boxes for parts fitted, oil batch and torque tool.
    pub parts: Vec<JobBox>,
    /// Checks that could not be made, and why.
    pub not_made: Vec<String>,
    /// Boxes of the sign-off.
    pub sign: Vec<JobBox>,
}
