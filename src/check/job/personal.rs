//! Texts of a job that tell who somebody is. No field asks for it, and a repository forgets nothing.

use super::desk::Desk;
use crate::diagnostic::{Finding, rules};
use crate::judge::personal;
use crate::record::{Job, Text};

/// job-personal: no text holds what looks like a name, a telephone number, a mail address or a
/// street with its number.
pub(super) fn texts(_: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    for (text, sign) in all(job) {
        let Some(what) = personal(&text.text, sign) else { continue };
        findings.push(
            rules::JOB_PERSONAL
                .at(text.span, format!("this looks like {what}"))
                .bench("whoever reads the repository reads it too, for as long as there is a copy")
                .instead("take it out, and keep it where the shop keeps its customers; a job needs machine and reading alone"),
        );
    }
}

/// Every free text of a job, each with whether it is asked for as a sign.
fn all(job: &Job) -> Vec<(&Text, bool)> {
    let free = [&job.complaint, &job.notes, &job.rider.use_for].into_iter().flatten();
    let signs = [&job.done_by, &job.read_back_by].into_iter().flatten();
    let parts = job.parts.iter().flat_map(|part| [Some(&part.part), part.size.as_ref()]).flatten();
    let whys = job.lines().flat_map(|(_, line)| &line.readings).filter_map(|reading| reading.why.as_ref());
    let free = free.chain(job.skipped.iter().map(|skip| &skip.why)).chain(parts).chain(whys);
    let mut out: Vec<_> = free.map(|text| (text, false)).chain(signs.map(|text| (text, true))).collect();
    out.sort_by_key(|(text, _)| text.span);
    out.dedup_by_key(|(text, _)| text.span);
    out
}
