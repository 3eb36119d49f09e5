//! Procedures, cautions, conditions and services, compared by step. Guards are compared by name elsewhere.

use std::collections::BTreeSet;

use super::change::TextChange;
use crate::catalogue::When;
use crate::quantity::Quantity;
use crate::record::{Caution, Complaint, Condition, Holder, OnLegs, Phase, Procedure, Service, Text, WORKS};
use crate::resolve::Shop;
use crate::review::{called_as_in, differences};
use crate::syntax::markdown::{Body, Part, Prose, Reference};
use crate::text::Files;

/// Every change of a procedure, caution, condition or service that both sides have.
pub(super) fn texts(old: &Shop, old_files: &Files, new: &Shop, new_files: &Files) -> Vec<TextChange> {
    let mut out = Vec::new();
    // What is only called otherwise is no change of the texts that name it.
    let old = &called_as_in(old, new);
    for is in &new.procedures {
        if let Some(was) = old.procedure(&is.id.text) {
            procedure((was, old_files), (is, new_files), &mut out);
        }
    }
    for is in &new.cautions {
        if let Some(was) = old.caution(&is.id.text) {
            caution(was, is, &mut out);
        }
    }
    for is in &new.conditions.list {
        let was = old.conditions.list.iter().find(|was| was.id.text == is.id.text);
        was.into_iter().for_each(|was| condition(was, is, &mut out));
    }
    for is in &new.complaints {
        if let Some(was) = old.complaints.find(&is.id.text) {
            complaint((was, old_files), (is, new_files), &mut out);
        }
    }
    for is in &new.services {
        if let Some(was) = old.service(&is.id.text) {
            service(was, is, &mut out);
        }
    }
    out
}

/// The parts by which somebody could be hurt.
const SAFETY: [&str; 9] =
    ["step", "signal word", "text of the caution", "for", "fitted", "legs", "says", "otherwise", "procedure"];

/// Collects what differs in one record.
struct Says<'o> {
    record: String,
    out: &'o mut Vec<TextChange>,
}

impl Says<'_> {
    fn whole(&mut self, part: &str, old: String, new: String) {
        if old != new {
            let there = |text: String| (!text.is_empty()).then_some(text);
            self.push(part.to_owned(), there(old), there(new));
        }
    }

    fn push(&mut self, part: String, old: Option<String>, new: Option<String>) {
        let safety = SAFETY.iter().any(|safety| part.starts_with(safety));
        self.out.push(TextChange { record: self.record.clone(), part, safety, old, new });
    }

    fn list(&mut self, word: &str, old: &[String], new: &[String]) {
        for (before, after) in differences(old, new) {
            let part = match (before, after) {
                (Some(before), Some(after)) if before != after => {
                    format!("{word} {} (was {})", after + 1, before + 1)
                }
                (_, Some(at)) | (Some(at), None) => format!("{word} {}", at + 1),
                (None, None) => continue,
            };
            self.push(part, before.map(|at| old[at].clone()), after.map(|at| new[at].clone()));
        }
    }
}

fn procedure(
    (was, was_in): (&Procedure, &Files),
    (is, is_in): (&Procedure, &Files),
    out: &mut Vec<TextChange>,
) {
    let mut says = Says { record: format!("procedure {}", is.id.text), out };
    says.whole("title", was.title.clone(), is.title.clone());
    let phase = |procedure: &Procedure| procedure.phase.map_or("", Phase::id).to_owned();
    says.whole("phase", phase(was), phase(is));
    says.whole("for", when(&was.applies), when(&is.applies));
    says.whole("fitted", ids(&was.fitted), ids(&is.fitted));
    says.whole("legs", legs(was.legs), legs(is.legs));
    says.whole("renews", ids(&was.renews), ids(&is.renews));
    says.whole("again", ids(&was.again), ids(&is.again));
    says.whole("on_card", was.on_card.clone().unwrap_or_default(), is.on_card.clone().unwrap_or_default());
    let written = |value: &Option<Quantity>| value.as_ref().map(Quantity::canonical).unwrap_or_default();
    says.whole("time", written(&was.time), written(&is.time));
    says.whole("waiting", written(&was.waiting), written(&is.waiting));
    says.whole("pours", written(&was.pours), written(&is.pours));
    says.whole("tools", ids(&was.tools), ids(&is.tools));
    says.whole("consumables", ids(&was.consumables), ids(&is.consumables));
    says.whole("text beside the steps", beside(&was.body), beside(&is.body));
    let of = |record: &Procedure, files: &Files| steps(&record.body, &files.get(record.file).text);
    says.list("step", &of(was, was_in), &of(is, is_in));
}

