//! What a review vouches for, as a digest: one short code for each value, and a seal over the whole entry.
//!
//! A code covers what the value says and nothing of how it is written: its key, the number as said with its
//! digits, unit, tolerance and twins, left and right, the state it is measured in, its attributes, and the
//! sources it rests on with their kind; what other sources say of it, and what is done where it is unknown, with who
//! answers for that; and the note beside it, which is printed with it. Comments, order of keys, spelling of units
//! and acceptances do not count. It is made from text alone, so it is the same on every machine.

use serde::Serialize;
use serde_json::{Value as Json, json};

use super::code::short;
use crate::catalogue::{Choices, Field, made};
use crate::quantity::write_value;
use crate::record::{Build, Entry, Machine, Named, Part, Sides, SpecLine, SpecRecord};

/// The key under which a review covers what a fork or family has chosen.
pub const CHOICES: &str = "choices";
/// What the key of one choice begins with, where a fork's comparison covers it: `choices.axle`.
pub const CHOICE: &str = "choices.";
/// The key under which a review covers the machines a fork is fitted to.
pub const MACHINES: &str = "machines";

/// The key under which a review covers the parts that a record orders by number.
pub const PARTS: &str = "parts";

/// What stands in the place of a code where somebody saw that a value had gone.
pub const GONE: &str = "gone";

/// What every digest of this form begins with. Another form gets another number, and old reviews become stale
/// instead of vouching for what nobody looked at.
const FORM: &str = "benchleaf review 1";

/// The code of a value as a record says it; `None` where a part of it cannot be read.
pub fn value_code(field: &Field, line: &SpecLine, from: &SpecRecord) -> Option<String> {
    let legs = match &line.sides {
        Sides::Each(entry) => json!([entry_text(entry, from)?]),
        Sides::Legs(left, right) => {
            let (left, right) = (entry_text(left, from)?, entry_text(right, from)?);
            // Both legs alike is the same statement however it is written.
            if left == right { json!([left]) } else { json!([left, right]) }
        }
    };
    Some(coded(&field.key, &legs))
}

/// The code of a fork's or family's choices.
pub fn choices_code(choices: &Choices) -> String {
    // A sorted map: the order they are written in does not count.
    coded(CHOICES, &json!(made(choices).collect::<Vec<_>>()))
}

/// The code of one choice that a fork takes over; `key` as in `choices.axle`.
pub fn choice_code(key: &str, option: &str) -> String {
    coded(key, &json!([option]))
}

/// The code of the machines a fork is fitted to.
pub fn machines_code(machines: &[Machine]) -> String {
    let said = |machine: &Machine| match machine.seen.as_str() {
        // Only where it is said, so that a review of what has none stays what it was.
        "" => json!([machine.maker, machine.model, machine.years]),
        seen => json!([machine.maker, machine.model, machine.years, seen]),
    };
    let mut sorted: Vec<&Machine> = machines.iter().collect();
    sorted.sort_by_key(|machine| (&machine.maker, &machine.model, machine.years, &machine.seen));
    coded(MACHINES, &json!(sorted.into_iter().map(said).collect::<Vec<_>>()))
}

/// The key under which a review names over which fork a build is, with what is fitted, and for which machine.
pub const BUILT: &str = "build";

/// The code of that.
pub fn build_code(build: &Build) -> String {
    let fitted = [&build.spring, &build.valving].map(|id| id.as_ref().map(|id| id.text.as_str()));
    let machine = [plain(&build.machine.maker), plain(&build.machine.model)];
    // Only where shims are fitted, so that a review of a build without them stays what it was.
    match build.stacks.as_slice() {
        [] => coded(BUILT, &json!([build.fork.text, fitted, machine])),
        stacks => coded(BUILT, &json!([build.fork.text, fitted, machine, stacks])),
    }
}

/// The code of the parts that a record orders by number.
pub fn parts_code(parts: &[Part]) -> String {
    let said = |part: &Part| {
        let mut services: Vec<&str> = part.services.iter().map(|id| id.text.as_str()).collect();
        services.sort_unstable();
        json!([plain(&part.title.text), part.number.text, part.count, services])
    };
    let mut sorted: Vec<Json> = parts.iter().map(said).collect();
    // The order they are written in does not count.
    sorted.sort_by_key(Json::to_string);
    coded(PARTS, &json!(sorted))
}

/// The seal over an entry of a record, such as `fork tarn-41`: who, when, and which values with their codes. It
/// tells an entry that was changed by hand, or copied from another record, from a value that was changed. With what
/// inherited values were compared is covered too.
pub fn seal<'a>(
    record: &str,
    (by, date): (&str, &str),
    compared: Option<&str>,
    values: impl IntoIterator<Item = (&'a str, &'a str)>,
) -> String {
    let mut values: Vec<(&str, &str)> = values.into_iter().collect();
    values.sort_unstable();
    match compared {
        None => coded("review", &(record, by, date, values)),
        Some(source) => coded("review", &(record, by, date, values, source)),
    }
}

fn coded(key: &str, content: &impl Serialize) -> String {
    // JSON marks where each text ends, so that no two contents run into one another. Texts and numbers go into memory:
    // there is nothing that could fail. If it did, the code would be no code, and vouch for nothing.
    serde_json::to_vec(&(FORM, key, content)).map(|bytes| short(&bytes)).unwrap_or_default()
}

fn entry_text(entry: &Entry, from: &SpecRecord) -> Option<Json> {
    let named =
        |(key, named): (&String, &Named)| Some(json!([key, plain(&write_value(named.value.as_ref()?))]));
    let state: Option<Vec<Json>> = entry.state.iter().map(named).collect();
    let attributes: Option<Vec<Json>> = entry.attributes.iter().map(named).collect();
    let ids = if entry.sources.is_empty() { from.source.as_slice() } else { &entry.sources };
    let mut sources: Vec<(&str, &str)> = ids
        .iter()
        .map(|id| {
            let kind = from.source_note(&id.text).map_or("", |source| source.kind.id());
            (id.text.as_str(), kind)
        })
        .collect();
    sources.sort_unstable();
    sources.dedup();
    let value = plain(&write_value(entry.value.as_ref()?));
    let mut whole = vec![json!(value), json!(state?), json!(attributes?), json!(sources)];
    // Only where it is said, so that a code of a value without it stays what it was.
    if entry.instead.is_some() || !entry.also_said.is_empty() {
        let instead =
            entry.instead.as_ref().map(|instead| [plain(&instead.what.text), instead.by.text.clone()]);
        whole.push(json!([instead, also_said(entry, from)?]));
    }
    if let Some(note) = &entry.note {
        whole.push(json!({"note": plain(note)}));
    }
    Some(Json::Array(whole))
}

/// What other sources say, by their ids and kinds.
fn also_said(entry: &Entry, from: &SpecRecord) -> Option<Vec<(String, &'static str, String)>> {
    let said = entry.also_said.iter().map(|said| {
        let id = &said.source.text;
        let kind = from.source_note(id).map_or("", |source| source.kind.id());
        Some((id.clone(), kind, plain(&write_value(said.value.as_ref()?))))
    });
    let mut said: Vec<_> = said.collect::<Option<_>>()?;
    said.sort_unstable();
    Some(said)
}

/// With single blanks: how a long text is folded into lines does not count.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
