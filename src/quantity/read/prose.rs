//! Numbers with units in running text, however they are written: digits in any script, decimal commas, words.

use std::ops::Range;

use super::unit::{near_miss, readings};
use crate::quantity::units::{Unit, spelled};

/// A number in running text with what stands behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount {
    /// Its bytes, from the number to the end of the unit.
    pub range: Range<usize>,
    /// The numbers before the unit, in its unit: one, or those of a range or a tolerance.
    pub numbers: Vec<f64>,
    /// The unit; several where the spelling may mean several; none behind a bare number.
    pub units: Vec<&'static Unit>,
}

/// The longest spelling of a unit, in characters.
const LONGEST_UNIT: usize = 30;
/// The most numbers of one amount: a value with two tolerances.
const MOST_NUMBERS: usize = 4;

/// Every number of a text in order: with its unit, with all units it may mean, or bare.
///
/// ```
/// use benchleaf::quantity::amounts;
///
/// let found = amounts("tighten to twenty-two newton metres, then 16 oz");
/// assert_eq!((found[0].numbers[0], found[0].units[0].symbol), (22.0, "N·m"));
/// assert_eq!(found[1].units.len(), 3);
/// ```
pub fn amounts(text: &str) -> Vec<Amount> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < text.len() {
        let Some((first, end)) = number(text, at).or_else(|| in_words(text, at)) else {
            at = next_token(text, at);
            continue;
        };
        let (start, mut end, mut numbers) = (at, end, vec![first]);
        while let Some((more, behind)) = joined(text, end).filter(|_| numbers.len() < MOST_NUMBERS) {
            numbers.push(more);
            end = behind;
        }
        let unit = unit_behind(text, end);
        let (units, end) = unit.unwrap_or((Vec::new(), end));
        found.push(Amount { range: start..end, numbers, units });
        at = end;
    }
    found
}

/// Where the next number or word may begin: behind the letters and digits here, or behind one other character.
fn next_token(text: &str, at: usize) -> usize {
    let rest = &text[at..];
    let token = rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len());
    at + token.max(rest.chars().next().map_or(1, char::len_utf8)).min(rest.len())
}

/// A number in digits that begins here.
fn number(text: &str, at: usize) -> Option<(f64, usize)> {
    let rest = &text[at..];
    let mut digits = String::new();
    let mut chars = rest.char_indices().peekable();
    let mut end = 0;
    while let Some((n, c)) = chars.next() {
        if let Some(digit) = digit(c) {
            digits.push(digit);
            end = n + c.len_utf8();
        } else if let Some(share) = vulgar(c) {
            let whole: f64 = if digits.is_empty() { 0.0 } else { digits.parse().ok()? };
            return Some((whole + share, at + n + c.len_utf8()));
        } else if matches!(c, '.' | ',' | '\u{66b}') && chars.peek().is_some_and(|(_, c)| digit_char(*c)) {
            digits.push('.');
        } else {
            break;
        }
    }
    // Of `1.000,5` only the last mark is the decimal one; where it stands does not matter here.
    let points = digits.matches('.').count();
    if points > 1 {
        digits = digits.replacen('.', "", points - 1);
    }
    if let Some(under) = rest[end..].strip_prefix('/').and_then(|under| number(under, 0)) {
        return Some((digits.parse::<f64>().ok()? / under.0, at + end + 1 + under.1));
    }
    Some((digits.parse().ok()?, at + end))
}

/// A digit of any script as one of ours.
fn digit(c: char) -> Option<char> {
    // The scripts whose ten digits stand in a row, by their nought.
    const NOUGHTS: [char; 5] = ['0', '\u{660}', '\u{6f0}', '\u{966}', '\u{ff10}'];
    let value = NOUGHTS.iter().find_map(|nought| {
        let value = u32::from(c).checked_sub(u32::from(*nought))?;
        (value < 10).then_some(value)
    })?;
    char::from_digit(value, 10)
}

fn digit_char(c: char) -> bool {
    digit(c).is_some()
}

fn vulgar(c: char) -> Option<f64> {
    Some(match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    })
}

