//! Complaints that could not be worked from.

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, rules};
use crate::record::Complaint;
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::syntax::markdown::{Part, Piece, Prose};

/// How a cause that lies outside the fork begins.
const NOT_THE_FORK: &str = "not the fork";

/// complaint-empty, cause-without-work: a complaint says what to do first, and each cause what follows from it.
pub(crate) fn complaints(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for complaint in &shop.complaints {
        whole(complaint, findings);
        causes(complaint, findings);
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
