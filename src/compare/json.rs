//! A comparison as JSON, for programs.
//!
//! Schema `benchleaf-comparison/1`; a change that a reader could trip over makes it `/2`. An object with
//! `schema`, `old` and `new` (what the two sides are called) and these lists:
//!
//! - `records`: `record`, `what`.
//! - `added`: `record`, `parts` (each `title` and `lines`): what a reviewer has to see of a fork that is new.
//! - `values`: `record`, `key`, `title`, `side` (`""`, `left` or `right`), `safety`, `old` and `new` (null, or
//!   `shown`, `state`, `sources`, `estimate`), `absolute`, `relative`, `slip` (text or null), `bench`, `reaches`,
//!   `review` (`old`, `new` and `reaches`: who vouches before and after, in words; empty where nobody reviews).
//! - `outcomes`: `record`, `title`, `old`, `new`.
//! - `guards`: `record`, `lost` (true where it went), `what`.
//! - `texts`: `record`, `part`, `safety`, `old`, `new` (text or null), `old_runs` and `new_runs` (each `text` and
//!   `differs`: the same texts in runs of words; empty where one of the two is null).
//! - `found` and `withdrawn`: `severity`, `code`, `path`, `message`.
//! - `stale`: `fork`, `service`, `card` and `values` (the codes printed on it), `now` (the code of the card that
//!   takes its place, or null): the cards that are out of date.
//! - `pages`: the addresses of the pages that read differently or are gone.

use serde_json::{Value, json};

use super::change::{Comparison, Figure, FindingChange, NewPart, ReviewChange, TextChange, ValueChange};
use super::marked::{Run, marked};
use crate::text::in_json;

/// The name and version of the form.
pub const SCHEMA: &str = "benchleaf-comparison/1";

/// The comparison as one JSON text, indented, with a line feed at its end.
pub fn json(comparison: &Comparison, old: &str, new: &str) -> String {
    let list = |items: Vec<Value>| Value::Array(items);
    let records =
        comparison.records.iter().map(|change| json!({"record": change.record, "what": change.what}));
    let values = comparison.values.iter().map(|change| {
        json!({
            "record": change.record, "key": change.key, "title": change.title, "side": change.side,
            "safety": change.safety, "old": figure(change.old.as_ref()), "new": figure(change.new.as_ref()),
            "absolute": change.absolute, "relative": change.relative, "slip": change.slip,
            "bench": change.bench, "reaches": change.reaches, "review": reviews(change),
        })
    });
    let parts = |parts: &[NewPart]| -> Vec<Value> {
        parts.iter().map(|part| json!({"title": part.title, "lines": part.lines})).collect()
    };
    let added =
        comparison.added.iter().map(|fork| json!({"record": fork.record, "parts": parts(&fork.parts)}));
    let outcomes = comparison.outcomes.iter().map(|outcome| {
        json!({"record": outcome.record, "title": outcome.title, "old": outcome.old, "new": outcome.new})
    });
    let guards = comparison
        .guards
        .iter()
        .map(|guard| json!({"record": guard.record, "lost": guard.lost, "what": guard.what}));
    let texts = comparison.texts.iter().map(text);
    let stale = comparison.stale.iter().map(|card| {
        json!({
            "fork": card.fork, "service": card.service, "card": card.card, "values": card.values,
            "now": card.now,
        })
    });
    let whole = json!({
        "schema": SCHEMA, "old": old, "new": new,
        "records": list(records.collect()),
        "added": list(added.collect()),
        "values": list(values.collect()),
        "outcomes": list(outcomes.collect()),
        "guards": list(guards.collect()),
        "texts": list(texts.collect()),
        "found": findings(&comparison.found),
        "withdrawn": findings(&comparison.withdrawn),
        "stale": list(stale.collect()),
        "pages": comparison.pages,
    });
    in_json(&format!("{whole:#}\n")).into_owned()
}

fn text(change: &TextChange) -> Value {
    let runs = |runs: Vec<Run>| {
        runs.into_iter().map(|run| json!({"text": run.text, "differs": run.differs})).collect::<Vec<_>>()
    };
    let both = change.old.as_deref().zip(change.new.as_deref());
    let (old, new) = both.map(|(old, new)| marked(old, new)).unwrap_or_default();
    json!({
        "record": change.record, "part": change.part, "safety": change.safety, "old": change.old,
        "new": change.new, "old_runs": runs(old), "new_runs": runs(new),
    })
}

fn reviews(change: &ValueChange) -> Value {
    let as_json =
        |review: &ReviewChange| json!({"old": review.old, "new": review.new, "reaches": review.reaches});
    Value::Array(change.review.iter().map(as_json).collect())
}

fn figure(figure: Option<&Figure>) -> Value {
    figure.map_or(Value::Null, |figure| {
        json!({
            "shown": figure.shown, "state": figure.state, "sources": figure.sources, "estimate": figure.estimate,
        })
    })
}

fn findings(list: &[FindingChange]) -> Value {
    let as_json = |finding: &FindingChange| json!({"severity": finding.severity.word(), "code": finding.code, "path": finding.path, "message": finding.message});
    Value::Array(list.iter().map(as_json).collect())
}
