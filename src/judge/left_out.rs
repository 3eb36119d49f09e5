//! Readings that a service asks for and that a job does not have, each with the reason that the job gives.

use super::boxes::ReadingBox;
use crate::catalogue::{Catalogue, Field, FieldId};
use crate::plan::Plan;
use crate::record::{Job, JobLine, Text};
use crate::resolve::Side;
use crate::syntax::Scheme;

/// A reading that is not there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// What is read.
    pub field: FieldId,
    /// Whether it is read as left.
    pub as_left: bool,
    /// The leg that lacks it, left first; `None` where no leg has it, or it is read once.
    pub leg: Option<usize>,
    /// Why it is not there, in the words of the job; `None` where nobody said.
    pub why: Option<Text>,
}

impl LeftOut {
    /// What is read and on which leg: `Caliper, left`.
    pub fn name(&self, field: &Field) -> String {
        let title = field.read_as();
        self.leg.map_or(title.to_owned(), |leg| format!("{title}, {}", Side::BOTH[leg].word()))
    }

    /// Whether whoever rides has to know of it: it was to be set, and a wrong one can hurt somebody.
    pub fn can_hurt(&self, field: &Field) -> bool {
        self.as_left && field.safety
    }
}

/// What the boxes of a service ask for and a job does not say, in their order. What was typed and is no value is there:
/// it is told as such.
pub fn left_out(catalogue: &Catalogue, boxes: &[ReadingBox], plan: &Plan<'_>, job: &Job) -> Vec<LeftOut> {
    let mut out = Vec::new();
    for asked in boxes {
        let lines = if asked.as_left { &job.left } else { &job.found };
        let line = lines.iter().find(|line| line.field == asked.field);
        let legs = [0, 1].map(|leg| asked.legs[leg] && !has(line, asked.apart.then_some(leg)));
        let one = |leg: Option<usize>| LeftOut {
            field: asked.field,
            as_left: asked.as_left,
            leg,
            why: line
                .and_then(|line| why(line, leg))
                .or_else(|| skipped(plan, job, &catalogue.field(asked.field).key)),
        };
        match (legs == asked.legs, legs) {
            (_, [false, false]) => {}
            // Each leg may have a reason of its own.
            (true, [true, true]) if asked.apart && reason(&one(Some(0))) != reason(&one(Some(1))) => {
                out.extend([one(Some(0)), one(Some(1))]);
            }
            (true, _) => out.push(LeftOut { leg: None, ..one(legs.iter().position(|lacks| *lacks)) }),
            (false, _) => out.extend(legs.iter().position(|lacks| *lacks).map(|leg| one(Some(leg)))),
        }
    }
    out
}

/// Whether a line has a reading on a leg; on any where it is read once.
fn has(line: Option<&JobLine>, leg: Option<usize>) -> bool {
    let mut readings = line.into_iter().flat_map(|line| &line.readings).filter(|reading| reading.is_read());
    readings.any(|reading| leg.is_none() || reading.leg.is_none() || reading.leg == leg)
}

fn reason(left_out: &LeftOut) -> Option<&str> {
    left_out.why.as_ref().map(|why| why.text.as_str())
}

fn why(line: &JobLine, leg: Option<usize>) -> Option<Text> {
    let reading = match leg {
        Some(leg) => line.on(leg),
        None => line.readings.first(),
    };
    reading?.why.clone()
}

/// Why a value was skipped, by itself or with a procedure that asks for it.
fn skipped(plan: &Plan<'_>, job: &Job, key: &str) -> Option<Text> {
    let asks = |what: &str| {
        let items = plan.items.iter().filter(|item| item.procedure.id.text == what);
        let mut references = items.flat_map(|item| &item.procedure.body.references);
        references.any(|reference| reference.scheme == Scheme::Reading && reference.target == key)
    };
    let of_it = |what: &str| what == key || asks(what);
    let skip = job.skipped.iter().find(|skip| skip.step.is_none() && of_it(&skip.what.text))?;
    Some(skip.why.clone())
}
