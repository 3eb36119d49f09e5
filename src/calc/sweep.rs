//! Every subject asked of made-up forks of every combination of choices: it answers whole or says whole what it lacks,
//! and what is given by hand replaces what is on record and drops nothing else.

use std::collections::BTreeMap;

use super::agree::ask;
use super::{Input, Sheet, Subject, subjects};
use crate::catalogue::{Choices, Key, builtin, key};
use crate::check::CheckedFork;
use crate::derive::made_up::{combinations, record, shop};
use crate::pipeline::{Checked, figures_of_shop};
use crate::quantity::Value;
use crate::resolve::Side;

/// Made-up forks, whole: a few of each kind, by every how many combinations one is taken.
fn made_up(every: usize, given: &BTreeMap<&str, String>) -> Checked {
    let catalogue = builtin().expect("the built-in catalogue");
    let all: Vec<Choices> = combinations(&catalogue);
    let records = all.iter().enumerate().step_by(every).map(|(n, choices)| {
        let id = format!("fork-{n:04}");
        let mut choices = choices.clone();
        // Adjusters that click, where there can be some.
        for adjuster in ["rebound", "compression"] {
            if let Some(made) = choices.get_mut(adjuster) {
                "top".clone_into(made);
            }
        }
        let text = record(&catalogue, &id, &choices, given);
        (id, text)
    });
    figures_of_shop(&shop(records))
}

/// What nobody can have on record is given: the example. The rest comes from the record.
fn only_what_no_record_has(subject: &Subject) -> Vec<(&'static str, String)> {
    let never: &[&str] = match subject.name {
        // Left out, the record's own are taken.
        "gauge" | "torque" | "wrench" => &["torque", "pressure", "from", "to"],
        "air" => &["inserted", "limit", "working"],
        "temperature" => &["from", "to", "density"],
        "preload" => &["change", "rings", "showing", "spacing", "least"],
        "clicks" => &["clicks", "first", "last"],
        "bushing" => &["bore", "shaft", "wall"],
        "rider" => &["springs"],
        _ => &[],
    };
    let asked = |input: &&Input| input.keys.is_empty() && !never.contains(&input.name);
    subject.inputs.iter().filter(asked).map(|input| (input.name, example(subject, input))).collect()
}

fn example(subject: &Subject, input: &Input) -> String {
    match (subject.name, input.name) {
        // In place of an oil of the demo shop, the one that these forks are filled with.
        ("substitutes", "oil") => "fork-oil-15".to_owned(),
        ("torque" | "wrench", "joint") => "axle_pinch".to_owned(),
        _ => input.example.to_owned(),
    }
}

/// A sentence of a refusal, or a cell, that breaks off.
fn breaks_off(text: &str) -> bool {
    let end = text.trim_end();
    end.is_empty() || end != text || end.ends_with([',', ':', ';', '(']) || end.ends_with(" has no")
}

#[test]
fn every_subject_answers_whole_or_says_what_it_lacks() {
    let mut answered: BTreeMap<&str, usize> = BTreeMap::new();
    for gone in ["", "tubes.stroke", "spring.mass", "oil.dry_fill", "spring.rate"] {
        let given = if gone.is_empty() { BTreeMap::new() } else { BTreeMap::from([(gone, String::new())]) };
        let checked = made_up(11, &given);
        for (fork, side) in checked.forks.iter().flat_map(|fork| Side::BOTH.map(|side| (fork, side))) {
            for subject in subjects() {
                let done = ask(&checked, (fork, side), subject, &only_what_no_record_has(subject));
                let who = format!("{} of {} ({:?}), without `{gone}`", subject.name, fork.id, fork.choices);
                let text = match &done {
                    Ok(sheet) => {
                        *answered.entry(subject.name).or_default() += 1;
                        assert!(!sheet.lines.is_empty(), "{who}: an answer without a line");
                        let cells = sheet.lines.iter().map(|line| &line.text).chain(&sheet.assumptions);
                        cells.clone().for_each(|cell| assert!(!breaks_off(cell), "{who}: {cell:?}"));
                        sheet.text()
                    }
                    Err(why) => {
                        why.0.lines().for_each(|line| assert!(!breaks_off(line), "{who}: {line:?}"));
                        why.lines(0)
                    }
                };
                assert!(!text.contains("NaN") && !text.contains("inf "), "{who}: {text}");
                let wide = text.lines().find(|line| line.chars().count() > 80);
                assert!(wide.is_none(), "{who}: {wide:?}");
            }
        }
    }
    for subject in subjects() {
        assert!(answered.contains_key(subject.name), "`{}` never answers: {answered:?}", subject.name);
    }
}

/// What replaces an input though it is the record's own: not the same thing.
fn means_something_else(fork: &CheckedFork, side: Side, subject: &Subject, input: &Input) -> bool {
    let has = |key: Key| fork.on(side, key.id()).and_then(|resolved| resolved.value()).is_some();
    match (subject.name, input.name) {
        // On the command line the adjuster's share is in it.
        (_, "preload") => has(key::ADJUSTERS_PRELOAD),
        // A bore or a rod given is meant where a slope is on record.
        (_, "bore" | "rod") => has(key::OIL_SURFACE_SLOPE),
        // A slope given holds to the edge, though a drawing is on record.
        ("air", "slope") => true,
        // A pressure given is one; the record has one for each chamber.
        ("gauge", _) => true,
        _ => false,
    }
}

