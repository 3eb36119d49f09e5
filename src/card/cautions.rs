//! The cautions of a card: which ones, and how they are said in short.

use std::sync::Arc;

use crate::book::Book;
use crate::plan::Plan;
use crate::record::{Caution, Procedure, Signal};
use crate::resolve::ResolvedFork;
use crate::syntax::Scheme;
use crate::syntax::markdown::Part;

/// The cautions that a plan's procedures name and this fork has, worst first.
pub(super) fn cautions<'s>(book: &Book<'s>, fork: &ResolvedFork, plan: &Plan<'_>) -> Vec<&'s Caution> {
    let mut cautions: Vec<&Caution> = Vec::new();
    for reference in plan.references().filter(|reference| reference.scheme == Scheme::Caution) {
        if let Some(caution) = book.shop.caution(&reference.target)
            && caution.applies.holds(&fork.choices)
            && !cautions.iter().any(|other| other.id.text == caution.id.text)
        {
            cautions.push(caution);
        }
    }
    cautions.sort_by(|a, b| (a.signal, &a.title).cmp(&(b.signal, &b.title)));
    cautions
}

/// Whether a procedure warns of death or injury on this fork.
pub(super) fn is_grave(book: &Book, fork: &ResolvedFork, procedure: &Procedure) -> bool {
    let references = procedure.body.references.iter().filter(|reference| reference.scheme == Scheme::Caution);
    let mut cautions = references.filter_map(|reference| book.shop.caution(&reference.target));
    cautions.any(|caution| caution.signal <= Signal::Warning && caution.applies.holds(&fork.choices))
}

/// The text of a caution, which must be one of the shop's, without marks.
pub(super) fn body_text(book: &Book, caution: &Caution) -> Arc<str> {
    book.memo.caution_texts.or_make(caution.into(), || {
        let texts = caution.body.parts.iter().map(|part| match part {
            Part::Heading(prose) | Part::Prose(prose) => prose.plain(|reference| reference.text.clone()),
            Part::Step(step) => step.action.plain(|reference| reference.text.clone()),
        });
        texts.collect::<Vec<_>>().join(" ").into()
    })
}
