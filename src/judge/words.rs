//! The words for a reading.

use super::asked::{Asked, AskedValue};
use super::remedy::Remedy;
use crate::bench::oil::{Correction, correction};
use crate::bench::thread::Way;
use crate::bench::units::length;
use crate::quantity::{Dimension, Shape, Value};

/// How a reading stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// As it should be.
    Inside,
    /// Beside a figure that has no tolerance: told, and no fault.
    Beside,
    /// Nothing to hold it against, or it is no number in the right unit.
    NotJudged,
    /// Outside.
    Outside,
}

impl Outcome {
    /// The word as a program reads it.
    pub fn word(self) -> &'static str {
        match self {
            Outcome::Inside => "inside",
            Outcome::Beside => "beside",
            Outcome::NotJudged => "not-judged",
            Outcome::Outside => "outside",
        }
    }
}

/// A reading, judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judged {
    /// How it stands.
    pub outcome: Outcome,
    /// The same in words: `42 mm too small: draw off 52 mL`.
    pub words: String,
}

impl Judged {
    pub(super) fn new(outcome: Outcome, words: impl Into<String>) -> Judged {
        Judged { outcome, words: words.into() }
    }
}

/// A number from decimal text may land one rounding beside a limit.
const ROUNDING: f64 = 1e-9;

/// The number of a reading in the unit that is asked for, with the digits it was written with. Else what is wrong
/// with it.
pub fn number(asked: &Asked, value: &Value) -> Result<(f64, u8), &'static str> {
    let quantity = match value {
        Value::Quantity(quantity) => quantity,
        Value::Sections(_) => value.quantity().ok_or("one number is judged, not several")?,
        Value::NotFitted => return Err("not fitted, and the record asks for it"),
        Value::Unknown => return Err("not read"),
        _ => return Err("not a number"),
    };
    let main = quantity.main();
    if main.unit.dimension != asked.unit.dimension {
        return Err("in another kind of unit than the record");
    }
    if !matches!(main.shape, Shape::Exact(_)) {
        return Err("a reading is one number, without tolerance or range");
    }
    let (written, digits) = (main.shape.number().to_string().parse::<f64>(), main.shape.number().decimals());
    match written {
        Ok(figure) if main.unit.symbol == asked.unit.symbol => Ok((figure, digits)),
        Ok(figure) => Ok((asked.unit.from_si(main.unit.to_si(figure)), asked.decimals)),
        Err(_) => Err("not a number"),
    }
}

/// Judges a number, in the unit that is asked for, with the digits it was written with. As found nothing is set yet:
/// what is outside is told, and only a part past its limit is done something about.
pub fn judge(asked: &Asked, figure: f64, digits: u8, as_left: bool) -> Judged {
    let slack = ROUNDING * figure.abs().max(1.0);
    let low = asked.least.filter(|least| figure < least - slack);
    let high = asked.greatest.filter(|greatest| figure > greatest + slack);
    let Some(bound) = low.or(high) else {
        return Judged::new(Outcome::Inside, format!("as asked: {}", asked.said));
    };
    let (at, to) = (usize::from(high.is_some()), asked.target.unwrap_or(bound));
    let by = said((figure - to).abs(), asked.decimals.max(digits));
    let unit = asked.unit.symbol;
    let by = if by == "1" && unit.ends_with('s') {
        format!("1 {}", &unit[..unit.len() - 1])
    } else {
        format!("{by} {unit}")
    };
    if asked.loose {
        return Judged::new(Outcome::Beside, format!("{by} {} than {}", ["less", "more"][at], asked.said));
    }
    let told = format!("{by} {}", asked.called[at]);
    let remedy =
        if as_left || asked.target.is_none() { remedy(asked, figure, to, at, &by) } else { String::new() };
    let words = if remedy.is_empty() { told } else { format!("{told}: {remedy}") };
    Judged::new(Outcome::Outside, words)
}

/// What to do, in words; empty where no table says it.
fn remedy(asked: &Asked, figure: f64, to: f64, at: usize, by: &str) -> String {
    match &asked.remedy {
        Remedy::None => String::new(),
        Remedy::Words(words) => words[at].to_owned(),
        Remedy::Turn(ways) => format!("{} {by}", ways[at]),
        Remedy::Nut(pitch, ways) => {
            let turns = (asked.unit.to_si(figure) - asked.unit.to_si(to)).abs() / pitch;
            let way = match ways[at] {
                Way::UpTheRod => "towards the rod's end",
                Way::DownTheRod => "away from the rod's end",
                Way::Stay => return String::new(),
            };
            let unit = if turns <= 1.06 { "turn" } else { "turns" };
            format!("{} {unit} {way}", eighths(turns))
        }
        Remedy::Oil(surface) => {
            let si = |figure: f64| length(asked.unit.to_si(figure));
            match correction(surface, si(figure), si(to)) {
                Ok(Correction::DrawOff(oil)) => format!("draw off {}", millilitres(oil.value)),
                Ok(Correction::Add(oil)) => format!("add {}", millilitres(oil.value)),
                _ => ["draw oil off", "add oil"][at].to_owned(),
            }
        }
    }
}

fn millilitres(cubic_metres: f64) -> String {
    let amount = cubic_metres.abs() * 1e6;
    // Below that a syringe says nothing either.
    let digits = if amount < 20.0 { 1 } else { 0 };
    format!("{} mL", said(amount, digits))
}

/// Turns to the nearest eighth, as a hand counts them.
fn eighths(turns: f64) -> String {
    const PARTS: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
    let count = (turns * 8.0 + 1e-6).round() as usize;
    match (count / 8, PARTS[count % 8]) {
        (0, "") => "under ⅛".to_owned(),
        (0, part) => part.to_owned(),
        (whole, part) => format!("{whole}{part}"),
    }
}

/// A number with so many digits behind the point, and more where it would read as nothing.
fn said(number: f64, digits: u8) -> String {
    let mut digits = usize::from(digits.min(4));
    while digits < 6 && number.abs() * 10f64.powi(digits as i32) < 0.5 {
        digits += 1;
    }
    let text = format!("{:.digits$}", number + 1e-9);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// Judges left against right; nothing where the record allows it or does not say.
pub fn judge_pair(asked: &AskedValue, figures: [f64; 2], digits: u8) -> Option<Judged> {
    let allowed = asked.difference.as_ref()?;
    let unit = asked.legs.iter().flatten().next()?.unit.symbol;
    let apart = (figures[0] - figures[1]).abs();
    if apart <= allowed.greatest + ROUNDING * apart.max(1.0) {
        return None;
    }
    let (apart, greatest) = (said(apart, digits), said(allowed.greatest, 4));
    Some(Judged::new(
        Outcome::Outside,
        format!("left and right differ by {apart} {unit}, {greatest} {unit} allowed"),
    ))
}

/// Whether a dimension is one that a torque wrench reads.
pub(super) fn is_torque(asked: &Asked) -> bool {
    asked.unit.dimension == Dimension::Torque
}
