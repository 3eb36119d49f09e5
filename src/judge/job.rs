//! A whole job, line by line.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::asked::{AskedValue, asked};
use super::typed::judge_settled;
use super::words::{Judged, Outcome, is_torque, judge, judge_pair, number};
use crate::catalogue::{Catalogue, FieldId};
use crate::derive::Derived;
use crate::quantity::unit;
use crate::record::{Job, JobLine, JobReading, Verdict};
use crate::resolve::ResolvedFork;
use crate::text::Span;

/// What is asked of the values that jobs read, worked out once for each fork.
#[derive(Debug, Default)]
pub struct Sheets(BTreeMap<String, BTreeMap<FieldId, AskedValue>>);

impl Sheets {
    /// Of the forks that the jobs are of, the values that they read.
    pub fn of<'f>(
        catalogue: &Catalogue,
        forks: impl Iterator<Item = (&'f ResolvedFork, &'f Derived)>,
        jobs: &[Arc<Job>],
    ) -> Sheets {
        // Many jobs read the same few values: each is looked for by its place in the catalogue.
        let count = catalogue.iter().count();
        let mut wanted: HashMap<&str, Vec<bool>> = HashMap::new();
        for job in jobs {
            let asked = wanted.entry(&job.fork.text).or_insert_with(|| vec![false; count]);
            job.lines().for_each(|(_, line)| asked[usize::from(line.field.0)] = true);
        }
        let mut sheets = BTreeMap::new();
        for (fork, derived) in forks {
            let Some(fields) = wanted.get(fork.id.as_str()) else { continue };
            let fields = catalogue.iter().map(|(id, _)| id).filter(|id| fields[usize::from(id.0)]);
            let sheet = fields.map(|id| (id, asked(catalogue, fork, derived, id))).collect();
            sheets.insert(fork.id.clone(), sheet);
        }
        Sheets(sheets)
    }

    /// What a fork asks of a value; `None` where there is no such fork.
    pub fn find(&self, fork: &str, id: FieldId) -> Option<&AskedValue> {
        self.0.get(fork)?.get(&id)
    }
}

/// A reading of a job, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedLine {
    /// Which value.
    pub field: FieldId,
    /// What it is called.
    pub title: String,
    /// Whether it was read as left.
    pub as_left: bool,
    /// `left`, `right`, or empty.
    pub leg: &'static str,
    /// What was read, as written; both where the legs are compared.
    pub read: String,
    /// The target as it was printed; may be empty.
    pub target: String,
    /// Where it stands.
    pub span: Span,
    /// How it stands.
    pub judged: Judged,
    /// What became of the part.
    pub verdict: Option<Verdict>,
    /// Why.
    pub why: String,
}

impl JudgedLine {
    /// What is read and on which leg: `Air gap, left`.
    pub fn name(&self) -> String {
        if self.leg.is_empty() { self.title.clone() } else { format!("{}, {}", self.title, self.leg) }
    }

    /// Whether somebody has to look at it: set wrong and handed back so, or past its limit and fitted again, and
    /// nothing says why.
    pub fn is_open(&self) -> bool {
        let kept = self.verdict != Some(Verdict::Replace);
        self.judged.outcome == Outcome::Outside
            && self.why.is_empty()
            && (self.as_left || self.past_limit() && kept)
    }

    fn past_limit(&self) -> bool {
        self.judged.words.contains("the limit")
    }
}

/// Every reading of a job, judged, in the order written.
pub fn judge_job(job: &Job, sheets: &Sheets) -> Vec<JudgedLine> {
    let mut out = Vec::new();
    for (as_left, line) in job.lines() {
        let Some(asked) = sheets.find(&job.fork.text, line.field) else { continue };
        for reading in &line.readings {
            out.push(judged_line(asked, line, reading, as_left));
        }
        if as_left {
            out.extend(pair(asked, line));
        }
        out.extend(settled(asked, line, as_left));
    }
    out
}

fn judged_line(asked: &AskedValue, line: &JobLine, reading: &JobReading, as_left: bool) -> JudgedLine {
    let at = reading.leg.unwrap_or(0);
    let of_leg = match reading.leg {
        Some(leg) => asked.legs[leg].as_ref(),
        None => asked.legs.iter().flatten().next(),
    };
    let judged = match (&reading.value, of_leg) {
        (None, _) if !reading.is_read() => Judged::new(Outcome::NotJudged, "not read"),
        (None, _) => Judged::new(Outcome::NotJudged, "not a number"),
        (_, None) => Judged::new(Outcome::NotJudged, "the record asks for nothing here"),
        (Some(value), Some(asked)) => match number(asked, value) {
            Ok((figure, digits)) => judge(asked, figure, digits, as_left || is_torque(asked)),
            Err(why) => Judged::new(Outcome::NotJudged, why),
        },
    };
    JudgedLine {
        field: line.field,
        title: asked.title.clone(),
        as_left,
        leg: reading.leg.map_or("", |leg| ["left", "right"][leg]),
        read: reading.text.text.clone(),
        target: line.targets[at].as_ref().map(|text| text.text.clone()).unwrap_or_default(),
        span: reading.text.span,
        judged,
        verdict: reading.verdict,
        why: reading.why.as_ref().map(|why| why.text.clone()).unwrap_or_default(),
    }
}

/// A sag from its three readings.
fn settled(asked: &AskedValue, line: &JobLine, as_left: bool) -> Option<JudgedLine> {
    let [Some(extended), Some(below), Some(above)] = &line.settled else { return None };
    let texts = [extended, below, above].map(|text| text.text.as_str());
    let judged = judge_settled(asked, unit("mm")?, texts, as_left)?;
    Some(JudgedLine {
        field: line.field,
        title: format!("{} from three readings", asked.title),
        as_left,
        leg: "",
        read: texts.join(", "),
        target: line.targets[0].as_ref().map(|text| text.text.clone()).unwrap_or_default(),
        span: extended.span,
        // It is the reading itself that is judged; this says where it comes from.
        judged: Judged { outcome: Outcome::NotJudged, ..judged },
        verdict: None,
        why: String::new(),
    })
}

/// Left against right.
fn pair(asked: &AskedValue, line: &JobLine) -> Option<JudgedLine> {
    let [left, right] = [0, 1].map(|leg| {
        let reading = line.readings.iter().find(|reading| reading.leg == Some(leg))?;
        let (figure, digits) = number(asked.legs[leg].as_ref()?, reading.value.as_ref()?).ok()?;
        Some((reading, figure, digits))
    });
    let (left, right) = (left?, right?);
    let judged = judge_pair(asked, [left.1, right.1], left.2.max(right.2))?;
    Some(JudgedLine {
        read: format!("{} and {}", left.0.text.text, right.0.text.text),
        leg: "",
        judged,
        ..judged_line(asked, line, left.0, true)
    })
}
