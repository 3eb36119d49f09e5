//! What is said of a number that cannot be taken.

use super::words::{error, pattern, phrase, quote, title};
use crate::diagnostic::rules;
use crate::quantity::field::Context;
use crate::quantity::trouble::Trouble;
use crate::quantity::units::Unit;
use crate::quantity::value::Decimal;
use std::ops::Range;

pub(in crate::quantity) fn not_a_number(text: &str, range: Range<usize>, why: &str) -> Trouble {
    error(
        &rules::NOT_A_NUMBER,
        range.clone(),
        format!("{} is not a number: {why}", quote(&text[range])),
        "a number that has to be guessed is a number set wrong",
        "write digits, with a point for decimals, or a fraction as on a rule: the inches, a hyphen, and two figures with a stroke between",
    )
}

pub(in crate::quantity) fn decimal_comma(text: &str, range: Range<usize>) -> Trouble {
    let written = &text[range.clone()];
    let pointed = written.replace('.', "").replacen(',', ".", 1).replace(',', "");
    // The digits stay as they were written; only `10.000` would be the next thing to be misread.
    let pointed = pointed.strip_suffix(".000").map_or(pointed.clone(), str::to_owned);
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
        &rules::DECIMAL_COMMA,
        range,
        format!("{} has a comma in the number", quote(written)),
        "a comma is a decimal mark in one country and a thousands mark in another, so the value may be out a thousand times",
        instead,
    )
}

/// A point before three digits of a distance ridden.
pub(in crate::quantity) fn thousands_point(text: &str, range: Range<usize>, unit: &Unit) -> Trouble {
    let written = &text[range.clone()];
    let (before, after) = written.split_once('.').unwrap_or((written, ""));
    let fraction = after.trim_end_matches('0');
    let point = if fraction.is_empty() { "" } else { "." };
    error(
        &rules::THOUSANDS_POINT,
        range.clone(),
        format!("{} has a point before three digits", quote(written)),
        "a point is a decimal mark in one country and a thousands mark in another, so the value may be out a thousand times",
        format!(
            "write `{before}{after} {}` or `{before}{point}{fraction} {}`, whichever the sheet means",
            unit.symbol, unit.symbol
        ),
    )
}

pub(in crate::quantity) fn no_number(text: &str, at: usize, context: Context<'_>) -> Trouble {
    let rest = &text[at..];
    let range = at..at + rest.trim_end().len();
    let message = if rest.trim().is_empty() {
        "a number is missing here".to_owned()
    } else {
        format!("{} does not begin with a number", quote(rest))
    };
    let nothing = ["none", "n/a", "na", "-", "–", "—", "no", "nil", "without", "not applicable"];
    if nothing.contains(&rest.trim().to_lowercase().as_str()) {
        return error(
            &rules::UNREADABLE_VALUE,
            range,
            format!("{} does not say whether the part is missing or the value is", quote(rest)),
            "a value nobody has looked up is not the same as a part that is not there",
            "write `not fitted` where the fork has no such part, `unknown` where the sheet does not say it",
        );
    }
    error(
        &rules::UNREADABLE_VALUE,
        range,
        message,
        format!("{} takes {}, and nothing can be set from this", title(context.field), phrase(context)),
        format!("write a number and its unit{}", pattern(context.field)),
    )
}

pub(in crate::quantity) fn negative(
    text: &str,
    range: Range<usize>,
    number: &Decimal,
    unit: &Unit,
    context: Context<'_>,
) -> Trouble {
    error(
        &rules::NEGATIVE_VALUE,
        range.clone(),
        format!("{} is below zero, and {} cannot be", quote(&text[range]), unit.dimension.phrase()),
        format!("{} cannot be set or measured below zero", title(context.field)),
        format!("write `{} {}` if the sign is a slip", number.clone().negated().text(), unit.symbol),
    )
}
