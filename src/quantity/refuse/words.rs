//! What the messages of this room are put together from.

use crate::diagnostic::{Rule, Severity};
use crate::quantity::field::{Context, FieldSpec};
use crate::quantity::trouble::Trouble;
use std::ops::Range;

/// Longest piece of a text that is quoted back, in characters.
pub(super) const QUOTED: usize = 40;

/// A piece of the text as it stands in a message.
pub(in crate::quantity) fn quote(text: &str) -> String {
    let text = text.trim();
    match text.char_indices().nth(QUOTED) {
        Some((end, _)) => format!("`{}…`", &text[..end]),
        None => format!("`{text}`"),
    }
}

pub(in crate::quantity) fn error(
    rule: &'static Rule,
    range: Range<usize>,
    message: impl Into<String>,
    bench: impl Into<String>,
    instead: impl Into<String>,
) -> Trouble {
    Trouble {
        rule,
        severity: Severity::Error,
        range,
        message: message.into(),
        bench: bench.into(),
        instead: instead.into(),
    }
}

/// The field's name at the head of a sentence.
pub(in crate::quantity) fn title<'a>(field: &FieldSpec<'a>) -> &'a str {
    if field.title.is_empty() { "this value" } else { field.title }
}

/// `, as in `… mm``: how a good value looks, with no figure that could be taken over.
pub(in crate::quantity) fn pattern(field: &FieldSpec<'_>) -> String {
    let example = field.example;
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
pub(in crate::quantity) fn either(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

/// The units a field takes, its own or else the usual ones of its dimensions.
pub(super) fn units(context: Context<'_>) -> Vec<String> {
    let units_of_field: Vec<String> = context
        .field
        .units
        .iter()
        .filter(|unit| context.dimensions.contains(&unit.dimension))
        .map(|unit| unit.symbol.to_owned())
        .collect();
    if !units_of_field.is_empty() {
        return units_of_field;
    }
    let each = if context.dimensions.len() == 1 { 2 } else { 1 };
    let all = context.dimensions.len() > 4;
    let usual = context.dimensions.iter().flat_map(|dimension| dimension.units().take(each));
    usual.take(if all { 4 } else { 8 }).map(|unit| unit.symbol.to_owned()).collect()
}

pub(super) fn phrase(context: Context<'_>) -> String {
    let words: Vec<String> =
        context.dimensions.iter().map(|dimension| dimension.phrase().to_owned()).collect();
    if words.len() > 4 { "a number with its unit".to_owned() } else { either(&words) }
}

pub(super) fn harm(context: Context<'_>) -> &'static str {
    context.dimensions.first().map_or("", |dimension| dimension.wrong_unit())
}