fn numbers(sheet: &Sheet) -> Vec<(&'static str, String)> {
    let with = sheet.lines.iter().filter(|line| line.number.is_some());
    with.map(|line| (line.name, line.text.clone())).collect()
}

#[test]
fn the_records_own_value_given_by_hand_changes_nothing() {
    let checked = made_up(11, &BTreeMap::new());
    let mut compared: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for (fork, side) in checked.forks.iter().flat_map(|fork| Side::BOTH.map(|side| (fork, side))) {
        for subject in subjects() {
            let given = only_what_no_record_has(subject);
            let Ok(recorded) = ask(&checked, (fork, side), subject, &given) else { continue };
            for input in
                subject.inputs.iter().filter(|input| !means_something_else(fork, side, subject, input))
            {
                let on_leg = |key: &Key| {
                    let field = checked.shop.catalogue.field(key.id());
                    let resolved = fork.takes(side, field).then(|| fork.on(side, key.id()))??;
                    let value = resolved.value()?;
                    (!matches!(value, Value::NotFitted | Value::Unknown)).then(|| resolved.entry.text.clone())
                };
                let Some(text) = input.keys.iter().find_map(on_leg) else { continue };
                let more: Vec<_> = given.iter().cloned().chain([(input.name, text.clone())]).collect();
                let done = ask(&checked, (fork, side), subject, &more);
                let who = format!("{} --{} {text:?} of {:?}", subject.name, input.name, fork.choices);
                let by_hand = done.unwrap_or_else(|why| panic!("{who}: {why}"));
                assert_eq!(numbers(&by_hand), numbers(&recorded), "{who}");
                *compared.entry((subject.name, input.name)).or_default() += 1;
            }
        }
    }
    assert!(compared.len() > 25, "{compared:?}");
}

/// One figure of a command, the rest from the record.
fn figure(
    checked: &Checked,
    at: (&CheckedFork, Side),
    subject: &str,
    name: &str,
    given: &[(&'static str, &str)],
) -> Option<f64> {
    let subject = subjects().find(|known| known.name == subject).expect("a subject");
    let given: Vec<_> = given.iter().map(|(input, text)| (*input, (*text).to_owned())).collect();
    let sheet = ask(checked, at, subject, &given).ok()?;
    sheet.lines.iter().find(|line| line.name == name)?.number.map(|(number, _)| number)
}

/// Which way a figure goes when one input given by hand grows.
#[test]
fn a_figure_goes_the_way_its_input_does_on_every_kind_of_fork() {
    let checked = made_up(5, &BTreeMap::new());
    type Goes = (&'static str, &'static str, &'static str, [&'static str; 2], bool);
    let all: [Goes; 13] = [
        // Stiffer never sags more, more preload neither; a heavier load never less.
        ("sag", "sag", "rate", ["7 N/mm", "9 N/mm"], false),
        ("sag", "sag", "preload", ["5 mm", "15 mm"], false),
        ("sag", "sag", "load", ["95 kg", "115 kg"], true),
        // Less gap never pushes less, a longer stroke neither; more put in, more charge and more warmth the same.
        ("air", "force_slow", "gap", ["125 mm", "140 mm"], false),
        ("air", "force_slow", "stroke", ["80 mm", "85 mm"], true),
        ("air", "force_slow", "charge", ["0 kPa", "50 kPa"], true),
        ("air", "locks_at", "inserted", ["30 mL", "40 mL"], true),
        ("air", "locks_at", "working", ["30 °C", "60 °C"], true),
        // Warmer never reads a larger gap.
        ("temperature", "gap", "to", ["25 °C", "60 °C"], false),
        ("temperature", "growth", "fill", ["350 mL", "450 mL"], true),
        // A longer stroke never leaves more room.
        ("bind", "least", "stroke", ["80 mm", "90 mm"], false),
        ("spring", "preloaded", "preload", ["5 mm", "15 mm"], true),
        ("outer", "force_slow", "air", ["700 mL", "800 mL"], false),
    ];
    for (subject, name, input, [less, more], grows) in all {
        let mut told = 0;
        for at in checked.forks.iter().flat_map(|fork| Side::BOTH.map(|side| (fork, side))) {
            let with = |value| figure(&checked, at, subject, name, &[(input, value)]);
            let Some((less, more)) = with(less).zip(with(more)) else { continue };
            told += 1;
            let holds = if grows { more >= less } else { more <= less };
            assert!(holds, "{subject} --{input}: {less}, then {more}, of {:?}", at.0.choices);
        }
        assert!(told > 5, "{subject} --{input}: {told}");
    }
}

/// A reading further below its target never asks for less oil to be drawn off, and one inside is left.
#[test]
fn the_smaller_a_gap_reads_the_more_is_drawn_off() {
    let checked = made_up(5, &BTreeMap::new());
    let mut told = 0;
    for at in checked.forks.iter().flat_map(|fork| Side::BOTH.map(|side| (fork, side))) {
        let Some(all) = at.0.derived.leg(at.1).corrections.value() else { continue };
        let target = all.target.value * 1e3;
        let off = |less: f64| {
            let reading = format!("{:.3} mm", target - less);
            figure(&checked, at, "gap", "draw_off", &[("reading", &reading)])
        };
        assert_eq!(off(0.0), None, "{:?}", at.0.choices);
        let Some((some, more)) = off(8.0).zip(off(14.0)) else { continue };
        assert!(more > some && some > 0.0, "{some} {more} of {:?}", at.0.choices);
        told += 1;
    }
    assert!(told > 20, "{told}");
}
