//! The words for a reading.

use std::borrow::Cow;

use super::asked::{Asked, AskedValue, Bound};
use super::possible::{Possible, taken_for};
use super::remedy::Remedy;
use super::warmth::{at_temperature, signed};
use crate::bench::thread::Way;
use crate::quantity::{Dimension, Shape, Unit, Value};

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
    /// It cannot be right: read in another unit, or mistyped.
    Impossible,
}

impl Outcome {
    /// The word as a program reads it.
    pub fn word(self) -> &'static str {
        match self {
            Outcome::Inside => "inside",
            Outcome::Beside => "beside",
            Outcome::NotJudged => "not-judged",
            Outcome::Outside => "outside",
            Outcome::Impossible => "impossible",
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

/// Judges a number, in the unit that is asked for, with the digits it was written with, at the temperature that is
/// written beside it. As found nothing is set yet: what is outside is told, and only a part past its limit is done
/// something about. What cannot be right gets no order.
pub fn judge(asked: &Asked, figure: f64, digits: u8, temperature: Option<&str>, as_left: bool) -> Judged {
    let set = as_left && asked.target.is_some();
    if let Some(judged) = impossible(&asked.possible, asked.unit, figure, digits, set) {
        return judged;
    }
    let (asked, warm) = at_temperature(asked, temperature);
    let slack = ROUNDING * figure.abs().max(1.0);
    let low = asked.least.filter(|least| figure < least - slack);
    let high = asked.greatest.filter(|greatest| figure > greatest + slack);
    let Some(bound) = low.or(high) else {
        return Judged::new(Outcome::Inside, format!("as asked: {}{warm}", asked.said));
    };
    let (at, to) = (usize::from(high.is_some()), asked.target.unwrap_or(bound));
    let by = counted(&said((figure - to).abs(), asked.decimals.max(digits)), asked.unit);
    let beyond = past(&asked, at, figure);
    let outcome = if asked.loose && beyond.is_none() { Outcome::Beside } else { Outcome::Outside };
    // A figure that moved with the temperature is told with what is outside of it.
    let told = match asked.loose || matches!(asked, Cow::Owned(_)) {
        true => format!("{by} {} than {}", ["less", "more"][at], asked.said),
        false => format!("{by} {}", asked.called[at]),
    };
    let told = format!("{told}{}{warm}", beyond.map(|beyond| format!(", {beyond}")).unwrap_or_default());
    let remedy =
        if as_left || asked.target.is_none() { remedy(&asked, figure, to, at, &by) } else { String::new() };
    let words = if remedy.is_empty() { told } else { format!("{told}: {remedy}") };
    Judged::new(outcome, words)
}

/// A number with its unit, which is one where the number is.
fn counted(number: &str, unit: &Unit) -> String {
    let symbol = unit.symbol;
    match symbol.strip_suffix('s').filter(|_| number == "1") {
        Some(one) => format!("1 {one}"),
        None => format!("{number} {symbol}"),
    }
}

/// The gravest bound that a reading is past, in words.
fn past(asked: &Asked, at: usize, figure: f64) -> Option<String> {
    let slack = ROUNDING * figure.abs().max(1.0);
    let is_past = |bound: &&Bound| match at {
        0 => figure < bound.at - slack,
        _ => figure > bound.at + slack,
    };
    let bound = asked.bounds[at].iter().find(is_past)?;
    Some(format!("{} {} {}", bound.beyond, said(bound.at, 1), asked.unit.symbol))
}

/// What a reading is told that cannot be right: what it would be in the unit that may have been meant, and to read it
/// again. Where it is `set`, one that is far from the figure and near it in another unit is one too.
pub(super) fn impossible(
    possible: &Possible,
    unit: &Unit,
    figure: f64,
    digits: u8,
    set: bool,
) -> Option<Judged> {
    let meant = possible.likely.and_then(|[least, greatest]| {
        taken_for(unit).find_map(|other| {
            let would_be = unit.from_si(other.to_si(figure));
            (would_be >= least && would_be <= greatest).then_some((other, would_be))
        })
    });
    let far = |[least, greatest]: [f64; 2]| figure > 2.0 * greatest || figure > 0.0 && figure < least / 2.0;
    let mistaken = set && meant.is_some() && possible.likely.is_some_and(far);
    if possible.holds(figure) && !mistaken {
        return None;
    }
    let read = counted(&signed(figure, digits), unit);
    let again = match taken_for(unit).next() {
        Some(_) => "read it again and write its unit",
        None => "read it again",
    };
    Some(Judged::new(
        Outcome::Impossible,
        match meant {
            Some((other, would_be)) => format!(
                "{read} cannot be right ({} {} would be {} {}): {again}",
                signed(figure, digits),
                other.symbol,
                signed(would_be, 1),
                unit.symbol
            ),
            None => format!("{read} cannot be right: {again}"),
        },
    ))
}

/// What to do, in words; empty where no table says it.
fn remedy(asked: &Asked, figure: f64, to: f64, at: usize, by: &str) -> String {
    match &asked.remedy {
        Remedy::None => String::new(),
        Remedy::Words(words) => words[at].to_owned(),
        Remedy::Turn(ways) => format!("{} {by}", ways[at]),
        Remedy::Nut(turns, ways) => {
            let turns = (figure - to).abs() * turns;
            let unit = if turns <= 1.06 { "turn" } else { "turns" };
            format!("{} {unit} {}", eighths(turns), way_words(ways[at]))
        }
        Remedy::Preload(points, counted) => match on_line(points, figure) {
            Some(more) => preloaded(more, *counted),
            None => beyond(at, *counted).to_owned(),
        },
        Remedy::Oil(depths) => {
            let what = ["draw off", "add"][at];
            match (on_line(depths, figure), on_line(depths, to)) {
                (Some(here), Some(there)) => {
                    let amount = (here - there).abs();
                    // Below that a syringe says no tenths either.
                    format!("{what} {} mL", said(amount, if amount < 20.0 { 1 } else { 0 }))
                }
                _ => format!("{what} oil"),
            }
        }
    }
}

/// Which way a nut goes, in few words.
pub(super) fn way_words(way: Way) -> &'static str {
    match way {
        Way::UpTheRod => "towards the rod's end",
        Way::DownTheRod => "away from the rod's end",
        Way::Stay => "",
    }
}

/// Preload to be added, or taken back where it is less than nothing: in turns, or in millimetres.
fn preloaded(more: f64, counted: bool) -> String {
    if !counted {
        return format!("{} mm {} preload", said(more.abs(), 1), if more < 0.0 { "less" } else { "more" });
    }
    let unit = if more.abs() <= 1.06 { "turn" } else { "turns" };
    format!("{} {unit} of preload {}", eighths(more.abs()), if more < 0.0 { "out" } else { "in" })
}

/// Preload that the adjuster cannot give, for a sag that is too small and for one too large.
fn beyond(at: usize, counted: bool) -> &'static str {
    match (at, counted) {
        (0, true) => "less preload than the adjuster can give: another spring or spacer",
        (_, true) => "more preload than the adjuster can give: another spring or spacer",
        (0, false) => "less preload, or another spring",
        (_, false) => "more preload, or another spring",
    }
}

