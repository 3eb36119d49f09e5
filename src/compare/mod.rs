//! Two shops to what changed between them: values by fork with what each change does at the bench, steps,
//! findings, and the cards that are out of date. Pure: it reads two checked shops and nothing else.

mod added;
mod bench;
mod change;
mod findings;
mod guards;
mod json;
mod marked;
mod number;
mod pairs;
mod records;
mod stale;
mod steps;
mod values;
mod write;

pub use findings::not_in;
pub use json::SCHEMA;
pub use json::json;
pub use marked::{Run, marked};
pub use write::{markdown, text};

pub use change::{
    Comparison, Figure, FindingChange, GuardChange, NewFork, NewPart, Outcome, RecordChange, ReviewChange,
    Stale, TextChange, ValueChange,
};

use crate::pipeline::Checked;

/// Compares two shops.
pub fn compare(old: &Checked, new: &Checked) -> Comparison {
    let pairs = pairs::pairs(old, new);
    let mut out = Comparison {
        records: records::records(old, new, &pairs),
        added: pairs.added.iter().map(|fork| added::of(new, fork)).collect(),
        values: values::forks(old, new, &pairs),
        outcomes: bench::outcomes(old, new, &pairs),
        guards: guards::guards(&old.shop, &new.shop),
        texts: steps::texts(&old.shop, &old.files, &new.shop, &new.files),
        found: findings::only(new, old),
        withdrawn: findings::only(old, new),
        stale: stale::cards(old, new, &pairs),
        pages: Vec::new(),
    };
    out.values.extend(values::oils(old, new));
    out.pages = stale::pages(old, &pairs, &out);
    out
}