/// The words of numbers, with what each adds.
const WORDS: [(&str, f64); 30] = [
    ("nought", 0.0),
    ("zero", 0.0),
    ("one", 1.0),
    ("two", 2.0),
    ("three", 3.0),
    ("four", 4.0),
    ("five", 5.0),
    ("six", 6.0),
    ("seven", 7.0),
    ("eight", 8.0),
    ("nine", 9.0),
    ("ten", 10.0),
    ("eleven", 11.0),
    ("twelve", 12.0),
    ("thirteen", 13.0),
    ("fourteen", 14.0),
    ("fifteen", 15.0),
    ("sixteen", 16.0),
    ("seventeen", 17.0),
    ("eighteen", 18.0),
    ("nineteen", 19.0),
    ("twenty", 20.0),
    ("thirty", 30.0),
    ("forty", 40.0),
    ("fifty", 50.0),
    ("sixty", 60.0),
    ("seventy", 70.0),
    ("eighty", 80.0),
    ("ninety", 90.0),
    ("half", 0.5),
];

/// What one word of a number does to the sum before it; `added`, where "and" stands between.
fn with_word(sum: f64, added: bool, tenths: &mut Option<f64>, word: &str) -> Option<f64> {
    let word = word.to_lowercase();
    match word.as_str() {
        "hundred" => return Some(if sum == 0.0 { 100.0 } else { sum * 100.0 }),
        "thousand" => return Some(if sum == 0.0 { 1000.0 } else { sum * 1000.0 }),
        "point" => {
            *tenths = Some(0.1);
            return Some(sum);
        }
        _ => {}
    }
    if let "quarter" | "quarters" = word.as_str() {
        // `three quarters`, and `two and a quarter`.
        return Some(if sum == 0.0 || added { sum + 0.25 } else { sum * 0.25 });
    }
    let (_, value) = WORDS.iter().find(|(name, _)| *name == word)?;
    match tenths {
        Some(place) => {
            let shift = *place;
            *place /= 10.0;
            Some(sum + value * shift)
        }
        None => Some(sum + value),
    }
}

/// A number in words that begins here: `twenty-two`, `a hundred and ten`, `two point five`, `half a`.
fn in_words(text: &str, at: usize) -> Option<(f64, usize)> {
    let mut tenths = None;
    let (mut sum, mut end, mut from, mut added) = (0.0, None, at, false);
    loop {
        let word = word_at(text, from);
        if word.is_empty() {
            break;
        }
        let behind = from + word.len();
        match with_word(sum, added, &mut tenths, word) {
            Some(more) if !(end.is_none() && word.eq_ignore_ascii_case("point")) => {
                sum = more;
                end = Some(behind);
            }
            _ if end.is_some() && ["and", "a", "an", "of"].contains(&word) => added |= word == "and",
            _ => break,
        }
        let gap = text[behind..].chars().next().filter(|c| matches!(c, ' ' | '-' | '\u{2011}' | '\u{a0}'));
        from = behind + gap.map_or(0, char::len_utf8);
        if gap.is_none() {
            break;
        }
    }
    let end = end?;
    // The article belongs to the number: `half a liter`.
    let article = ["\u{a0}a ", " a ", " an ", " of a "].iter().find(|words| text[end..].starts_with(**words));
    Some((sum, end + article.map_or(0, |words| words.len() - 1)))
}

/// The letters that stand here.
fn word_at(text: &str, at: usize) -> &str {
    let rest = &text[at..];
    &rest[..rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len())]
}

/// The number that a sign or a word joins to the one before: `22 ± 2`, `10 to 15`.
fn joined(text: &str, at: usize) -> Option<(f64, usize)> {
    let rest = text[at..].trim_start();
    let sign = ["..", "±", "+/-", "+/−", "–", "—", "−", "-", "to ", "or ", "/"];
    let joint = sign.iter().find(|sign| rest.starts_with(**sign))?;
    let behind = rest[joint.len()..].trim_start_matches([' ', '\u{a0}', '+']);
    let from = text.len() - behind.len();
    number(text, from).or_else(|| in_words(text, from))
}

/// What may stand between a number and what is turned so far: `two full turns`.
const HOW_FAR: [&str; 4] = ["full ", "whole ", "complete ", "more "];

