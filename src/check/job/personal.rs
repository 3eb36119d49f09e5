//! Texts of a job that tell who somebody is. No field asks for it, and a repository forgets nothing.

use std::ops::Range;

use super::desk::Desk;
use crate::diagnostic::{Finding, rules};
use crate::judge::personal;
use crate::record::{Job, Text};
use crate::text::Span;

/// job-personal: no text holds what looks like a name, a telephone number, a mail address, a registration plate or a
/// street with its number. Each is told where it stands, and never repeated: a finding goes into more hands than a job.
pub(super) fn texts(_: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    for (text, sign) in all(job) {
        for telling in personal(&text.text, sign) {
            findings.push(
                rules::JOB_PERSONAL
                    .at(place(text, telling.at), format!("this looks like {}", telling.what))
                    .bench("whoever reads the repository reads it too, for as long as there is a copy")
                    .instead("take it out, and keep it where the shop keeps its customers; a job needs machine and reading alone"),
            );
        }
    }
}

/// Where a stretch of a text stands: in a text that is written as it is, bare or between quotes. Else the whole text.
fn place(text: &Text, at: Range<usize>) -> Span {
    match text.span.range().len().checked_sub(text.text.len()) {
        Some(0) => text.span.part(at),
        Some(2) => text.span.part(at.start + 1..at.end + 1),
        _ => text.span,
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
