//! A whole job, line by line.

use std::collections::{BTreeMap, HashMap};

use super::asked::{Asked, AskedValue, asked};
use super::typed::{judge_number, judge_settled, number_typed};
use super::words::{Judged, Outcome, judge_pair, number};
use crate::catalogue::{FieldId, key};
use crate::derive::Derived;
use crate::quantity::unit;
use crate::record::{Job, JobLine, JobReading, Verdict};
use crate::resolve::{ResolvedFork, Shop};
use crate::text::Span;

/// What is asked of the values that jobs read, worked out once for each fork.
#[derive(Debug, Default)]
pub struct Sheets(BTreeMap<String, BTreeMap<FieldId, AskedValue>>);

impl Sheets {
    /// Of the forks that the jobs are of, the values that they read.
    pub fn of<'f>(
        shop: &Shop,
        forks: impl Iterator<Item = (&'f ResolvedFork, &'f Derived)>,
    ) -> Sheets {
        let catalogue = &shop.catalogue;
        // Many jobs read the same few values: each is looked for by its place in the catalogue.
        let count = catalogue.iter().count();
        let mut wanted: HashMap<&str, Vec<bool>> = HashMap::new();
        for job in &shop.jobs {
            let asked = wanted.entry(&job.fork.text).or_insert_with(|| vec![false; count]);
            job.lines().for_each(|(_, line)| asked[usize::from(line.field.0)] = true);
        }
        let mut sheets = BTreeMap::new();
        for (fork, derived) in forks {
            let Some(fields) = wanted.get(fork.id.as_str()) else { continue };
            let fields = catalogue.iter().map(|(id, _)| id).filter(|id| fields[usize::from(id.0)]);
            let sheet = fields.map(|id| (id, asked(shop, fork, derived, id))).collect();
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
    /// How it stands; no words where the record has no figure for it and it can be right.
    pub judged: Judged,
    /// Whether it is the reading of a part that has a limit.
    pub part: bool,
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

    /// Whether somebody has to look at it: set wrong and handed back so, past its limit and fitted again, or a figure
    /// that cannot be right; and nothing says why.
    pub fn is_open(&self) -> bool {
        let kept = self.verdict != Some(Verdict::Replace);
        let counts = match self.judged.outcome {
            Outcome::Impossible => true,
            Outcome::Outside => self.as_left || self.part && kept,
            _ => false,
        };
        counts && self.why.is_empty()
    }
}

/// Every reading of a job, judged, in the order written.
pub fn judge_job(job: &Job, sheets: &Sheets) -> Vec<JudgedLine> {
    let mut out = Vec::new();
    for (as_left, line) in job.lines() {
        let Some(asked) = sheets.find(&job.fork.text, line.field) else { continue };
        for reading in &line.readings {
            let judged = judged(job, asked, reading, as_left);
            out.push(judged_line(asked, line, reading, as_left, judged));
        }
        if as_left {
            out.extend(pair(asked, line));
        }
        out.extend(settled(asked, line, as_left));
    }
    out
}

/// The leg by which a reading is judged: its own, or of one for both the first that asks for something.
fn leg_of(asked: &AskedValue, reading: &JobReading) -> usize {
    reading.leg.or_else(|| asked.legs.iter().position(Option::is_some)).unwrap_or(0)
}

/// The number of a reading, as a box reads it; what a box does not read and the notation of the records does, by that.
fn number_read(asked: &AskedValue, reading: &JobReading) -> Result<(f64, u8), String> {
    if !reading.is_read() {
        return Err("not read".to_owned());
    }
    if reading.value.is_none() && !reading.typed {
        return Err("not a number".to_owned());
    }
    let leg = leg_of(asked, reading);
    number_typed(asked.typed_in(leg), &reading.text.text).or_else(|why| {
        let by_notation = || number(asked.legs[leg].as_ref()?, reading.value.as_ref()?).ok();
        by_notation().ok_or(why)
    })
}

fn judged(job: &Job, asked: &AskedValue, reading: &JobReading, as_left: bool) -> Judged {
    let leg = leg_of(asked, reading);
    let told = match number_read(asked, reading) {
        _ if asked.words => None,
        Ok(number) => {
            let temperature = asked.legs[leg].as_ref().and_then(|of_leg| temperature(job, of_leg, leg, as_left));
            judge_number(asked, leg, number, temperature.as_deref(), as_left)
        }
        Err(why) => Some(Judged::new(Outcome::NotJudged, why)),
    };
    told.unwrap_or_else(|| Judged::new(Outcome::NotJudged, ""))
}

/// The temperature that is written beside a reading on a leg: among those as found, or as left. The oil of a job may say
/// its own.
fn temperature(job: &Job, asked: &Asked, leg: usize, as_left: bool) -> Option<String> {
    let warmth = asked.warmth.as_ref()?;
    let lines = if as_left { &job.left } else { &job.found };
    let line = lines.iter().find(|line| line.field == warmth.by);
    let read = line.and_then(|line| line.on(leg)).map(|reading| reading.text.text.clone());
    let of_oil = job.oil.temperature.as_ref().filter(|_| as_left && warmth.by == key::OIL_BENCH_TEMPERATURE.id());
    read.or_else(|| of_oil.map(|read| read.main().shown()))
}

fn judged_line(
    asked: &AskedValue,
    line: &JobLine,
    reading: &JobReading,
    as_left: bool,
    judged: Judged,
) -> JudgedLine {
    let at = reading.leg.unwrap_or(0);
    let is_limit = |of: &Asked| of.called[0].ends_with("limit");
    JudgedLine {
        field: line.field,
        title: asked.title.clone(),
        as_left,
        leg: reading.leg.map_or("", |leg| ["left", "right"][leg]),
        read: reading.text.text.clone(),
        target: line.targets[at].as_ref().map(|text| text.text.clone()).unwrap_or_default(),
        span: reading.text.span,
        judged,
        part: asked.legs[leg_of(asked, reading)].as_ref().is_some_and(is_limit),
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
        part: false,
        verdict: None,
        why: String::new(),
    })
}

/// Left against right.
fn pair(asked: &AskedValue, line: &JobLine) -> Option<JudgedLine> {
    let [left, right] = [0, 1].map(|leg| {
        let reading = line.readings.iter().find(|reading| reading.leg == Some(leg))?;
        Some((reading, number_read(asked, reading).ok()?))
    });
    let (left, right) = (left?, right?);
    let judged = judge_pair(asked, [left.1, right.1])?;
    Some(JudgedLine {
        read: format!("{} and {}", left.0.text.text, right.0.text.text),
        leg: "",
        ..judged_line(asked, line, left.0, true, judged)
    })
}
