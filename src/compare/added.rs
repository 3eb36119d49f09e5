//! What a reviewer of a new fork has to see on one screen: what it is made of, its numbers that can hurt somebody with
//! their sources, what it takes over unseen, what is unknown, and what somebody let stand.

use std::collections::BTreeSet;

use super::change::{NewFork, NewPart};
use super::values::figure;
use crate::book::sign::SIGN;
use crate::book::unknown::open_points;
use crate::check::CheckedFork;
use crate::pipeline::Checked;
use crate::record::Accept;
use crate::resolve::{Resolved, Shop, Side};
use crate::words::{capital, count, lower};

/// What there is to see of a fork that the old shop has not.
pub(super) fn of(new: &Checked, fork: &CheckedFork) -> NewFork {
    let shop = &new.shop;
    let (own, family) = numbers(shop, fork);
    let parts = [
        ("Made of", made_of(shop, fork)),
        ("Can hurt somebody, said of this fork", own),
        ("Can hurt somebody, taken over from the family", family),
        ("Taken over besides, compared with no sheet of this fork", others(shop, fork)),
        ("Unknown", unknown(shop, fork)),
        ("Let stand", accepted(shop, fork)),
    ];
    let parts = parts.into_iter().filter(|(_, lines)| !lines.is_empty());
    let parts = parts.map(|(title, lines)| NewPart { title: title.to_owned(), lines });
    NewFork { record: format!("fork {}", fork.id), parts: parts.collect() }
}

/// Its choices in a line or two: its own, and those of its family, with the sign where nobody compared them.
fn made_of(shop: &Shop, fork: &CheckedFork) -> Vec<String> {
    let open: Vec<&str> = fork.inherited.open_choices().collect();
    let words = |taken: bool| {
        let all = shop.catalogue.choices.iter().filter_map(|choice| {
            let option = fork.choices.get(&choice.key)?;
            let is_taken = !fork.record.choices.contains_key(&choice.key);
            let sign = if open.contains(&choice.key.as_str()) { SIGN } else { "" };
            let title = lower(shop.catalogue.option_title(&choice.key, option));
            (is_taken == taken).then(|| format!("{title}{sign}"))
        });
        all.collect::<Vec<_>>().join(", ")
    };
    let family = fork.record.family.as_ref().map(|family| format!("by its family {}", family.text));
    let lines = [("by its own record".to_owned(), words(false)), (family.unwrap_or_default(), words(true))];
    let said = lines.into_iter().filter(|(_, words)| !words.is_empty());
    said.map(|(from, words)| format!("{from}: {words}")).collect()
}

/// The numbers that can hurt somebody, each with what belongs to it and its sources: the fork's own, its family's.
fn numbers(shop: &Shop, fork: &CheckedFork) -> (Vec<String>, Vec<String>) {
    let (mut own, mut family) = (Vec::new(), Vec::new());
    for (id, field) in shop.catalogue.iter().filter(|(_, field)| field.safety) {
        let values: Vec<(Side, &Resolved)> =
            Side::BOTH.into_iter().filter_map(|side| Some((side, fork.on(side, id)?))).collect();
        let alike = values.len() == 2 && fork.alike(id);
        for (side, value) in values.iter().take(if alike { 1 } else { 2 }) {
            let side = if alike { String::new() } else { format!(", {}", side.word()) };
            let inherited = fork.inherited.values.contains_key(&id);
            let sign = if fork.is_uncompared(id) { format!(" {SIGN}") } else { String::new() };
            let line = format!("{}{side}: {}{sign}", field.title, told(shop, field, value));
            if inherited { &mut family } else { &mut own }.push(line);
        }
    }
    (own, family)
}

/// A value with what belongs to it and where it is from.
fn told(shop: &Shop, field: &crate::catalogue::Field, value: &Resolved) -> String {
    let made = figure(shop, field, &value.entry, &value.sources);
    let estimate = if made.estimate { "ESTIMATE" } else { "" }.to_owned();
    let parts = [made.shown, made.state, estimate, made.sources.join("; ")];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("; ")
}

/// What it takes over besides and nobody compared, by name.
fn others(shop: &Shop, fork: &CheckedFork) -> Vec<String> {
    let open = fork.inherited.values.keys().filter(|field| fork.is_uncompared(**field));
    let fields = open.map(|field| shop.catalogue.field(*field)).filter(|field| !field.safety);
    let names: Vec<String> = fields.map(|field| lower(&field.title)).collect();
    match names.len() {
        0 => Vec::new(),
        n => vec![format!("{}: {}", count(n, "value", "values"), names.join(", "))],
    }
}

/// What its sources do not say, and what is done instead.
fn unknown(shop: &Shop, fork: &CheckedFork) -> Vec<String> {
    let line = |open: crate::book::unknown::Open| {
        let title = &shop.catalogue.field(open.field).title;
        let side = if open.side.is_empty() { String::new() } else { format!(", {}", open.side) };
        let (done, by) = open.instead;
        let done = if done.is_empty() { String::new() } else { format!("; instead, by {by}: {done}") };
        format!("{title}{side}: {}{done}", open.what)
    };
    open_points(shop, fork).into_iter().map(line).collect()
}

/// Findings that somebody let stand, of the fork and of its values.
fn accepted(shop: &Shop, fork: &CheckedFork) -> Vec<String> {
    let line = |what: &str, accept: &Accept| {
        format!("{what}: {}, by {}: {}", accept.finding.text, accept.by.text, accept.reason)
    };
    let head = fork.record.accept.iter().map(|accept| line(&capital(fork.record.kind.word()), accept));
    let values = fork.all().flat_map(|value| {
        let title = &shop.catalogue.field(value.field).title;
        value.entry.accept.iter().map(move |accept| line(title, accept))
    });
    let all: BTreeSet<String> = head.chain(values).collect();
    all.into_iter().collect()
}
