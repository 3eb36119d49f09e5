//! The steps of a job that have neither a tick nor a reason, as the page counted them when it wrote the file.

use serde::Deserialize;

use crate::record::{Job, Procedure};
use crate::resolve::Shop;
use crate::text::visible_line;
use crate::words::count;

/// What the page keeps in a job's file, as far as anybody else reads it.
#[derive(Deserialize)]
struct OfPage {
    /// The procedures with open steps, by id, and how many each.
    #[serde(default)]
    open: Vec<(String, u32)>,
}

/// The most procedures that the sentence names.
const MOST_NAMED: usize = 3;

/// How many steps of which procedures have neither a tick nor a reason, in the words of the page; nothing where all have,
/// or where the job was not written by the page.
pub fn unticked(shop: &Shop, job: &Job) -> Option<String> {
    let of_page: OfPage = serde_json::from_str(&job.page.as_ref()?.text).ok()?;
    let title = |id: &str| match shop.procedure(id) {
        Some(Procedure { title, .. }) => title.clone(),
        None => visible_line(id).into_owned(),
    };
    let open: Vec<&(String, u32)> = of_page.open.iter().filter(|(_, steps)| *steps > 0).collect();
    let steps = open.iter().fold(0usize, |sum, (_, steps)| sum.saturating_add(*steps as usize));
    let named = open.iter().take(MOST_NAMED).map(|(id, steps)| format!("{}, {steps}", title(id)));
    let named = named.collect::<Vec<_>>().join("; ");
    let more = match open.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        more => format!("; and {}", count(more, "more procedure", "more procedures")),
    };
    let has = count(steps, "step has", "steps have");
    (steps > 0).then(|| format!("{has} neither tick nor reason: {named}{more}"))
}
