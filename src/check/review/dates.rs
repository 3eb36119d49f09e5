//! A day that cannot be read.

use crate::diagnostic::{Finding, rules};
use crate::record::Text;

/// A date that is none.
pub(crate) fn unreadable(text: &Text) -> Finding {
    rules::DATE_UNREADABLE
        .at(text.span, format!("`{}` is no date", text.text))
        .bench("nobody could tell whether it still holds")
        .instead("write year, month and day in quotes, such as `\"2026-03-02\"`")
}
