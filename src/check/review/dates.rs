//! A day that cannot be read, or that has not come.

use crate::date::{AsOf, Date};
use crate::diagnostic::{Finding, rules};
use crate::record::Text;
use crate::text::Span;

/// A date that is none.
pub(crate) fn unreadable(text: &Text) -> Finding {
    rules::DATE_UNREADABLE
        .at(text.span, format!("`{}` is no date", text.text))
        .bench("nobody could tell whether it still holds")
        .instead("write year, month and day in quotes, such as `\"2026-03-02\"`")
}

/// review-date: a review of a day after the last commit, in a tree that is settled.
pub(super) fn ahead(place: Span, date: Date, day: Option<AsOf>) -> Option<Finding> {
    let day = day.filter(|day| day.settled && date > day.date.next())?;
    Some(
        rules::REVIEW_DATE
            .at(place, format!("the review is of {date}, and the last commit of {}", day.date))
            .bench("a review that has not happened yet vouches for nothing")
            .instead("correct it with `benchleaf approve` on the day it was done"),
    )
}
