//! Small helps with words, the same wherever text is made.

use pulldown_cmark_escape::escape_html;

/// With a capital first letter.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// With a small first letter, unless the word is written in capitals.
pub fn lower(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => text.to_owned(),
    }
}

/// A count in words: `1 step`, `12 steps`.
pub fn count(n: usize, singular: &str, plural: &str) -> String {
    if n == 1 { format!("1 {singular}") } else { format!("{n} {plural}") }
}

/// Text as HTML text or attribute value.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    // A string takes all that is written to it.
    let _ = escape_html(&mut out, text);
    out
}

/// A name as part of an address: a to z, 0 to 9 and hyphens; `otherwise` where nothing of it is left.
pub fn slug(name: &str, otherwise: &str) -> String {
    let mut out = String::new();
    for letter in name.to_lowercase().chars() {
        if letter.is_ascii_alphanumeric() {
            out.push(letter);
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-').to_owned();
    if out.is_empty() { otherwise.to_owned() } else { out }
}

/// A sentence of the catalogue inside another sentence: with a small first letter, unless the word is written in
/// capitals, and without its full stop.
pub(crate) fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else { return String::new() };
    let second_small = text.chars().nth(1).is_none_or(|c| !c.is_uppercase());
    let rest = letters.as_str().trim_end_matches('.');
    if second_small { format!("{}{rest}", first.to_lowercase()) } else { format!("{first}{rest}") }
}

/// Names of which all are meant: `A`, `A and B`, `A, B and C`.
pub(crate) fn and(names: &[&str]) -> String {
    match names {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        names => names.concat(),
    }
}

/// Names of which one is asked for: the name alone, or `one of A, B`.
pub(crate) fn one_of(names: &[&str]) -> String {
    match names {
        [name] => (*name).to_owned(),
        names => format!("one of {}", names.join(", ")),
    }
}
