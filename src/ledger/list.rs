//! The due list: every machine known, most overdue first.

use super::desk::{Entry, Ledger, sheet_path};
use super::html::{self, day as day_of, link, part, table};
use crate::date::Date;
use crate::judge::NextDue;
use crate::words::escape;

fn body(ledger: &Ledger<'_>) -> String {
    let day = ledger.checked.day.map(|day| day.date);
    let mut known: Vec<&Entry<'_>> = ledger.machines.iter().collect();
    known.sort_by_key(|machine| {
        let first = machine.due.first().map(NextDue::order);
        (first.is_none(), first, &machine.path)
    });
    let rows: Vec<Vec<String>> = known.into_iter().map(|machine| row(machine, day)).collect();
    let said = match day {
        Some(day) => format!("<p>As of {day}, the day of the last commit.</p>\n"),
        None => "<p>These sources are of no known day, so nothing is marked as overdue.</p>\n".to_owned(),
    };
    let said = format!(
        "{said}<p>What the last reading has passed comes first, then what has a day. Where no day can be told, because a machine has one job alone or its jobs say no day, what has the least to go comes first.</p>\n"
    );
    let heads = ["Machine", "Due about", "What", "At", "Last job"];
    format!("{said}{}", part("Every machine, most overdue first", &table(&heads, &rows)))
}

fn row(machine: &Entry<'_>, day: Option<Date>) -> Vec<String> {
    let Some(last) = machine.jobs.last() else { return Vec::new() };
    let first = machine.due.first();
    // What has no day may be due before what has one: it stands beside it.
    let dateless = machine.due.iter().skip(1).filter(|next| next.likely.is_none());
    let other =
        dateless.map(|next| format!("<br>{}: {}, {}", about(next, day), escape(&next.title), reading(next)));
    let what = first.map_or("nothing on record".to_owned(), |next| escape(&next.title));
    vec![
        link(&machine.path, &last.machine.title()),
        first.map_or("not known".to_owned(), |next| about(next, day)),
        format!("{what}{}", other.collect::<String>()),
        first.map(reading).unwrap_or_default(),
        format!("{} of {}", link(&sheet_path(last), &last.number.text), day_of(&last.date.text)),
    ]
}

/// About when something is due: by its day, or by what is to go where no day can be told.
pub(super) fn about(next: &NextDue, day: Option<Date>) -> String {
    let unit = next.reading.map_or("", |(_, unit)| unit);
    let late = next.likely.is_some_and(|likely| day.is_some_and(|day| likely < day));
    match (next.likely, next.to_go) {
        (_, Some(to_go)) if to_go <= 0.0 => {
            format!("<span class=\"late\">passed by {:.0}\u{a0}{unit} at the last reading</span>", -to_go)
        }
        (Some(likely), _) if late => {
            format!("<span class=\"late\">{}, overdue</span>", day_of(&likely.to_string()))
        }
        (Some(likely), _) => day_of(&likely.to_string()),
        (None, Some(to_go)) => format!("no day known, {to_go:.0}\u{a0}{unit} to go"),
        (None, None) => "no day known".to_owned(),
    }
}

/// The reading and the day that something is due at, and what is lacking for it.
pub(super) fn reading(next: &NextDue) -> String {
    let reading = next.reading.map(|(figure, unit)| format!("{figure:.0}\u{a0}{unit}"));
    let parts: Vec<String> =
        reading.into_iter().chain(next.day.map(|day| day_of(&day.to_string()))).collect();
    let lacking = next.lacking.iter().map(|what| format!("job {} says no {what}", escape(&next.done)));
    let known = (!parts.is_empty()).then(|| parts.join(" or "));
    known.into_iter().chain(lacking).collect::<Vec<_>>().join("; ")
}

pub(super) fn page(ledger: &Ledger<'_>) -> String {
    html::page("What is due", "", &body(ledger))
}