/// The unit behind a number, by its longest spelling, and where it ends.
fn unit_behind(text: &str, at: usize) -> Option<(Vec<&'static Unit>, usize)> {
    let rest = text[at..].trim_start();
    let rest = rest.strip_prefix(['-', '\u{2011}']).unwrap_or(rest);
    let rest = HOW_FAR.iter().find_map(|word| rest.strip_prefix(word)).unwrap_or(rest);
    let begins = |c: char| c.is_alphabetic() || "\"″'′”#°º%[µ㎜".contains(c);
    if !rest.starts_with(begins) {
        return None;
    }
    let from = text.len() - rest.len();
    let ends: Vec<usize> = rest.char_indices().map(|(n, c)| n + c.len_utf8()).take(LONGEST_UNIT).collect();
    let whole = |end: &&usize| {
        let next = rest[**end..].chars().next();
        next.is_none_or(|c| !c.is_alphanumeric() && !"·⋅²³/^".contains(c))
    };
    for end in ends.iter().rev().filter(whole) {
        let written = &rest[..*end];
        if written.ends_with(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '-')) {
            continue;
        }
        // A point at the end of a sentence is no part of a unit, unless one is spelled so.
        if written.ends_with('.') && spelled(written).next().is_none() {
            continue;
        }
        let several = readings(written);
        if !several.is_empty() {
            return Some((several, from + end));
        }
        let one = spelled(written).next().map(|(unit, _)| unit).or_else(|| near_miss(written, |_| true));
        if let Some(unit) = one {
            return Some((vec![unit], from + end));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every number of a text: its numbers, and the symbols of its units.
    fn found(text: &str) -> Vec<(Vec<f64>, Vec<&'static str>, &str)> {
        let each = |amount: Amount| {
            let symbols = amount.units.iter().map(|unit| unit.symbol).collect();
            (amount.numbers, symbols, &text[amount.range])
        };
        amounts(text).into_iter().map(each).collect()
    }

    #[test]
    fn digits_words_and_other_scripts_are_numbers() {
        for (text, number, unit) in [
            ("22 N·m", 22.0, "N·m"),
            ("22,5 Nm", 22.5, "N·m"),
            ("22.5\u{a0}Nm.", 22.5, "N·m"),
            ("٢٢ N·m", 22.0, "N·m"),
            ("２２ N·m", 22.0, "N·m"),
            ("Twenty-two newton metres", 22.0, "N·m"),
            ("twenty two Newton-meters", 22.0, "N·m"),
            ("a hundred and ten milliliters", 110.0, "mL"),
            ("two point five bar", 2.5, "bar"),
            ("half a liter of oil", 0.5, "L"),
            ("a quarter turn, no more", 0.25, "turns"),
            ("one quarter-turn", 0.25, "turns"),
            ("three quarters of a turn", 0.75, "turns"),
            ("two and a quarter turns", 2.25, "turns"),
            ("two full turns", 2.0, "turns"),
            ("one more turn", 1.0, "turns"),
            ("1½ bar", 1.5, "bar"),
            ("1/2 L", 0.5, "L"),
            ("a 10-mL rinse", 10.0, "mL"),
            ("16 US fl oz", 16.0, "US fl oz"),
            ("40 foot-pounds", 40.0, "lbf·ft"),
            ("9 N/mm", 9.0, "N/mm"),
        ] {
            let found = found(text);
            let last = found.last().unwrap_or_else(|| panic!("{text} has no number"));
            assert_eq!(
                (*last.0.last().unwrap_or(&0.0), last.1.as_slice()),
                (number, [unit].as_slice()),
                "{text}"
            );
        }
    }

    #[test]
    fn a_range_and_a_tolerance_are_one_amount() {
        for text in ["22 ± 2 N·m", "10–15 mL", "10 to 15 mL", "10..15 mL", "ten to fifteen milliliters"] {
            let found = found(text);
            assert_eq!((found.len(), found[0].0.len(), found[0].2), (1, 2, text));
        }
    }

    #[test]
    fn what_may_mean_several_gives_them_all() {
        assert_eq!(found("16 oz")[0].1.len(), 3);
        assert_eq!(found("24 lbs")[0].1.len(), 6);
        assert_eq!(found("#5").len(), 1);
    }

    #[test]
    fn words_and_sizes_are_no_amounts() {
        for text in ["an M8 bolt", "done often", "someone", "the tenth", "point", "and a half-open valve"] {
            assert!(found(text).iter().all(|(_, units, _)| units.is_empty()), "{text}: {:?}", found(text));
        }
        assert_eq!(found("three times")[0].1, Vec::<&str>::new());
        assert_eq!(found("It is 5. In the box")[0].1, Vec::<&str>::new());
    }
}
