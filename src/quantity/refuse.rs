//! What is said when a value cannot be taken: what is wrong, what it does at the bench, what to write.

use super::convert::{about, number_in};
use super::decimal::Decimal;
use super::dimension::Dimension;
use super::kind::{Trouble, Wanted};
use super::reading::{For, usual};
use super::unit::Unit;
use crate::diagnostic::{Severity, nearest_all};
use std::ops::Range;

/// Longest piece of a text that is quoted back, in characters.
const QUOTED: usize = 40;

/// A piece of the text as it stands in a message.
pub(super) fn quote(text: &str) -> String {
    let text = text.trim();
    match text.char_indices().nth(QUOTED) {
        Some((end, _)) => format!("`{}…`", &text[..end]),
        None => format!("`{text}`"),
    }
}

pub(super) fn error(
    code: &'static str,
    range: Range<usize>,
    message: impl Into<String>,
    bench: impl Into<String>,
    instead: impl Into<String>,
) -> Trouble {
    Trouble {
        code,
        severity: Severity::Error,
        range,
        message: message.into(),
        bench: bench.into(),
        instead: instead.into(),
    }
}

/// The field's name at the head of a sentence.
pub(super) fn title<'a>(wanted: &Wanted<'a>) -> &'a str {
    if wanted.title.is_empty() { "this value" } else { wanted.title }
}

/// `, as in `… mm``: how a good value looks, with no figure that could be taken over.
pub(super) fn pattern(wanted: &Wanted<'_>) -> String {
    let example = wanted.example;
    // What is a word and no figure may be told as it is.
    let figures = example.contains(|c: char| c.is_ascii_digit());
    match (example, figures) {
        ("", _) => String::new(),
        (_, false) => format!(", for example `{example}`"),
        (_, true) => format!(", as in `{}`", blank(example)),
    }
}

/// A text with a blank for each figure: `65 N·m (48 lbf·ft)` becomes `… N·m (… lbf·ft)`.
pub(crate) fn blank(text: &str) -> String {
    let mut out = String::new();
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        if !letter.is_ascii_digit() {
            out.push(letter);
            continue;
        }
        out.push('…');
        // Two dots part the ends of a range; one dot is part of a figure.
        loop {
            let next = letters.peek().copied();
            let mut after = letters.clone();
            after.next();
            match next {
                Some(digit) if digit.is_ascii_digit() => drop(letters.next()),
                Some('.') if after.peek().is_some_and(char::is_ascii_digit) => drop(letters.next()),
                _ => break,
            }
        }
    }
    out.replace("…..…", "… to …")
}

