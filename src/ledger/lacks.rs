//! What a job does not say, for whoever rides the machine and for the next job.

use super::desk::Ledger;
use super::html::{list, part};
use super::machine::told;
use crate::check::Lacks;
use crate::judge::{LeftOut, Outcome};
use crate::record::Job;
use crate::words::escape;

/// What was left wrong or loose: the machine is not ridden like this.
pub(super) fn not_ready(ledger: &Ledger<'_>, job: &Job) -> String {
    let torque = |field| is_torque(ledger, field);
    let mut open = told(ledger, job, |line| {
        let reasoned = line.as_left && torque(line.field) && line.judged.outcome == Outcome::Outside;
        line.is_open() || reasoned
    });
    let lacks = ledger.lacks(job);
    let left_out = lacks.iter().flat_map(|lacks| &lacks.left_out);
    open.extend(left_out.filter(|one| one.as_left && torque(one.field)).filter_map(|one| {
        let why = one.why.as_ref()?;
        Some(escape(&format!("{}: not tightened ({})", name(ledger, one), why.text)))
    }));
    if open.is_empty() {
        return String::new();
    }
    let open = list(&open);
    format!(
        "<h2><span class=\"mark\">NOT READY TO RIDE</span></h2>\n<p>The bench looks at this before the machine is handed back:</p>\n{open}"
    )
}

/// What whoever rides has to know was set, and nobody wrote down.
pub(super) fn not_written(ledger: &Ledger<'_>, job: &Job) -> String {
    const ASK: &str = "Nothing here says that this was set. Ask the bench before you ride:";
    const EARLIER: &str = "Nothing here says that this was set. The job was worked from an earlier card, and whether that one asked for it is not known. Ask the bench before you ride:";
    let mut lines = no_value(ledger, job);
    let said = match ledger.lacks(job) {
        Some(lacks) => {
            lines.splice(0..0, by_group(ledger, &lacks));
            if lacks.earlier { EARLIER } else { ASK }
        }
        None => {
            lines.push(
                "What this service asks for is on record no more, so nothing tells what is missing here."
                    .to_owned(),
            );
            ASK
        }
    };
    if lines.is_empty() {
        return String::new();
    }
    let head = "<span class=\"mark\">NOT WRITTEN DOWN</span>";
    format!("<h2>{head}</h2>\n<p>{said}</p>\n{}", list(&lines))
}

/// `Torque: Axle; Caliper, left`: a line for each group of values.
fn by_group(ledger: &Ledger<'_>, lacks: &Lacks) -> Vec<String> {
    let catalogue = &ledger.checked.shop.catalogue;
    let untold = |one: &&LeftOut| one.why.is_none() && one.can_hurt(catalogue.field(one.field));
    let line = |group: &crate::catalogue::Group| {
        let of_it = |one: &&LeftOut| catalogue.field(one.field).group == group.key;
        let names: Vec<String> =
            lacks.left_out.iter().filter(untold).filter(of_it).map(|one| name(ledger, one)).collect();
        (!names.is_empty())
            .then(|| format!("<strong>{}:</strong> {}", escape(&group.title), escape(&names.join("; "))))
    };
    let mut groups: Vec<&crate::catalogue::Group> = Vec::new();
    for group in &catalogue.groups {
        if !groups.iter().any(|known| known.key == group.key) {
            groups.push(group);
        }
    }
    groups.into_iter().filter_map(line).collect()
}

/// What was typed in the place of a value that can hurt somebody.
fn no_value(ledger: &Ledger<'_>, job: &Job) -> Vec<String> {
    let catalogue = &ledger.checked.shop.catalogue;
    let lines = job.left.iter().filter(|line| catalogue.field(line.field).safety);
    let typed = lines.flat_map(|line| line.readings.iter().map(move |reading| (line, reading)));
    typed
        .filter(|(_, reading)| reading.is_read() && reading.value.is_none())
        .map(|(line, reading)| {
            let title = catalogue.field(line.field).read_as();
            escape(&format!("{title}: “{}” is no value", reading.text.text))
        })
        .collect()
}

/// What was not done, and why: what the job says it skipped, and what it gives a reason for in the place of a reading.
pub(super) fn not_done(ledger: &Ledger<'_>, job: &Job) -> String {
    let skipped =
        job.skipped.iter().map(|skip| format!("{}: {}", title_of(ledger, &skip.what.text), skip.said()));
    let lacks = ledger.lacks(job);
    let own = lacks.iter().flat_map(|lacks| &lacks.left_out).filter_map(|one| {
        let why = one.why.as_ref()?;
        let of_skip = job.skipped.iter().any(|skip| skip.why.span == why.span);
        (!of_skip).then(|| format!("{}: {}", name(ledger, one), why.text))
    });
    let all: Vec<String> = skipped.chain(own).map(|text| escape(&text)).collect();
    part("Not done", &list(&all))
}

fn name(ledger: &Ledger<'_>, one: &LeftOut) -> String {
    one.name(ledger.checked.shop.catalogue.field(one.field))
}

fn is_torque(ledger: &Ledger<'_>, field: crate::catalogue::FieldId) -> bool {
    ledger.checked.shop.catalogue.field(field).group == "torque"
}

/// A procedure's title, or a value's.
fn title_of(ledger: &Ledger<'_>, what: &str) -> String {
    let shop = &ledger.checked.shop;
    let field = shop.catalogue.find(what).map(|id| shop.catalogue.field(id).title.clone());
    field.or_else(|| shop.procedure(what).map(|one| one.title.clone())).unwrap_or_else(|| what.to_owned())
}
