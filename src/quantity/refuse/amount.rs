//! What is said of a whole quantity.

use super::words::{error, pattern, quote};
use crate::diagnostic::{Severity, rules};
use crate::quantity::field::Context;
use crate::quantity::trouble::Trouble;
use crate::quantity::value::Value;
use crate::quantity::write::write_value;
use std::ops::Range;

pub(in crate::quantity) fn below_absolute_zero(text: &str, range: Range<usize>) -> Trouble {
    error(
        &rules::NEGATIVE_VALUE,
        range.clone(),
        format!("{} is colder than anything can be", quote(&text[range])),
        "levels and pressures are corrected with this temperature",
        "check the sign and the unit, °C or °F",
    )
}

pub(in crate::quantity) fn half_click(text: &str, range: Range<usize>) -> Trouble {
    error(
        &rules::UNREADABLE_VALUE,
        range.clone(),
        format!("{} is not a whole number of clicks", quote(&text[range])),
        "an adjuster rests in its clicks and not between them",
        "write whole clicks, or turns where the adjuster is counted in turns",
    )
}

pub(in crate::quantity) fn left_over(text: &str, range: Range<usize>, context: Context<'_>) -> Trouble {
    error(
        &rules::UNREADABLE_VALUE,
        range.clone(),
        format!("{} after the value is not understood", quote(&text[range])),
        "what is not understood is not checked and not printed",
        format!("write one value, with other units of it in brackets{}", pattern(context.field)),
    )
}

/// The note that offers the canonical spelling for what was understood all the same.
pub(in crate::quantity) fn spelling_note(text: &str, range: Range<usize>, value: &Value) -> Trouble {
    let canonical = write_value(value);
    Trouble {
        rule: &rules::UNIT_SPELLING,
        severity: Severity::Note,
        message: format!("{} is understood as `{canonical}`", quote(text)),
        range,
        bench: "nothing is wrong, but one spelling everywhere is easier to search and compare".to_owned(),
        instead: format!("write `{canonical}`"),
    }
}