/// The steps of a body as they are written, each on one line.
fn steps(body: &Body, text: &str) -> Vec<String> {
    body.steps().map(|step| plain(text.get(step.span.range()).unwrap_or_default())).collect()
}

fn caution(was: &Caution, is: &Caution, out: &mut Vec<TextChange>) {
    let mut says = Says { record: format!("caution {}", is.id.text), out };
    says.whole("title", was.title.clone(), is.title.clone());
    says.whole("for", when(&was.applies), when(&is.applies));
    says.whole("signal word", was.signal.word().to_owned(), is.signal.word().to_owned());
    says.whole("text of the caution", beside(&was.body), beside(&is.body));
}

fn condition(was: &Condition, is: &Condition, out: &mut Vec<TextChange>) {
    let mut says = Says { record: format!("condition {}", is.id.text), out };
    says.whole("says", was.says.clone(), is.says.clone());
    let otherwise = |condition: &Condition| condition.otherwise.clone().unwrap_or_default();
    says.whole("otherwise", otherwise(was), otherwise(is));
    says.whole("for", when(&was.applies), when(&is.applies));
    says.whole("fitted", ids(&was.fitted), ids(&is.fitted));
    let works = |condition: &Condition| word(&WORKS, condition.works);
    says.whole("works", works(was), works(is));
    let per = |condition: &Condition| word(&Holder::ALL, condition.per);
    says.whole("per", per(was), per(is));
}

fn legs(legs: OnLegs) -> String {
    word(&OnLegs::ALL, legs)
}

/// The word that sources write for one of a set.
fn word<T: PartialEq + Copy>(words: &[(&str, T)], meant: T) -> String {
    words.iter().find(|(_, of)| *of == meant).map_or("", |(word, _)| word).to_owned()
}

fn complaint(
    (was, was_in): (&Complaint, &Files),
    (is, is_in): (&Complaint, &Files),
    out: &mut Vec<TextChange>,
) {
    let mut says = Says { record: format!("complaint {}", is.id.text), out };
    says.whole("title", was.title.clone(), is.title.clone());
    says.whole("how riders say it", was.says.join(", "), is.says.join(", "));
    says.whole("for", when(&was.applies), when(&is.applies));
    says.whole("text before the causes", beside(&was.body), beside(&is.body));
    let causes = |record: &Complaint, files: &Files| steps(&record.body, &files.get(record.file).text);
    says.list("cause", &causes(was, was_in), &causes(is, is_in));
}

fn service(was: &Service, is: &Service, out: &mut Vec<TextChange>) {
    let mut says = Says { record: format!("service {}", is.id.text), out };
    says.whole("title", was.title.clone(), is.title.clone());
    says.whole("for", when(&was.applies), when(&is.applies));
    let time = |record: &Service| record.time.as_ref().map(|time| time.canonical()).unwrap_or_default();
    says.whole("time", time(was), time(is));
    says.whole("notes", was.notes.clone().unwrap_or_default(), is.notes.clone().unwrap_or_default());
    let covers = |record: &Service| if record.whole { "whole-fork" } else { "" }.to_owned();
    says.whole("covers", covers(was), covers(is));
    let list = |record: &Service| record.procedures.iter().map(|id| id.text.clone()).collect::<Vec<_>>();
    says.list("procedure", &list(was), &list(is));
}

fn ids(list: &[Text]) -> String {
    list.iter().map(|id| id.text.as_str()).collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>().join(", ")
}

fn when(when: &When) -> String {
    let all = when.0.iter().map(|all| {
        let parts = all.iter().map(|(choice, options)| format!("{choice}: {}", options.join(" or ")));
        parts.collect::<Vec<_>>().join(" and ")
    });
    all.collect::<Vec<_>>().join("; or ")
}

/// The text that is in no step.
fn beside(body: &Body) -> String {
    let words = |prose: &Prose| prose.plain(Reference::seen);
    let parts = body.parts.iter().filter_map(|part| match part {
        Part::Heading(prose) | Part::Prose(prose) => Some(words(prose)),
        Part::Step(_) => None,
    });
    parts.collect::<Vec<_>>().join(" ")
}

/// A step's source in one line, without its number.
fn plain(text: &str) -> String {
    let text = text.trim_start().trim_start_matches(|c: char| c.is_ascii_digit());
    let text = text.strip_prefix(['.', ')']).unwrap_or(text);
    text.split_whitespace().filter(|word| *word != ">").collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_steps_number_and_its_line_breaks_do_not_count() {
        assert_eq!(plain("1. Pour oil\n\n   > Because\n   > it is so."), "Pour oil Because it is so.");
        assert_eq!(plain("12. Pour   oil Because it is so."), "Pour oil Because it is so.");
    }
}
