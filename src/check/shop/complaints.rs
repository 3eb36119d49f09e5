//! Complaints that could not be worked from.

use crate::check::CheckedFork;
use crate::check::look::of_each_kind;
use crate::diagnostic::{Finding, rules};
use crate::plan::is_for;
use crate::record::{Complaint, Procedure};
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::syntax::markdown::{Part, Piece, Prose, Step};
use crate::words::and;

/// How a cause that lies outside the fork begins.
const NOT_THE_FORK: &str = "not the fork";

/// complaint-empty, cause-without-work, cause-of-two-kinds: a complaint says what to do first, and each cause what
/// follows from it on one kind of fork.
pub(crate) fn complaints(shop: &Shop, forks: &[CheckedFork], findings: &mut Vec<Finding>) {
    let kinds = of_each_kind(forks);
    for complaint in &shop.complaints {
        whole(complaint, findings);
        causes(complaint, findings);
        complaint.body.steps().for_each(|cause| one_kind(shop, &kinds, cause, findings));
    }
}

/// A cause whose work is never done on one and the same fork would stand on no fork's page.
fn one_kind(shop: &Shop, forks: &[&CheckedFork], cause: &Step, findings: &mut Vec<Finding>) {
    let work: Vec<&Procedure> = cause.action.pieces.iter().filter_map(|piece| linked(shop, piece)).collect();
    let done = |procedure: &Procedure| forks.iter().any(|fork| is_for(shop, procedure, fork));
    let together = forks.iter().any(|fork| work.iter().all(|procedure| is_for(shop, procedure, fork)));
    if work.is_empty() || together || !work.iter().all(|procedure| done(procedure)) {
        return;
    }
    let names: Vec<String> = work.iter().map(|procedure| format!("`{}`", procedure.id.text)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    findings.push(
        rules::CAUSE_OF_TWO_KINDS
            .at(cause.span, format!("no fork of this shop is given {} together", and(&names)))
            .bench("a fork’s page leaves the cause out, or would send the mechanic to another fork’s work")
            .instead("write a cause for each kind of fork, with the work that is done on it"),
    );
}

fn linked<'s>(shop: &'s Shop, piece: &Piece) -> Option<&'s Procedure> {
    match piece {
        Piece::Reference(reference) if reference.scheme == Scheme::Procedure => {
            shop.procedure(&reference.target)
        }
        _ => None,
    }
}

fn whole(complaint: &Complaint, findings: &mut Vec<Finding>) {
    let first = complaint.body.parts.iter().position(|part| matches!(part, Part::Step(_)));
    let before = &complaint.body.parts[..first.unwrap_or(complaint.body.parts.len())];
    let reproduced = before.iter().any(|part| matches!(part, Part::Prose(_)));
    let lacks = match (reproduced, first) {
        (true, Some(_)) => return,
        (false, Some(_)) => "how to reproduce it and what to read",
        (true, None) => "its causes",
        (false, None) => "how to reproduce it, what to read, and its causes",
    };
    findings.push(
        rules::COMPLAINT_EMPTY
            .at(complaint.id.span, format!("this complaint does not say {lacks}"))
            .bench("the fork would be stripped before anybody knows what to look for")
            .instead(
                "write first how to reproduce it and what to read, then its causes as a numbered list, the first to look for first",
            ),
    );
}

fn causes(complaint: &Complaint, findings: &mut Vec<Finding>) {
    for step in complaint.body.steps() {
        let links = step.action.pieces.iter().chain(step.reason.iter().flat_map(|reason| &reason.pieces));
        let mut work = links.filter(
            |piece| matches!(piece, Piece::Reference(reference) if reference.scheme == Scheme::Procedure),
        );
        if work.next().is_none() && !says(&step.action).to_lowercase().starts_with(NOT_THE_FORK) {
            findings.push(
                rules::CAUSE_WITHOUT_WORK
                    .at(step.span, "this cause leads to no procedure")
                    .bench("whoever finds it would not know what work follows")
                    .instead(
                        "link the procedure that follows, or begin with `Not the fork:` where it lies elsewhere",
                    ),
            );
        }
    }
}

fn says(prose: &Prose) -> String {
    prose.plain(|reference| reference.text.clone()).trim().to_owned()
}
