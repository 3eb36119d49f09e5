//! The due list: every machine known, most overdue first.

use super::desk::{Entry, Ledger, sheet_path};
use super::html::{self, day as day_of, link, part, table};
use crate::date::Date;
use crate::words::escape;

fn body(ledger: &Ledger<'_>) -> String {
    let day = ledger.checked.day.map(|day| day.date);
    let mut known: Vec<&Entry<'_>> = ledger.machines.iter().collect();
    let soonest = |machine: &&Entry<'_>| machine.due.first().and_then(|next| next.likely);
    known.sort_by_key(|machine| (soonest(machine).is_none(), soonest(machine), machine.path.clone()));
    let rows: Vec<Vec<String>> = known.into_iter().map(|machine| row(machine, day)).collect();
    let said = match day {
        Some(day) => format!("<p>As of {day}, the day of the last commit.</p>\n"),
        None => "<p>These sources are of no known day, so nothing is marked as overdue.</p>\n".to_owned(),
    };
    let heads = ["Machine", "Due about", "What", "At", "Last job"];
    format!("{said}{}", part("Every machine, most overdue first", &table(&heads, &rows)))
}

fn row(machine: &Entry<'_>, day: Option<Date>) -> Vec<String> {
    let Some(last) = machine.jobs.last() else { return Vec::new() };
    let next = machine.due.first();
    let likely = next.and_then(|next| next.likely);
    let late = likely.is_some_and(|likely| day.is_some_and(|day| likely < day));
    let about = match likely {
        Some(likely) if late => {
            format!("<span class=\"late\">{}, overdue</span>", day_of(&likely.to_string()))
        }
        Some(likely) => day_of(&likely.to_string()),
        None => "not known".to_owned(),
    };
    vec![
        link(&machine.path, &last.machine.title()),
        about,
        escape(next.map_or("nothing on record", |next| &next.title)),
        next.map(reading).unwrap_or_default(),
        format!("{} of {}", link(&sheet_path(last), &last.number.text), day_of(&last.date.text)),
    ]
}

/// The reading and the day that something is due at.
pub(super) fn reading(next: &crate::judge::NextDue) -> String {
    let reading = next.reading.map(|(figure, unit)| format!("{figure:.0}\u{a0}{unit}"));
    let parts: Vec<String> =
        reading.into_iter().chain(next.day.map(|day| day_of(&day.to_string()))).collect();
    parts.join(" or ")
}

pub(super) fn page(ledger: &Ledger<'_>) -> String {
    html::page("What is due", "", &body(ledger))
}
