//! Inputs changed a little: letters, words of the dictionary, lines, pieces of other inputs.

use crate::random::Random;

/// Characters that readers trip over.
const ODD: [char; 40] = [
    '\0',
    '\u{1b}',
    '\u{7f}',
    '\u{85}',
    '\u{9b}',
    '\u{ad}',
    '\u{200b}',
    '\u{202e}',
    '\u{2066}',
    '\u{2028}',
    '\u{feff}',
    '\u{fffd}',
    '\u{e0041}',
    '\u{a0}',
    '\t',
    '\n',
    '\r',
    ' ',
    '"',
    '\'',
    '`',
    '<',
    '>',
    '&',
    '{',
    '}',
    '[',
    ']',
    ':',
    ',',
    '#',
    '|',
    '\\',
    '/',
    '±',
    '×',
    '²',
    'µ',
    '½',
    '%',
];

/// The longest input that is made, in bytes.
const LONGEST: usize = 64 * 1024;

/// An input, changed in one to eight places.
pub fn mutate(random: &mut Random, input: &str, others: &[String], words: &[String]) -> String {
    let mut text = input.to_owned();
    for _ in 0..=random.below(8) {
        text = once(random, &text, others, words);
        if text.len() > LONGEST {
            text.truncate(boundary(&text, LONGEST));
        }
    }
    text
}

fn once(random: &mut Random, text: &str, others: &[String], words: &[String]) -> String {
    let at = boundary(text, random.below(text.len() + 1));
    let end = boundary(text, at + random.below(24)).max(at);
    let (before, cut, after) = (&text[..at], &text[at..end], &text[end..]);
    match random.below(10) {
        0 => format!("{before}{after}"),
        1 => format!("{before}{}{cut}{after}", random.of(&ODD)),
        2 | 3 => format!("{before}{}{after}", random.of(words)),
        4 => format!("{before}{} {cut}{after}", random.of(words)),
        5 => format!("{before}{cut}{cut}{after}"),
        6 => number(random, text),
        7 => line(random, text),
        8 => {
            let other = random.of(others);
            let from = boundary(other, random.below(other.len() + 1));
            let to = boundary(other, from + random.below(200)).max(from);
            format!("{before}{}{after}", &other[from..to])
        }
        _ => {
            // Any character at all.
            let c = char::from_u32(random.below(0x11_0000) as u32).unwrap_or('\u{fffd}');
            format!("{before}{c}{after}")
        }
    }
}

/// A number of the text is another one.
fn number(random: &mut Random, text: &str) -> String {
    let numbers: Vec<usize> = text.match_indices(|c: char| c.is_ascii_digit()).map(|(at, _)| at).collect();
    if numbers.is_empty() {
        return text.to_owned();
    }
    let at = *random.of(&numbers);
    let other = ["0", "-1", "1e9", "999999999999999999999", "0.1", "1/0", "NaN", "00", "1-1/4", "5..3", "½"];
    format!("{}{}{}", &text[..at], random.of(&other), &text[at + 1..])
}

/// A line goes, comes twice, or moves.
fn line(random: &mut Random, text: &str) -> String {
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    if lines.is_empty() {
        return text.to_owned();
    }
    let at = random.below(lines.len());
    match random.below(3) {
        0 => {
            lines.remove(at);
        }
        1 => lines.insert(at, lines[at]),
        _ => {
            let taken = lines.remove(at);
            let to = random.below(lines.len() + 1);
            lines.insert(to, taken);
        }
    }
    lines.concat()
}

fn boundary(text: &str, at: usize) -> usize {
    (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}
