//! What the pages of jobs are made from, and where each stands.

use std::collections::BTreeSet;

use crate::check::{CheckedFork, Lacks, lacks};
use crate::judge::{Machines, NextDue, Sheets, in_order, machines, next_due, wear, worn_before};
use crate::pipeline::Checked;
use crate::plan::{Plan, Plans};
use crate::record::Job;
use crate::resolve::Shop;
use crate::words::slug;

/// What the pages are made from.
pub(super) struct Ledger<'s> {
    pub(super) checked: &'s Checked,
    pub(super) sheets: Sheets,
    plans: Plans<'s>,
    /// Each machine with its jobs, its page and what is due.
    pub(super) machines: Vec<Entry<'s>>,
}

/// A machine.
pub(super) struct Entry<'s> {
    pub(super) path: String,
    pub(super) jobs: Vec<&'s Job>,
    pub(super) fork: Option<&'s CheckedFork>,
    pub(super) due: Vec<NextDue>,
}

impl<'s> Ledger<'s> {
    pub(super) fn new(checked: &'s Checked) -> Ledger<'s> {
        let shop = &checked.shop;
        let asking = checked.forks.iter().map(|fork| (fork.resolved.as_ref(), fork.derived.as_ref()));
        let sheets = Sheets::of(shop, asking);
        let plans = Plans::new(shop, checked.forks.iter().map(|fork| fork.resolved.as_ref()));
        let known: Machines<'s> = machines(&shop.jobs);
        let mut names = BTreeSet::new();
        let entries = known.into_iter().filter_map(|((maker, model, frame), jobs)| {
            let plain = slug(&format!("{maker} {model} {frame}"), "machine");
            let name = (1..).map(|n| if n == 1 { plain.clone() } else { format!("{plain}-{n}") });
            let name = name.into_iter().find(|name| !names.contains(name))?;
            names.insert(name.clone());
            let fork = jobs.last().and_then(|job| checked.fork(&job.fork.text));
            let due = fork.map(|fork| due(shop, fork, plans.of(fork), (&sheets, &jobs))).unwrap_or_default();
            Some(Entry { path: format!("machines/{name}.html"), jobs, fork, due })
        });
        let machines = entries.collect();
        Ledger { checked, sheets, plans, machines }
    }

    /// What a job lacks of what its service asks for; `None` where its fork or service is on record no more.
    pub(super) fn lacks(&self, job: &Job) -> Option<Lacks> {
        let fork = self.checked.fork(&job.fork.text)?;
        let plan = self.plans.of(fork).iter().find(|plan| plan.service.id.text == job.service.text)?;
        Some(lacks(&self.checked.shop, fork, plan, job))
    }

    /// The title of a value.
    pub(super) fn title(&self, key: crate::catalogue::FieldId) -> &str {
        &self.checked.shop.catalogue.field(key).title
    }
}

/// What is due on a machine, and what is worn out before, soonest first.
fn due(
    shop: &Shop,
    fork: &CheckedFork,
    plans: &[Plan<'_>],
    (sheets, jobs): (&Sheets, &[&Job]),
) -> Vec<NextDue> {
    let mut due = next_due(&shop.catalogue, fork, plans, jobs);
    let worn = worn_before(&wear(sheets, &fork.id, jobs), &due, jobs);
    due.extend(worn);
    in_order(&mut due);
    due
}

/// The page of a job's as-left sheet.
pub(super) fn sheet_path(job: &Job) -> String {
    format!("sheets/{}.html", job.number.text.replace('/', "-"))
}
