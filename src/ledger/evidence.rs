//! What the bench found against what the records say.

use super::desk::Ledger;
use super::html::{self, table};
use crate::judge::{FEWEST_JOBS, evidence};
use crate::words::escape;

pub(super) fn page(ledger: &Ledger<'_>) -> String {
    let shop = &ledger.checked.shop;
    let told = evidence(&shop.catalogue, &shop.jobs, &ledger.sheets);
    let rows: Vec<Vec<String>> = told
        .iter()
        .map(|one| {
            let mark =
                if one.contradicts { "<span class=\"mark\">the record lies outside</span>" } else { "" };
            vec![
                escape(&one.fork),
                escape(&one.title),
                one.what.to_owned(),
                one.shown(one.median),
                one.shown(one.spread),
                one.jobs.to_string(),
                escape(&one.said),
                mark.to_owned(),
            ]
        })
        .collect();
    let said = format!(
        "<p>The median of at least {FEWEST_JOBS} jobs, and their spread. As found counts only on a machine on which this shop has not set the value before. A value’s source may be these jobs, and never the only one of a torque, a pressure, a limit or a state.</p>\n"
    );
    let heads = ["Fork", "Value", "What", "Median", "Spread", "Jobs", "Record", "Note"];
    let body = if rows.is_empty() {
        "<p>There are not enough jobs of one fork yet.</p>\n".to_owned()
    } else {
        table(&heads, &rows)
    };
    html::page("What the bench says of the records", "", &format!("{said}{body}"))
}
