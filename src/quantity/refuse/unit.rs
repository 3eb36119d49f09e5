//! What is said of a unit that is missing, that means several things, or that is none.

use super::number::not_a_number;
use super::words::{QUOTED, either, error, harm, pattern, phrase, quote, title, units};
use crate::diagnostic::{nearest_all, rules};
use crate::quantity::field::{Context, usual};
use crate::quantity::round::{about, number_in};
use crate::quantity::trouble::Trouble;
use crate::quantity::units::{Dimension, Unit, unit as unit_named, unit_of};
use crate::quantity::value::Decimal;
use std::ops::Range;

/// The number as it was written in each unit it may be meant in: the field's own, and others that sheets print
/// where it would be such a value in them.
pub(in crate::quantity) fn bare_number(
    text: &str,
    range: Range<usize>,
    number: &Decimal,
    context: Context<'_>,
) -> Trouble {
    let mut units = units(context);
    if let [dimension] = context.dimensions {
        for symbol in dimension.printed() {
            let Some(unit) = unit_of(*dimension, symbol) else { continue };
            let has_bands = !context.field.bands.is_empty();
            if has_bands
                && !units.iter().any(|there| there == symbol)
                && context.field.plausible(*dimension, unit.to_si(number.float()))
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
        [nearest] => format!("write {nearest}, if that is what the sheet says"),
        _ => format!("write {}, whichever the sheet says", either(&each)),
    };
    error(
        &rules::BARE_NUMBER,
        range.clone(),
        format!("{} has no unit", quote(&text[range])),
        harm(context),
        instead,
    )
}

pub(in crate::quantity) fn ambiguous(
    text: &str,
    range: Range<usize>,
    number: &Decimal,
    several: &[&'static Unit],
    candidates: &[&'static Unit],
    context: Context<'_>,
) -> Trouble {
    let written = &text[range.clone()];
    // The weight of an ounce is told beside the volumes; a torque is not told what it would be as a pressure.
    let readings: &[&Unit] =
        if written.to_lowercase().contains("oz") || written.to_lowercase().contains("ounce") {
            several
        } else {
            candidates
        };
    let number_text = number.text();
    let each: Vec<String> = readings
        .iter()
        .map(|unit| {
            let shown = match unit.dimension {
                Dimension::Mass => unit_named("g").unwrap_or(unit),
                dimension => metric(dimension, unit, context),
            };
            if std::ptr::eq(shown, *unit) {
                format!("{number_text} {}", unit.symbol)
            } else {
                format!("{number_text} {} ({})", unit.symbol, about(number, unit, shown))
            }
        })
        .collect();
    let spread = spread_of(number, candidates, context);
    let write: Vec<String> =
        candidates.iter().map(|unit| format!("`{number_text} {}`", unit.symbol)).collect();
    let message = match candidates {
        [nearest] if readings.len() == 1 => {
            format!(
                "{} is no unit of {}: it would be read as {}",
                quote(written),
                nearest.dimension.phrase(),
                each.join("")
            )
        }
        _ => format!("{} can mean {}", quote(&format!("{number_text} {written}")), either(&each)),
    };
    let instead = match write.as_slice() {
        [nearest] => format!("write {nearest} if that is what it means"),
        _ => format!("write {}, whichever is meant", either(&write)),
    };
    error(&rules::AMBIGUOUS_UNIT, range, message, spread, instead)
}

/// How far apart the readings of a number are, or what a wrong unit does where they cannot be told apart.
fn spread_of(number: &Decimal, candidates: &[&'static Unit], context: Context<'_>) -> String {
    let si: Vec<f64> = candidates.iter().map(|unit| unit.to_si(number.float())).collect();
    let least = si.iter().copied().fold(f64::INFINITY, f64::min);
    let most = si.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let unit = metric(candidates[0].dimension, candidates[0], context);
    let width = (most - least) / unit.scale_to_si(1.0);
    match most > least && width.is_finite() {
        true => format!("between these readings lie {} {}", number_in(width), unit.symbol),
        false => harm(context).to_owned(),
    }
}

/// The unit a reading is worked out in: the field's own, unless that is the very unit in question.
fn metric(dimension: Dimension, unit: &'static Unit, context: Context<'_>) -> &'static Unit {
    let unit_of_field = usual(context, dimension);
    if std::ptr::eq(unit_of_field, unit) { dimension.units().next().unwrap_or(unit) } else { unit_of_field }
}

pub(in crate::quantity) fn oil_weight(text: &str, range: Range<usize>, context: Context<'_>) -> Trouble {
    error(
        &rules::AMBIGUOUS_UNIT,
        range.clone(),
        format!("{} is the \"weight\" on a bottle, not a viscosity", quote(&text[range])),
        "two oils with the same weight on the bottle can differ by half in thickness, and the damping with them",
        format!(
            "write the viscosity from the oil's data sheet in mm²/s{}; `benchleaf calc oil` works out what an oil is at a temperature",
            pattern(context.field)
        ),
    )
}

pub(in crate::quantity) fn wrong_dimension(
    text: &str,
    range: Range<usize>,
    unit: &Unit,
    context: Context<'_>,
) -> Trouble {
    let bench = match (context.dimensions.first(), unit.dimension) {
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
        _ => harm(context),
    };
    error(
        &rules::WRONG_DIMENSION,
        range.clone(),
        format!(
            "{} takes {}, but {} is {}",
            title(context.field),
            phrase(context),
            quote(&text[range]),
            unit.dimension.phrase()
        ),
        bench,
        format!("write it in {}{}", either(&units(context)), pattern(context.field)),
    )
}

pub(in crate::quantity) fn words_after(text: &str, range: Range<usize>, unit: &Unit) -> Trouble {
    let written = &text[range.clone()];
    error(
        &rules::UNREADABLE_VALUE,
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

/// Whether a word is the letter and the grade of a fit: `H7`, `js6`.
fn is_fit_code(word: &str) -> bool {
    let (letter, grade) = word.split_at(word.bytes().take_while(u8::is_ascii_alphabetic).count());
    matches!(letter.len(), 1 | 2) && matches!(grade.len(), 1 | 2) && grade.bytes().all(|b| b.is_ascii_digit())
}

pub(in crate::quantity) fn unknown_unit(text: &str, range: Range<usize>, context: Context<'_>) -> Trouble {
    if let Some(trouble) = letter_among_digits(text, range.start) {
        return trouble;
    }
    let written = &text[range.clone()];
    if is_fit_code(written) && context.dimensions.contains(&Dimension::Length) {
        let size: String = text[..range.start].trim().chars().take(QUOTED).collect();
        return error(
            &rules::UNKNOWN_UNIT,
            range,
            format!("{} is a fit of ISO 286, and no unit", quote(written)),
            "how far the size may be off would have to be looked up at the bench",
            format!(
                "write its limits, as `benchleaf calc fit --bore \"{size} {}\"` works them out (a shaft: `--shaft`){}",
                written.replace(|c: char| !c.is_ascii_alphanumeric(), ""),
                pattern(context.field)
            ),
        );
    }
    let unit_of_field = context
        .dimensions
        .iter()
        .flat_map(|dimension| dimension.units())
        .flat_map(|unit| std::iter::once(unit.symbol).chain(unit.aliases.iter().copied()));
    let near = if written.len() <= QUOTED { nearest_all(written, unit_of_field) } else { Vec::new() };
    let near: Vec<&Unit> = near
        .into_iter()
        .filter_map(|spelling| context.dimensions.iter().find_map(|dimension| unit_of(*dimension, spelling)))
        .collect();
    // `mn` may be mm or in: where several are as near, none is called the one that was meant.
    let nearest = near.first().filter(|first| near.iter().all(|unit| unit.same_size(first)));
    let units = either(&units(context));
    let instead = match nearest {
        Some(unit) => format!("did you mean `{}`?", unit.symbol),
        None => format!("write it in {units}{}", pattern(context.field)),
    };
    error(
        &rules::UNKNOWN_UNIT,
        range,
        format!("{} is not a unit that is known here", quote(written)),
        harm(context),
        instead,
    )
}
