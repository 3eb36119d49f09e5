//! What a step says fits on a card: the first paragraph is what the card has of it.

use crate::diagnostic::{Finding, rules};
use crate::resolve::Shop;
use crate::syntax::Scheme;
use crate::syntax::markdown::{Piece, Reference, Step};

/// step-not-on-card: a step begins with a sentence, and what is set or written stands in its first paragraph.
pub(crate) fn steps(shop: &Shop, findings: &mut Vec<Finding>) {
    for step in shop.procedures.iter().flat_map(|procedure| procedure.body.steps()) {
        let lead = step.action.lead();
        if lead.is_empty() && !step.action.pieces.is_empty() {
            findings.push(
                rules::STEP_NOT_ON_CARD
                    .at(step.span, "this step begins with a table, a list or code")
                    .bench("the card says a step in its first paragraph, so it would say nothing of this one")
                    .instead("say in a sentence first what to do; a table or a list may follow it"),
            );
            continue;
        }
        let later = lost(step);
        if let Some((first, more)) = later.split_first() {
            let what = if first.scheme == Scheme::Reading { "box" } else { "number" };
            let mut finding = rules::STEP_NOT_ON_CARD
                .at(first.span, format!("this {what} stands behind the first paragraph of its step"))
                .bench(
                    "the card says a step in its first paragraph, so whoever works from it does not get this",
                )
                .instead("bring it in the first paragraph, or make a step of its own of this");
            for reference in more {
                finding = finding.also(reference.span, "and this");
            }
            findings.push(finding);
        }
    }
}

/// The values and boxes of a step that its card does not say.
fn lost(step: &Step) -> Vec<&Reference> {
    let mine = |piece: &&Piece| matches!(piece, Piece::Reference(r) if matches!(r.scheme, Scheme::Spec | Scheme::Reading));
    let all = step.action.pieces.iter().filter(mine);
    all.skip(step.action.lead().iter().filter(mine).count())
        .filter_map(|piece| match piece {
            Piece::Reference(reference) => Some(reference),
            Piece::Event(_) => None,
        })
        .collect()
}
