//! Whether running text names an amount.

use super::read::{Amount, amounts};
use super::units::{Dimension, UNITS};

/// Time, counts and angles are how work is done and no figures of a fork.
const OF_THE_WORK: [Dimension; 7] = [
    Dimension::Time,
    Dimension::Clicks,
    Dimension::Turns,
    Dimension::Rings,
    Dimension::Angle,
    Dimension::Ratio,
    Dimension::Distance,
];

/// The first amount that a text names: a number with a unit behind it, such as `22 N·m`. Times, turns, counts,
/// angles and shares are none.
pub(crate) fn names_an_amount(text: &str) -> Option<String> {
    let mut at = 0;
    while let Some(start) = text[at..].find(|letter: char| letter.is_ascii_digit()).map(|n| at + n) {
        let number = text[start..].find(|letter: char| !letter.is_ascii_digit() && letter != '.');
        let end = number.map_or(text.len(), |n| start + n);
        let rest = &text[end..];
        let blank = rest.len() - rest.trim_start().len();
        // The longest spelling counts: `N·m` and not `N`.
        let fits = |spelling: &&str| {
            let after = rest[blank..].strip_prefix(*spelling);
            // `look at 2 in turn` names no inches.
            after.is_some_and(|after| ends(after) && !(*spelling == "in" && after.starts_with(' ')))
        };
        let units = UNITS.iter().filter(|unit| !OF_THE_WORK.contains(&unit.dimension));
        let spellings = units.flat_map(|unit| {
            [unit.symbol]
                .into_iter()
                .chain(unit.aliases.iter().copied())
                .chain(unit.misspellings.iter().copied())
        });
        if let Some(spelling) = spellings.filter(fits).max_by_key(|spelling| spelling.len()) {
            return Some(text[start..end + blank + spelling.len()].to_owned());
        }
        at = end;
    }
    None
}

/// The first figure that a text names: an amount, or a number that counts nothing, such as the `40` of `tighten to 40,
/// as before`. A number before the word of what it counts is none, and neither is a small one in words.
pub(crate) fn names_a_figure(text: &str) -> Option<String> {
    names_an_amount(text).or_else(|| {
        let found = amounts(text).into_iter().find(|amount| is_figure(text, amount))?;
        Some(text[found.range].trim().to_owned())
    })
}

/// Behind a number these do not say what it counts.
const NO_COUNT: [&str; 18] = [
    "as", "like", "on", "in", "at", "and", "or", "by", "from", "than", "if", "when", "until", "till", "with",
    "for", "then", "is",
];

fn is_figure(text: &str, amount: &Amount) -> bool {
    let digits = text[amount.range.clone()].chars().any(char::is_numeric);
    if !digits && amount.numbers.iter().all(|number| *number < 13.0) {
        return false;
    }
    if !amount.units.is_empty() {
        let of_the_work = amount.units.iter().any(|unit| OF_THE_WORK.contains(&unit.dimension));
        // `look at 2 in turn` names no inches, and a bare degree is one of an angle.
        return !of_the_work && ![" in", "°"].iter().any(|unit| text[..amount.range.end].ends_with(unit));
    }
    let behind = text[amount.range.end..].trim_start();
    let word: String = behind.chars().take_while(|letter| letter.is_alphabetic()).collect();
    word.is_empty() || NO_COUNT.contains(&word.to_lowercase().as_str())
}

/// Whether a unit's symbol ends before this.
fn ends(rest: &str) -> bool {
    !rest.chars().next().is_some_and(char::is_alphanumeric)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_amount_is_found_and_how_long_or_often_is_none() {
        for (text, amount) in [
            ("tighten to 22 N·m by hand", Some("22 N·m")),
            ("pour 430 mL", Some("430 mL")),
            ("about 65Nm", Some("65Nm")),
            ("wait 10 min, turn 2 turns, look at both legs", None),
            ("use the 2 screws of the lower clamp", None),
            ("compare left and right", None),
        ] {
            assert_eq!(names_an_amount(text).as_deref(), amount, "{text}");
            assert_eq!(names_a_figure(text).as_deref(), amount, "{text}");
        }
    }

    #[test]
    fn a_number_that_counts_nothing_is_a_figure() {
        for (text, figure) in [
            ("Tighten to 40, as on the older model", Some("40")),
            ("set it to 18 and look", Some("18")),
            ("tighten to forty", Some("forty")),
            ("to twenty-two newton metres", Some("twenty-two newton metres")),
            ("between 35 and 40", Some("35")),
            ("as 3 on the older model", Some("3")),
            ("tighten both as one", None),
            ("give it a quarter turn, then 2 more turns", None),
            ("use all 4 screws, in 3 rounds, 90° each", None),
            ("seat an M8 bolt by hand", None),
        ] {
            assert_eq!(names_a_figure(text).as_deref(), figure, "{text}");
        }
    }
}
