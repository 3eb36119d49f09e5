//! Whether running text names an amount.

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
        }
    }
}