/// What belongs to a reading, on the straight line between the two that are known about it.
fn on_line(points: &[[f64; 2]], at: f64) -> Option<f64> {
    let between = |pair: &&[[f64; 2]]| at >= pair[0][0] - ROUNDING && at <= pair[1][0] + ROUNDING;
    points.windows(2).find(between).map(|pair| {
        let ([from, less], [to, more]) = (pair[0], pair[1]);
        less + (more - less) * (at - from) / (to - from)
    })
}

/// To the nearest whole number, a half upward. The page rounds the same way.
fn rounded(number: f64) -> f64 {
    (number + 0.5 + 1e-6).floor()
}

/// Turns to the nearest eighth, as a hand counts them.
fn eighths(turns: f64) -> String {
    const PARTS: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
    let count = rounded(turns * 8.0) as usize;
    match (count / 8, PARTS[count % 8]) {
        (0, "") => "under ⅛".to_owned(),
        (0, part) => part.to_owned(),
        (whole, part) => format!("{whole}{part}"),
    }
}

/// A number with so many digits behind the point, and more where it would read as nothing; no zero at its end.
pub(super) fn said(number: f64, digits: u8) -> String {
    let mut digits = i32::from(digits.min(4));
    while digits < 6 && rounded(number * 10f64.powi(digits)) == 0.0 {
        digits += 1;
    }
    let scaled = rounded(number * 10f64.powi(digits)) as u64;
    let one = 10u64.pow(digits as u32);
    let behind = format!("{:0width$}", scaled % one, width = digits as usize);
    match behind.trim_end_matches('0') {
        "" => (scaled / one).to_string(),
        behind => format!("{}.{behind}", scaled / one),
    }
}

