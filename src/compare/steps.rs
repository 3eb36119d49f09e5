//! Procedures, cautions and services, compared by step.

use std::collections::BTreeSet;

use super::change::TextChange;
use crate::catalogue::When;
use crate::quantity::Quantity;
use crate::record::{Caution, Phase, Procedure, Service, Text};
use crate::resolve::Shop;
use crate::syntax::markdown::{Body, Part, Prose};
use crate::text::Files;

/// Every change of a procedure, caution or service that both sides have.
pub(super) fn texts(old: &Shop, old_files: &Files, new: &Shop, new_files: &Files) -> Vec<TextChange> {
    let mut out = Vec::new();
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
    for is in &new.services {
        if let Some(was) = old.service(&is.id.text) {
            service(was, is, &mut out);
        }
    }
    out
}

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
        self.out.push(TextChange { record: self.record.clone(), part, old, new });
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
    let written = |value: &Option<Quantity>| value.as_ref().map(Quantity::canonical).unwrap_or_default();
    says.whole("time", written(&was.time), written(&is.time));
    says.whole("waiting", written(&was.waiting), written(&is.waiting));
    says.whole("pours", written(&was.pours), written(&is.pours));
    says.whole("tools", ids(&was.tools), ids(&is.tools));
    says.whole("consumables", ids(&was.consumables), ids(&is.consumables));
    says.whole("text beside the steps", beside(&was.body), beside(&is.body));
    let steps = |record: &Procedure, files: &Files| -> Vec<String> {
        let text = &files.get(record.file).text;
        record.body.steps().map(|step| plain(text.get(step.span.range()).unwrap_or_default())).collect()
    };
    says.list("step", &steps(was, was_in), &steps(is, is_in));
}

fn caution(was: &Caution, is: &Caution, out: &mut Vec<TextChange>) {
    let mut says = Says { record: format!("caution {}", is.id.text), out };
    says.whole("title", was.title.clone(), is.title.clone());
    says.whole("signal word", was.signal.word().to_owned(), is.signal.word().to_owned());
    says.whole("text", beside(&was.body), beside(&is.body));
}

fn service(was: &Service, is: &Service, out: &mut Vec<TextChange>) {
    let mut says = Says { record: format!("service {}", is.id.text), out };
    says.whole("title", was.title.clone(), is.title.clone());
    says.whole("for", when(&was.applies), when(&is.applies));
    let time = |record: &Service| record.time.as_ref().map(|time| time.canonical()).unwrap_or_default();
    says.whole("time", time(was), time(is));
    says.whole("notes", was.notes.clone().unwrap_or_default(), is.notes.clone().unwrap_or_default());
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
    let words = |prose: &Prose| {
        prose.plain(|reference| format!("{} ({}:{})", reference.text, reference.scheme, reference.target))
    };
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

/// The places that differ, by the longest common run of what is the same: a removed and an added line at one
/// place are one changed line.
fn differences(old: &[String], new: &[String]) -> Vec<(Option<usize>, Option<usize>)> {
    let mut common = vec![vec![0_usize; new.len() + 1]; old.len() + 1];
    for a in (0..old.len()).rev() {
        for b in (0..new.len()).rev() {
            common[a][b] = if old[a] == new[b] {
                common[a + 1][b + 1] + 1
            } else {
                common[a + 1][b].max(common[a][b + 1])
            };
        }
    }
    let (mut a, mut b) = (0, 0);
    let mut out = Vec::new();
    let (mut gone, mut come) = (Vec::new(), Vec::new());
    loop {
        let both = a < old.len() && b < new.len();
        if (both && old[a] == new[b]) || (a == old.len() && b == new.len()) {
            let longest = gone.len().max(come.len());
            out.extend((0..longest).map(|at| (gone.get(at).copied(), come.get(at).copied())));
            gone.clear();
            come.clear();
            if !both {
                return out;
            }
            a += 1;
            b += 1;
        } else if b == new.len() || (a < old.len() && common[a + 1][b] >= common[a][b + 1]) {
            gone.push(a);
            a += 1;
        } else {
            come.push(b);
            b += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str) -> Vec<String> {
        text.split_whitespace().map(str::to_owned).collect()
    }

    #[test]
    fn what_stays_is_left_out_and_what_is_replaced_is_one_change() {
        let places = |old: &str, new: &str| differences(&lines(old), &lines(new));
        assert_eq!(places("a b c", "a b c"), []);
        assert_eq!(places("a b c", "a x c"), [(Some(1), Some(1))]);
        assert_eq!(places("a c", "a b c"), [(None, Some(1))]);
        assert_eq!(places("a b c", "b c"), [(Some(0), None)]);
        assert_eq!(places("", "a"), [(None, Some(0))]);
        assert_eq!(places("a b c d", "b x d e"), [(Some(0), None), (Some(2), Some(1)), (None, Some(3))]);
    }

    #[test]
    fn a_steps_number_and_its_line_breaks_do_not_count() {
        assert_eq!(plain("1. Pour oil\n\n   > Because\n   > it is so."), "Pour oil Because it is so.");
        assert_eq!(plain("12. Pour   oil Because it is so."), "Pour oil Because it is so.");
    }
}
