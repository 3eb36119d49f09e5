//! What a change does at the bench: for the value itself, and for what the arithmetic makes of the fork.

use super::change::Outcome;
use super::number::signed;
use super::pairs::{Pair, Pairs};
use crate::bench::air::Band;
use crate::bench::units::{Force, length};
use crate::catalogue::choice::OilSetBy;
use crate::check::CheckedFork;
use crate::derive::{Answer, Derived, DerivedLeg, Held, Joint};
use crate::pipeline::Checked;
use crate::quantity::Dimension;
use crate::resolve::{Resolved, Side};

/// What a changed value does, a sentence each.
pub(super) fn of_value(pair: &Pair<'_>) -> Vec<String> {
    let mut out = of_number(pair);
    out.extend(state(pair));
    out
}

/// Whether the number belongs to another state of the leg than before.
fn state(pair: &Pair<'_>) -> Option<String> {
    let (from, to) = pair.from.zip(pair.to)?;
    let said = |value: &Resolved| -> Vec<(String, String)> {
        value.entry.state.iter().map(|(key, word)| (key.clone(), word.text.text.clone())).collect()
    };
    let (was, is) = (said(from), said(to));
    let other =
        |(key, word): &&(String, String)| was.iter().any(|(old, before)| old == key && before != word);
    let changed: Vec<String> = is
        .iter()
        .filter(other)
        .map(|(key, word)| format!("{} {word}", key.replace('_', " ")))
        .chain(
            was.iter()
                .filter(|(key, _)| is.iter().all(|(now, _)| now != key))
                .map(|(key, _)| format!("{} no longer said", key.replace('_', " "))),
        )
        .collect();
    let sentence = || {
        format!(
            "the number belongs to another state than before ({}): reached in the old one it is another amount",
            changed.join(", ")
        )
    };
    (!changed.is_empty()).then(sentence)
}

fn of_number(pair: &Pair<'_>) -> Vec<String> {
    let quantities = pair.from.and_then(Resolved::quantity).zip(pair.to.and_then(Resolved::quantity));
    let Some((old, new)) = quantities.filter(|(old, new)| old.dimension() == new.dimension()) else {
        return Vec::new();
    };
    let (from, to) = (old.middle_si(), new.middle_si());
    if from == to {
        return Vec::new();
    }
    let mut out = Vec::new();
    if OilSetBy::is_height(pair.key) {
        out.extend(oil(pair, from, to));
    }
    if new.dimension() == Dimension::Pressure && from > 0.0 {
        let share = round(to / from * 100.0, 0);
        out.push(format!(
            "the gas pushes with {share} % of the force of before, read at the same place and temperature"
        ));
    }
    if new.dimension() == Dimension::Torque && from > 0.0 {
        let share = (to / from - 1.0) * 100.0;
        out.push(format!(
            "the joint is clamped {} % as hard as before, at the same friction",
            round(100.0 + share, 0)
        ));
        out.extend(preload(pair));
    }
    out
}

/// How much oil lies between the old and the new surface.
fn oil(pair: &Pair<'_>, from: f64, to: f64) -> Option<String> {
    let surface = pair.new.1.derived.leg(pair.side).surface.value()?;
    let amount = surface.between(length(from.min(to)), length(from.max(to))).ok()?.value * 1e6;
    let word = if to < from { "more" } else { "less" };
    Some(format!("{} mL {word} oil in the leg", round(amount, usize::from(amount < 9.95))))
}

fn joint<'d>(derived: &'d Derived, side: Side, checked: &Checked, key: &str) -> Option<&'d Joint> {
    let field = checked.shop.catalogue.find(key)?;
    derived.leg(side).joints.iter().chain(&derived.joints).find(|joint| joint.field == field)
}

/// The preload of a fastener with a declared class, beside what it carries.
fn preload(pair: &Pair<'_>) -> Option<String> {
    let preload_words = |(checked, fork): (&Checked, &CheckedFork)| {
        let strain = joint(&fork.derived, pair.side, checked, pair.key)?.strain.value()?;
        let (least, greatest) = (strain.preload.least.value / 1e3, strain.preload.greatest.value / 1e3);
        Some((format!("{} to {} kN", round(least, 1), round(greatest, 1)), strain.proof.value / 1e3))
    };
    let (new, proof) = preload_words(pair.new)?;
    let old = preload_words(pair.old).map_or_else(String::new, |(old, _)| format!(" (before: {old})"));
    Some(format!("the fastener is stretched with {new}{old}, and carries {} kN", round(proof, 1)))
}

/// A result as words; `None` where there is no such thing or a finding has spoken.
fn say<T>(answer: &Answer<T>, in_words: impl Fn(&T) -> String) -> Option<String> {
    match answer {
        Answer::Known(result) => Some(in_words(&result.value)),
        Answer::Missing(keys) => Some(format!("not judged, {} missing", keys.join(", "))),
        Answer::Refused { .. } => Some("not judged, its values do not fit together".to_owned()),
        Answer::Silent | Answer::NotHere => None,
    }
}