/// Judges left against right, each with its digits; nothing where the record allows it or does not say, or where one
/// of them cannot be right.
pub fn judge_pair(asked: &AskedValue, numbers: [(f64, u8); 2]) -> Option<Judged> {
    let allowed = asked.difference.as_ref()?;
    let [left, right] = [asked.legs[0].as_ref()?, asked.legs[1].as_ref()?];
    let is_wrong = |of: &Asked, (figure, digits)| impossible(&of.possible, of.unit, figure, digits, true).is_some();
    if is_wrong(left, numbers[0]) || is_wrong(right, numbers[1]) {
        return None;
    }
    let (unit, digits) = (left.unit.symbol, numbers[0].1.max(numbers[1].1));
    let apart = (numbers[0].0 - numbers[1].0).abs();
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judge::Difference;
    use crate::quantity::unit;

    fn gap() -> Asked {
        Asked {
            unit: unit("mm").expect("a unit"),
            decimals: 0,
            least: Some(102.0),
            greatest: Some(106.0),
            target: Some(104.0),
            loose: false,
            bounds: [Vec::new(), Vec::new()],
            possible: Possible::default(),
            warmth: None,
            said: "104 ± 2 mm".to_owned(),
            called: ["too small", "too large"],
            // A ring of 1.24 mL for each millimetre.
            remedy: Remedy::Oil(vec![[0.0, 0.0], [200.0, 248.0]]),
        }
    }

    fn bound(at: f64, beyond: &'static str) -> Bound {
        Bound { at, beyond, goes_with: beyond.contains("range") }
    }

    /// An inch read as a millimetre is no order to cut; what no tool shows is none either.
    #[test]
    fn what_cannot_be_right_gets_no_order() {
        let possible = Possible { least: Some(20.0), greatest: Some(660.0), likely: Some([96.9, 111.3]) };
        let gap = Asked { possible, ..gap() };
        let words = |figure: f64, digits, as_left| judge(&gap, figure, digits, None, as_left).words;
        // 4.1 in are 104.14 mm.
        let inch = "4.1 mm cannot be right (4.1 in would be 104.1 mm): read it again and write its unit";
        assert_eq!(words(4.1, 1, true), inch);
        assert_eq!(words(1040.0, 0, true), "1040 mm cannot be right: read it again and write its unit");
        // As found it can be far off, and still be what is there.
        assert_eq!(words(40.0, 0, false), "64 mm too small");
        // 40 in are far from the figure too: it was meant as it is.
        assert_eq!(words(40.0, 0, true), "64 mm too small: draw off 79 mL");
    }

    #[test]
    fn a_gap_that_is_off_says_how_far_and_how_much_oil() {
        for (figure, words) in [
            // 42 × 1.24 = 52.08; 8 × 1.24 = 9.92.
            (62.0, "42 mm too small: draw off 52 mL"),
            (112.0, "8 mm too large: add 9.9 mL"),
            (101.5, "2.5 mm too small: draw off 3.1 mL"),
            // Off the table: nothing is made up.
            (420.0, "316 mm too large: add oil"),
            (106.0, "as asked: 104 ± 2 mm"),
        ] {
            let digits = if figure % 1.0 == 0.0 { 0 } else { 1 };
            assert_eq!(judge(&gap(), figure, digits, None, true).words, words, "{figure}");
        }
        // As found nothing is set yet.
        assert_eq!(judge(&gap(), 62.0, 0, None, false).words, "42 mm too small");
    }

    /// A figure without a tolerance may be beside; past the range or the limit on record it is a fault.
    #[test]
    fn a_pressure_past_its_range_or_limit_is_a_fault() {
        let air = Asked {
            unit: unit("kPa").expect("a unit"),
            least: Some(900.0),
            greatest: Some(900.0),
            target: Some(900.0),
            loose: true,
            bounds: [
                vec![bound(820.0, "under the range's")],
                vec![bound(1200.0, "over the limit of"), bound(990.0, "over the range's")],
            ],
            said: "900 kPa".to_owned(),
            remedy: Remedy::Words(["pump it up", "let it down"]),
            ..gap()
        };
        let told = |figure: f64| judge(&air, figure, 0, None, true);
        assert_eq!((told(940.0).outcome, told(990.0).outcome), (Outcome::Beside, Outcome::Beside));
        let high = told(1100.0);
        assert_eq!(high.outcome, Outcome::Outside);
        assert_eq!(high.words, "200 kPa more than 900 kPa, over the range's 990 kPa: let it down");
        // Past both, the limit is named, though the range lies nearer: it is what the part bears.
        assert_eq!(told(1300.0).words, "400 kPa more than 900 kPa, over the limit of 1200 kPa: let it down");
        assert_eq!(told(700.0).words, "200 kPa less than 900 kPa, under the range's 820 kPa: pump it up");
    }

    #[test]
    fn a_nut_and_an_adjuster_say_what_to_turn() {
        let nut = Asked {
            least: Some(13.3),
            greatest: Some(13.7),
            target: Some(13.5),
            decimals: 1,
            remedy: Remedy::Nut(1.0, [Way::DownTheRod, Way::UpTheRod]),
            ..gap()
        };
        let words = |figure: f64, digits| judge(&nut, figure, digits, None, true).words;
        assert_eq!(words(14.25, 2), "0.75 mm too large: ¾ turn towards the rod's end");
        assert_eq!(words(12.0, 1), "1.5 mm too small: 1½ turns away from the rod's end");
        let clicks = Asked {
            unit: unit("clicks").expect("a unit"),
            least: Some(9.0),
            greatest: Some(9.0),
            target: Some(9.0),
            called: ["too few", "too many"],
            remedy: Remedy::Turn(["turn out", "turn in"]),
            ..gap()
        };
        assert_eq!(judge(&clicks, 8.0, 0, None, true).words, "1 click too few: turn out 1 click");
        assert_eq!(judge(&clicks, 12.0, 0, None, true).words, "3 clicks too many: turn in 3 clicks");
    }

    #[test]
    fn legs_that_differ_say_by_how_much() {
        let asked = AskedValue {
            title: "Air gap".to_owned(),
            legs: [Some(gap()), Some(gap())],
            difference: Some(Difference { greatest: 1.0, said: "≤ 1 mm".to_owned() }),
            unit: unit("mm"),
            words: false,
            possible: Possible::default(),
        };
        let words = judge_pair(&asked, [(104.0, 0), (101.0, 0)]).map(|judged| judged.words);
        assert_eq!(words.as_deref(), Some("left and right differ by 3 mm, 1 mm allowed"));
        assert_eq!(judge_pair(&asked, [(104.0, 0), (105.0, 0)]), None);
    }
}
