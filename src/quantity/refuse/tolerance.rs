//! What is said of a tolerance, a limit or a range that cannot be taken.

use super::words::{error, quote};
use crate::diagnostic::rules;
use crate::quantity::round::number_in;
use crate::quantity::trouble::Trouble;
use crate::quantity::units::Unit;
use crate::quantity::value::Decimal;
use std::ops::Range;

pub(in crate::quantity) fn two_units(
    text: &str,
    range: Range<usize>,
    first: &Unit,
    second: &Unit,
) -> Trouble {
    error(
        &rules::NONSENSE_TOLERANCE,
        range.clone(),
        format!("{} mixes `{}` and `{}` in one reading", quote(&text[range]), first.symbol, second.symbol),
        "a tolerance read in the wrong unit lets a bad part pass",
        format!("write both in `{}`, and the other unit as a second saying in brackets", first.symbol),
    )
}

pub(in crate::quantity) fn percent_tolerance(
    text: &str,
    range: Range<usize>,
    middle: &Decimal,
    percent: &Decimal,
    unit: &Unit,
) -> Trouble {
    let worked = middle.float().abs() * percent.float().abs() / 100.0;
    error(
        &rules::NONSENSE_TOLERANCE,
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

pub(in crate::quantity) fn limit_and_tolerance(text: &str, range: Range<usize>) -> Trouble {
    error(
        &rules::NONSENSE_TOLERANCE,
        range.clone(),
        format!("{} has a limit and a tolerance or range at once", quote(&text[range])),
        "nobody can tell which of the two decides whether the part passes",
        "write a limit, as in `≤ … mm`, or a tolerance, as in `… ± … mm`, not both",
    )
}

pub(in crate::quantity) fn range(
    text: &str,
    range: Range<usize>,
    from: &Decimal,
    to: &Decimal,
    unit: &Unit,
) -> Trouble {
    let same = from.rational() == to.rational();
    error(
        &rules::NONSENSE_RANGE,
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

pub(in crate::quantity) fn tolerance(
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
        &rules::NONSENSE_TOLERANCE,
        range.clone(),
        format!("the tolerance {} {what}", quote(&text[range])),
        "every part would pass, or none",
        format!(
            "write how far it may be out behind the sign, as in `{} {} ± … {}`",
            middle.text(),
            unit.symbol,
            unit.symbol
        ),
    )
}

pub(in crate::quantity) fn limits(
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
        &rules::NONSENSE_TOLERANCE,
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

pub(in crate::quantity) fn half_limits(text: &str, range: Range<usize>) -> Trouble {
    error(
        &rules::NONSENSE_TOLERANCE,
        range.clone(),
        format!("{} gives only one of two limits", quote(&text[range.clone()])),
        "the other limit would have to be guessed",
        format!("write both, for example `{}/-0`, or `±` where they are equal", text[range].trim()),
    )
}

pub(in crate::quantity) fn half_written(text: &str, range: Range<usize>) -> Trouble {
    error(
        &rules::UNREADABLE_VALUE,
        range.clone(),
        format!("after {} a number is missing", quote(&text[range])),
        "the tolerance or the end of the range would have to be guessed",
        "write it out, as in `… mm ± … mm` or `… to … mm`",
    )
}