/// `a, b or c`.
pub(super) fn either(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

/// The units a field takes, its own or else the usual ones of its dimensions.
fn units(what: For<'_>) -> Vec<String> {
    let own: Vec<String> = what
        .wanted
        .units
        .iter()
        .filter(|unit| what.dimensions.contains(&unit.dimension))
        .map(|unit| unit.symbol.to_owned())
        .collect();
    if !own.is_empty() {
        return own;
    }
    let each = if what.dimensions.len() == 1 { 2 } else { 1 };
    let all = what.dimensions.len() > 4;
    let usual = what.dimensions.iter().flat_map(|dimension| dimension.units().take(each));
    usual.take(if all { 4 } else { 8 }).map(|unit| unit.symbol.to_owned()).collect()
}

fn phrase(what: For<'_>) -> String {
    let words: Vec<String> = what.dimensions.iter().map(|dimension| dimension.phrase().to_owned()).collect();
    if words.len() > 4 { "a number with its unit".to_owned() } else { either(&words) }
}

fn harm(what: For<'_>) -> &'static str {
    what.dimensions.first().map_or("", |dimension| dimension.wrong_unit())
}

pub(super) fn not_a_number(text: &str, range: Range<usize>, why: &str) -> Trouble {
    error(
        "not-a-number",
        range.clone(),
        format!("{} is not a number: {why}", quote(&text[range])),
        "a number that has to be guessed is a number set wrong",
        "write digits, with a point for decimals, or a fraction as on a rule: the inches, a hyphen, and two figures with a stroke between",
    )
}

pub(super) fn decimal_comma(text: &str, range: Range<usize>) -> Trouble {
    let written = &text[range.clone()];
    let pointed = written.replace('.', "").replacen(',', ".", 1).replace(',', "");
    // `10.000` would be the next thing to be misread.
    let pointed = match pointed.split_once('.') {
        Some((whole, noughts)) if noughts.bytes().all(|digit| digit == b'0') => whole.to_owned(),
        _ => pointed,
    };
    let plain = written.replace(',', "");
    let grouped = written.matches(',').count() > 1
        || written.contains('.')
        || written.split_once(',').is_some_and(|(before, after)| after.len() == 3 && before != "0");
    let instead = if grouped {
        format!(
            "use a point for decimals and no mark for thousands: `{plain}`, or `{pointed}` if that is what it means"
        )
    } else {
        format!("use a point: `{pointed}`")
    };
    error(
        "decimal-comma",
        range,
        format!("{} has a comma in the number", quote(written)),
        "a comma is a decimal mark in one country and a thousands mark in another, so the value may be out a thousand times",
        instead,
    )
}

/// A point before three digits of a distance ridden.
pub(super) fn thousands_point(text: &str, range: Range<usize>, unit: &Unit) -> Trouble {
    let written = &text[range.clone()];
    let (before, after) = written.split_once('.').unwrap_or((written, ""));
    let fraction = after.trim_end_matches('0');
    let point = if fraction.is_empty() { "" } else { "." };
    error(
        "thousands-point",
        range.clone(),
        format!("{} has a point before three digits", quote(written)),
        "a point is a decimal mark in one country and a thousands mark in another, so the value may be out a thousand times",
        format!(
            "write `{before}{after} {}` or `{before}{point}{fraction} {}`, whichever the sheet means",
            unit.symbol, unit.symbol
        ),
    )
}

pub(super) fn no_number(text: &str, at: usize, what: For<'_>) -> Trouble {
    let rest = &text[at..];
    let range = at..at + rest.trim_end().len();
    let said = if rest.trim().is_empty() {
        "a number is missing here".to_owned()
    } else {
        format!("{} does not begin with a number", quote(rest))
    };
    let nothing = ["none", "n/a", "na", "-", "–", "—", "no", "nil", "without", "not applicable"];
    if nothing.contains(&rest.trim().to_lowercase().as_str()) {
        return error(
            "unreadable-value",
            range,
            format!("{} does not say whether the part is missing or the value is", quote(rest)),
            "a value nobody has looked up is not the same as a part that is not there",
            "write `not fitted` where the fork has no such part, else leave the line out",
        );
    }
    error(
        "unreadable-value",
        range,
        said,
        format!("{} takes {}, and nothing can be set from this", title(what.wanted), phrase(what)),
        format!("write a number and its unit{}", pattern(what.wanted)),
    )
}

/// The number as it was written in each unit it may be meant in: the field's own, and others that sheets print
/// where it would be such a value in them.
pub(super) fn bare_number(text: &str, range: Range<usize>, number: &Decimal, what: For<'_>) -> Trouble {
    let mut units = units(what);
    if let [dimension] = what.dimensions {
        for symbol in dimension.printed() {
            let Some(unit) = super::unit::unit_of(*dimension, symbol) else { continue };
            let known = !what.wanted.bands.is_empty();
            if known
                && !units.iter().any(|there| there == symbol)
                && what.wanted.plausible(*dimension, unit.to_si(number.float()))
            {
                units.push((*symbol).to_owned());
            }
        }
    }
    let written = text[range.clone()].trim();
    // `0.2 max`: the unit stands behind the last digit.
    let end = written.rfind(|c: char| c.is_ascii_digit()).map_or(written.len(), |at| at + 1);
    let (digits, rest) = written.split_at(end);
    let each: Vec<String> = units.iter().map(|unit| format!("`{digits} {unit}{rest}`")).collect();
    let instead = match each.as_slice() {
        [] => "write its unit behind it".to_owned(),
        [one] => format!("write {one}, if that is what the sheet says"),
        _ => format!("write {}, whichever the sheet says", either(&each)),
    };
    error("bare-number", range.clone(), format!("{} has no unit", quote(&text[range])), harm(what), instead)
}

pub(super) fn ambiguous(
    text: &str,
    range: Range<usize>,
    number: &Decimal,
    several: &[&'static Unit],
    wanted: &[&'static Unit],
    what: For<'_>,
) -> Trouble {
    let written = &text[range.clone()];
    // The weight of an ounce is told beside the volumes; a torque is not told what it would be as a pressure.
    let told: &[&Unit] = if written.to_lowercase().contains("oz") || written.to_lowercase().contains("ounce")
    {
        several
    } else {
        wanted
    };
    let number_text = number.text();
    let each: Vec<String> = told
        .iter()
        .map(|unit| {
            let shown = match unit.dimension {
                Dimension::Mass => super::unit::unit("g").unwrap_or(unit),
                dimension => metric(dimension, unit, what),
            };
            if std::ptr::eq(shown, *unit) {
                format!("{number_text} {}", unit.symbol)
            } else {
                format!("{number_text} {} ({})", unit.symbol, about(number, unit, shown))
            }
        })
        .collect();
    let spread = {
        let si: Vec<f64> = wanted.iter().map(|unit| unit.to_si(number.float())).collect();
        let least = si.iter().copied().fold(f64::INFINITY, f64::min);
        let most = si.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let unit = metric(wanted[0].dimension, wanted[0], what);
        let width = (most - least) / unit.scale_to_si(1.0);
        match most > least && width.is_finite() {
            true => format!("between these readings lie {} {}", number_in(width), unit.symbol),
            false => harm(what).to_owned(),
        }
    };
    let write: Vec<String> = wanted.iter().map(|unit| format!("`{number_text} {}`", unit.symbol)).collect();
    let message = match wanted {
        [one] if told.len() == 1 => {
            format!(
                "{} is no unit of {}: it would be read as {}",
                quote(written),
                one.dimension.phrase(),
                each.join("")
            )
        }
        _ => format!("{} can mean {}", quote(&format!("{number_text} {written}")), either(&each)),
    };
    let instead = match write.as_slice() {
        [one] => format!("write {one} if that is what it means"),
        _ => format!("write {}, whichever is meant", either(&write)),
    };
    error("ambiguous-unit", range, message, spread, instead)
}

/// The unit a reading is worked out in: the field's own, unless that is the very unit in question.
fn metric(dimension: Dimension, unit: &'static Unit, what: For<'_>) -> &'static Unit {
    let own = usual(what, dimension);
    if std::ptr::eq(own, unit) { dimension.units().next().unwrap_or(unit) } else { own }
}

pub(super) fn oil_weight(text: &str, range: Range<usize>, what: For<'_>) -> Trouble {
    error(
        "ambiguous-unit",
        range.clone(),
        format!("{} is the \"weight\" on a bottle, not a viscosity", quote(&text[range])),
        "two oils with the same weight on the bottle can differ by half in thickness, and the damping with them",
        format!("write the viscosity from the oil's data sheet in mm²/s{}", pattern(what.wanted)),
    )
}

pub(super) fn wrong_dimension(text: &str, range: Range<usize>, unit: &Unit, what: For<'_>) -> Trouble {
    let bench = match (what.dimensions.first(), unit.dimension) {
        (Some(Dimension::Length), Dimension::Volume) => {
            "the same amount of oil stands at another height in another leg, so a volume cannot be set as a length"
        }
        (Some(Dimension::Volume), Dimension::Length) => {
            "a height of oil is another amount in another leg, so a length cannot be poured"
        }
        (Some(Dimension::Volume), Dimension::Mass) => "a weight of oil is another volume for another oil",
        (Some(Dimension::Pressure), Dimension::Force) => "the same force is another pressure on another area",
        (Some(Dimension::Viscosity), Dimension::Density) => {
            "how heavy an oil is does not say how thick it is"
        }
        _ => harm(what),
    };
    error(
        "wrong-dimension",
        range.clone(),
        format!(
            "{} takes {}, but {} is {}",
            title(what.wanted),
            phrase(what),
            quote(&text[range]),
            unit.dimension.phrase()
        ),
        bench,
        format!("write it in {}{}", either(&units(what)), pattern(what.wanted)),
    )
}

pub(super) fn words_after(text: &str, range: Range<usize>, unit: &Unit) -> Trouble {
    let written = &text[range.clone()];
    error(
        "unreadable-value",
        range,
        format!("after the unit in {} stand words that are not understood", quote(written)),
        "words in a value are not checked, so per leg, gauge or edge could be lost on the card",
        format!("stop after `{}` and put the rest in the value's note or state", unit.symbol),
    )
}

/// A letter that looks like a digit and stands between digits: `3O2`, `l2`.
fn letter_among_digits(text: &str, at: usize) -> Option<Trouble> {
    let letter = text[at..].chars().next().filter(|c| "OoОоIl".contains(*c))?;
    let digit = if "Il".contains(letter) { '1' } else { '0' };
    let after = &text[at + letter.len_utf8()..];
    if !text[..at].ends_with(|c: char| c.is_ascii_digit()) || !after.starts_with(|c: char| c.is_ascii_digit())
    {
        return None;
    }
    let numeric = |c: char| c.is_ascii_digit() || c == '.';
    let start = text[..at].trim_end_matches(numeric).len();
    let end = text.len() - after.trim_start_matches(numeric).len();
    let meant: String = text[start..end].chars().map(|c| if c == letter { digit } else { c }).collect();
    let mut trouble = not_a_number(text, start..end, &format!("the letter {letter} stands among its digits"));
    trouble.instead = format!("did you mean `{meant}`?");
    Some(trouble)
}

pub(super) fn unknown_unit(text: &str, range: Range<usize>, what: For<'_>) -> Trouble {
    if let Some(trouble) = letter_among_digits(text, range.start) {
        return trouble;
    }
    let written = &text[range.clone()];
    let own = what
        .dimensions
        .iter()
        .flat_map(|dimension| dimension.units())
        .flat_map(|unit| std::iter::once(unit.symbol).chain(unit.aliases.iter().copied()));
    let near = if written.len() <= QUOTED { nearest_all(written, own) } else { Vec::new() };
    let near: Vec<&Unit> = near
        .into_iter()
        .filter_map(|spelling| {
            what.dimensions.iter().find_map(|dimension| super::unit::unit_of(*dimension, spelling))
        })
        .collect();
    // `mn` may be mm or in: where several are as near, none is called the one that was meant.
    let one = near.first().filter(|first| near.iter().all(|unit| unit.same_size(first)));
    let units = either(&units(what));
    let instead = match one {
        Some(unit) => format!("did you mean `{}`?", unit.symbol),
        None => format!("write it in {units}{}", pattern(what.wanted)),
    };
    error(
        "unknown-unit",
        range,
        format!("{} is not a unit that is known here", quote(written)),
        harm(what),
        instead,
    )
}

pub(super) fn two_units(text: &str, range: Range<usize>, first: &Unit, second: &Unit) -> Trouble {
    error(
        "nonsense-tolerance",
        range.clone(),
        format!("{} mixes `{}` and `{}` in one reading", quote(&text[range]), first.symbol, second.symbol),
        "a tolerance read in the wrong unit lets a bad part pass",
        format!("write both in `{}`, and the other unit as a second saying in brackets", first.symbol),
    )
}

pub(super) fn percent_tolerance(
    text: &str,
    range: Range<usize>,
    middle: &Decimal,
    percent: &Decimal,
    unit: &Unit,
) -> Trouble {
    let worked = middle.float().abs() * percent.float().abs() / 100.0;
    error(
        "nonsense-tolerance",
        range.clone(),
        format!("the tolerance is in percent ({})", quote(&text[range])),
        "at the bench a gauge shows the unit, and percent has to be worked out with oily hands",
        format!(
            "write it worked out: `{} {} ± {} {}`",
            middle.text(),
            unit.symbol,
            number_in(worked),
            unit.symbol
        ),
    )
}

pub(super) fn negative(
    text: &str,
    range: Range<usize>,
    number: &Decimal,
    unit: &Unit,
    what: For<'_>,
) -> Trouble {
    error(
        "negative-value",
        range.clone(),
        format!("{} is below zero, and {} cannot be", quote(&text[range]), unit.dimension.phrase()),
        format!("{} cannot be set or measured below zero", title(what.wanted)),
        format!("write `{} {}` if the sign is a slip", number.clone().negated().text(), unit.symbol),
    )
}

pub(super) fn limit_and_tolerance(text: &str, range: Range<usize>) -> Trouble {
    error(
        "nonsense-tolerance",
        range.clone(),
        format!("{} has a limit and a tolerance or range at once", quote(&text[range])),
        "nobody can tell which of the two decides whether the part passes",
        "write a limit, as in `≤ … mm`, or a tolerance, as in `… ± … mm`, not both",
    )
}

pub(super) fn range(text: &str, range: Range<usize>, from: &Decimal, to: &Decimal, unit: &Unit) -> Trouble {
    let same = from.rational() == to.rational();
    error(
        "nonsense-range",
        range.clone(),
        match same {
            true => format!("{} begins and ends at the same value", quote(&text[range])),
            false => format!("{} runs from the greater to the smaller value", quote(&text[range])),
        },
        "one of the two figures is likely a slip, and nobody can tell which",
        match same {
            true => format!("write the single value, `{} {}`, or correct one end", from.text(), unit.symbol),
            false => format!(
                "write the smaller first, `{}..{} {}`, if both are right",
                to.text(),
                from.text(),
                unit.symbol
            ),
        },
    )
}

pub(super) fn tolerance(
    text: &str,
    range: Range<usize>,
    middle: &Decimal,
    tolerance: &Decimal,
    unit: &Unit,
) -> Trouble {
    let what = if tolerance.is_negative() {
        "has a sign of its own"
    } else if tolerance.is_zero() {
        "is nothing, which no one can hold"
    } else {
        "is as great as the value itself or greater"
    };
    error(
        "nonsense-tolerance",
        range.clone(),
        format!("the tolerance {} {what}", quote(&text[range])),
        "every part would pass, or none",
        format!(
            "write it as `{} {} ± ` and how far it may be out in {}",
            middle.text(),
            unit.symbol,
            unit.symbol
        ),
    )
}

pub(super) fn limits(
    text: &str,
    range: Range<usize>,
    middle: &Decimal,
    upper: &Decimal,
    lower: &Decimal,
    unit: &Unit,
) -> Trouble {
    let message = if upper.rational() == lower.rational() {
        "leaves no room between its limits"
    } else {
        "goes below zero or stands upside down"
    };
    let (upper, lower) = (signed(upper), signed(lower));
    error(
        "nonsense-tolerance",
        range.clone(),
        format!("the tolerance {} {message}", quote(&text[range])),
        "every part would pass, or none",
        format!(
            "write the upper limit first and check both: `{} {} {upper}/{lower}`",
            middle.text(),
            unit.symbol
        ),
    )
}

/// A limit with its sign, zero too: `+0.03`, `-0`.
fn signed(limit: &Decimal) -> String {
    if limit.is_negative() { limit.text() } else { format!("+{}", limit.text()) }
}

pub(super) fn half_limits(text: &str, range: Range<usize>) -> Trouble {
    error(
        "nonsense-tolerance",
        range.clone(),
        format!("{} gives only one of two limits", quote(&text[range.clone()])),
        "the other limit would have to be guessed",
        format!("write both, for example `{}/-0`, or `±` where they are equal", text[range].trim()),
    )
}

pub(super) fn half_written(text: &str, range: Range<usize>) -> Trouble {
    error(
        "unreadable-value",
        range.clone(),
        format!("after {} a number is missing", quote(&text[range])),
        "the tolerance or the end of the range would have to be guessed",
        "write it out, as in `… mm ± … mm` or `… to … mm`",
    )
}

pub(super) fn below_absolute_zero(text: &str, range: Range<usize>) -> Trouble {
    error(
        "negative-value",
        range.clone(),
        format!("{} is colder than anything can be", quote(&text[range])),
        "levels and pressures are corrected with this temperature",
        "check the sign and the unit, °C or °F",
    )
}

pub(super) fn half_click(text: &str, range: Range<usize>) -> Trouble {
    error(
        "unreadable-value",
        range.clone(),
        format!("{} is not a whole number of clicks", quote(&text[range])),
        "an adjuster rests in its clicks and not between them",
        "write whole clicks, or turns where the adjuster is counted in turns",
    )
}

pub(super) fn left_over(text: &str, range: Range<usize>, what: For<'_>) -> Trouble {
    error(
        "unreadable-value",
        range.clone(),
        format!("{} after the value is not understood", quote(&text[range])),
        "what is not understood is not checked and not printed",
        format!("write one value, with other units of it in brackets{}", pattern(what.wanted)),
    )
}
