//! What a job refers to.

use super::card::is_from_earlier;
use super::desk::Desk;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::record::{Job, RecordKind, Text};

/// job-refers-nowhere: fork, service, oil and wrench of a job are on record, and what was skipped. A job stays when a
/// fork is renamed or withdrawn; it is not judged then.
pub(super) fn nowhere(desk: &Desk<'_>, job: &Job, findings: &mut Vec<Finding>) {
    let wrenches =
        job.left.iter().filter_map(|line| line.wrench.as_ref()).map(|text| (RecordKind::Tool, text));
    let oil = job.oil_id().map(|oil| (RecordKind::Oil, oil));
    let head = [(RecordKind::Fork, &job.fork), (RecordKind::Service, &job.service)];
    let mut said: Vec<&str> = Vec::new();
    for (kind, text) in head.into_iter().chain(oil).chain(wrenches) {
        if text.text.is_empty() || desk.shop.knows(kind, &text.text) || said.contains(&text.text.as_str()) {
            continue;
        }
        said.push(&text.text);
        findings.push(finding(desk, kind, text));
    }
    // A service may have had other procedures when an older card was worked from.
    if !is_from_earlier(desk.cards(&job.fork.text, &job.service.text), job) {
        findings.extend(job.skipped.iter().filter_map(|skip| skipped(desk, &skip.what)));
    }
}

fn skipped(desk: &Desk<'_>, what: &Text) -> Option<Finding> {
    let keys = || desk.shop.catalogue.iter().map(|(_, field)| field.key.as_str());
    let procedures = desk.shop.known.get(&RecordKind::Procedure);
    if desk.shop.catalogue.find(&what.text).is_some() || desk.shop.knows(RecordKind::Procedure, &what.text) {
        return None;
    }
    let known = procedures.into_iter().flatten().map(String::as_str).chain(keys());
    let hint =
        did_you_mean(&what.text, known, || "write the procedure’s id, or the key of the value".to_owned());
    Some(
        rules::JOB_REFERS_NOWHERE
            .at(what.span, format!("`{}` was skipped, and is neither a procedure nor a value", what.text))
            .bench("nobody sees what was not done on this machine")
            .instead(hint),
    )
}

fn finding(desk: &Desk<'_>, kind: RecordKind, text: &Text) -> Finding {
    let known = desk.shop.known.get(&kind).into_iter().flatten().map(String::as_str);
    let hint = did_you_mean(&text.text, known, || {
        format!("write the {}’s id of today, or bring its record back", kind.word())
    });
    rules::JOB_REFERS_NOWHERE
        .at(text.span, format!("there is no {} `{}` on record", kind.word(), text.text))
        .bench("what hangs on it in this job is held against nothing")
        .instead(hint)
}