/// Title and words of every result of one leg that a reviewer weighs.
fn leg(leg: &DerivedLeg) -> Vec<(&'static str, Option<String>)> {
    vec![
        (
            "air force at full travel, warm, slow to fast",
            say(&leg.air, |air| {
                air.nominal
                    .push
                    .as_ref()
                    .map_or_else(|| "it does not get there: it locks on oil first".to_owned(), band)
            }),
        ),
        (
            "lock on oil at the least gap, warm",
            say(&leg.air, |air| match air.least.locks_short_by {
                Some(short) => format!("locks {} mm short of full travel", round(short.value * 1e3, 0)),
                None => "does not lock".to_owned(),
            }),
        ),
        (
            "air volume, extended over closed, warm",
            say(&leg.air, |air| {
                air.nominal.ratio.map_or_else(|| "no air left".to_owned(), |ratio| round(ratio, 1))
            }),
        ),
        ("force behind the cap", say(&leg.cap_force, held)),
        ("force a tool holds at the rod nut", say(&leg.tool_force, held)),
        (
            "room before the coils touch",
            say(&leg.coil_bind, |bind| format!("{} mm", round(bind.margin.value * 1e3, 0))),
        ),
    ]
}

fn whole(derived: &Derived) -> Vec<(&'static str, Option<String>)> {
    let millimetres = |value: f64| format!("{} mm", round(value * 1e3, 0));
    vec![
        ("sag, machine alone, worked out", say(&derived.sag, |sag| millimetres(sag.value))),
        ("sag with rider, worked out", say(&derived.sag_rider, |sag| millimetres(sag.value))),
        (
            "springs' rate at the axle",
            say(&derived.vertical_rate, |rate| format!("{} N/mm", round(rate.value / 1e3, 2))),
        ),
    ]
}

fn band(band: &Band<Force>) -> String {
    format!("{} to {} N", round(band.slow.value, 0), round(band.fast.value, 0))
}

/// The largest force, and the one that is met in the order as written.
fn held(held: &Held) -> String {
    match (&held.most, &held.in_order) {
        (Ok(most), Some(in_order)) => {
            let (most, in_order) = (newtons(most.force), newtons(in_order.force));
            format!("up to {most}, {in_order} with the preload backed off")
        }
        (Ok(most), None) => newtons(most.force),
        (Err(lacks), in_order) => {
            let in_order = in_order.map_or_else(String::new, |force| newtons(force.force));
            format!(
                "{in_order} with the preload backed off, else not worked out: {} missing",
                lacks.join(", ")
            )
        }
    }
}

fn newtons(force: Force) -> String {
    format!("{} N", round(force.value, 0))
}

fn round(value: f64, places: usize) -> String {
    signed(value, places).trim_start_matches('+').to_owned()
}

/// Every result of the arithmetic that is no longer what it was: by fork, then by oil.
pub(super) fn outcomes(old: &Checked, new: &Checked, pairs: &Pairs<'_>) -> Vec<Outcome> {
    let mut out = Vec::new();
    for (before, after) in &pairs.both {
        let (was, is) = (&before.derived, &after.derived);
        let record = format!("fork {}", after.id);
        let mut say = |title: &str, leg: &str, a: Option<String>, b: Option<String>| {
            if a == b {
                return;
            }
            let leg = if leg.is_empty() { String::new() } else { format!(", {leg} leg") };
            let there = |text: Option<String>| text.unwrap_or_else(|| "not worked out".to_owned());
            out.push(Outcome {
                record: record.clone(),
                title: format!("{title}{leg}"),
                old: there(a),
                new: there(b),
            });
        };
        let [left, right] = Side::BOTH.map(|side| leg(was.leg(side)).into_iter().zip(leg(is.leg(side))));
        for (((title, la), (_, lb)), ((_, ra), (_, rb))) in left.zip(right) {
            if (&la, &lb) == (&ra, &rb) {
                say(title, "", la, lb);
            } else {
                say(title, "left", la, lb);
                say(title, "right", ra, rb);
            }
        }
        for ((title, a), (_, b)) in whole(was).into_iter().zip(whole(is)) {
            say(title, "", a, b);
        }
    }
    for oil in new.oils.iter().map(|oil| &oil.derived) {
        let Some(was) = old.oils.iter().map(|oil| &oil.derived).find(|before| before.id == oil.id) else {
            continue;
        };
        let hot = |oil: &crate::derive::DerivedOil| {
            say(&oil.working, |viscosity| format!("{} mm²/s", round(viscosity.value * 1e6, 1)))
        };
        let (a, b) = (hot(was), hot(oil));
        if let (Some(old), Some(new)) = (a.clone(), b.clone())
            && a != b
        {
            let title = "viscosity at working temperature".to_owned();
            out.push(Outcome { record: format!("oil {}", oil.id), title, old, new });
        }
    }
    out
}
