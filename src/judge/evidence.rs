//! What several jobs say of a record. See `docs/jobs.md` for the method.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::asked::AskedValue;
use super::job::Sheets;
use super::words::number;
use crate::bench::robust::{median, spread};
use crate::catalogue::{Catalogue, Field, FieldId, Role};
use crate::quantity::{Dimension, Kind};
use crate::record::{Job, JobLine};

/// Fewer jobs are no evidence.
pub const FEWEST_JOBS: usize = 5;

/// What the jobs of one fork say of one value.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The fork, by id.
    pub fork: String,
    /// The value.
    pub field: FieldId,
    /// What it is called.
    pub title: String,
    /// `fill needed` for an amount as left, `as found` else.
    pub what: &'static str,
    /// How many jobs it rests on.
    pub jobs: usize,
    /// The median of the jobs, in the unit.
    pub median: f64,
    /// The spread.
    pub spread: f64,
    /// The unit.
    pub unit: &'static str,
    /// What the record says.
    pub said: String,
    /// Whether the record's target lies further from the median than twice the spread and than half of its last digit.
    pub contradicts: bool,
}

impl Evidence {
    /// A figure of it in its unit: `404 mL`, to a hundredth.
    pub fn shown(&self, figure: f64) -> String {
        let text = format!("{figure:.2}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        format!("{text}\u{a0}{}", self.unit)
    }
}

/// The least that a contradiction must be, in parts of the record's figure: what a measuring cylinder and an eye make of
/// it. Common practice, no source.
const LEAST_PART: f64 = 0.02;

/// Whether a value counts as it was left: an amount that goes in.
fn is_amount(field: &Field) -> bool {
    field.group == "oil" && field.role == Role::Set && field.kind == Kind::Quantity(Dimension::Volume)
}

/// What the jobs say, fork by fork. Amounts count as left, since the gap decides how much is poured; everything else
/// counts as found, and only where no earlier job of this machine has set it. A job counts once: the mean of its legs.
pub fn evidence(catalogue: &Catalogue, jobs: &[Arc<Job>], sheets: &Sheets) -> Vec<Evidence> {
    let is_amount = |id| is_amount(catalogue.field(id));
    let mut set: BTreeSet<((String, String, String), FieldId)> = BTreeSet::new();
    let mut figures: BTreeMap<(&str, FieldId), Vec<f64>> = BTreeMap::new();
    let mut ordered: Vec<&Job> = jobs.iter().map(AsRef::as_ref).collect();
    ordered.sort_by_key(|job| (job.day(), &job.number.text));
    for job in ordered {
        let machine = job.machine.key();
        for (as_left, line) in job.lines() {
            let amount = is_amount(line.field);
            let fresh = amount || !set.contains(&(machine.clone(), line.field));
            if as_left == amount && fresh {
                let figure = sheets.find(&job.fork.text, line.field).and_then(|asked| of_job(asked, line));
                figures.entry((&job.fork.text, line.field)).or_default().extend(figure);
            }
        }
        set.extend(job.left.iter().map(|line| (machine.clone(), line.field)));
    }
    // A torque as found says what the job before, or nobody, left.
    let told = figures.into_iter().filter(|((_, field), figures)| {
        figures.len() >= FEWEST_JOBS && catalogue.field(*field).group != "torque"
    });
    told.filter_map(|((fork, field), figures)| {
        told_of(fork, field, sheets.find(fork, field)?, &figures, is_amount(field))
    })
    .collect()
}

/// The mean of the legs of one job: they are not independent.
fn of_job(asked: &AskedValue, line: &JobLine) -> Option<f64> {
    let legs: Vec<f64> = line
        .readings
        .iter()
        .filter_map(|reading| {
            let of_leg = asked.legs[reading.leg.unwrap_or(0)].as_ref().or(asked.legs[1].as_ref())?;
            let figure = number(of_leg, reading.value.as_ref()?).ok()?.0;
            of_leg.possible.holds(figure).then_some(figure)
        })
        .collect();
    (!legs.is_empty()).then(|| legs.iter().sum::<f64>() / legs.len() as f64)
}

fn told_of(
    fork: &str,
    field: FieldId,
    asked: &AskedValue,
    figures: &[f64],
    amount: bool,
) -> Option<Evidence> {
    let legs: Vec<_> = asked.legs.iter().flatten().collect();
    let first = legs.first()?;
    let (middle, apart) = (median(figures)?, spread(figures)?);
    let targets: Vec<f64> = legs.iter().filter_map(|asked| asked.target).collect();
    let target = targets.iter().sum::<f64>() / targets.len() as f64;
    let last_digit = 0.5 * 10f64.powi(-i32::from(first.decimals));
    let off = (middle - target).abs();
    Some(Evidence {
        fork: fork.to_owned(),
        field,
        title: asked.title.clone(),
        what: if amount { "fill needed" } else { "as found" },
        jobs: figures.len(),
        median: middle,
        spread: apart,
        unit: first.unit.symbol,
        said: first.said.clone(),
        contradicts: !targets.is_empty()
            && off > 2.0 * apart
            && off > last_digit
            && off > LEAST_PART * target.abs(),
    })
}
