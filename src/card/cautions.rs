//! The cautions at the head of a card: those that carry a number of this fork, and those that somebody acts on for the
//! whole job. All others stand as a word at their lines.

use std::sync::Arc;

use super::view::CardCaution;
use crate::book::Book;
use crate::book::texts::ForkTexts;
use crate::plan::Plan;
use crate::record::Caution;
use crate::syntax::Scheme;
use crate::syntax::markdown::Part;

/// The cautions that a plan's procedures name and this fork has, worst first, as far as they belong at the head.
pub(super) fn head_cautions(book: &Book, texts: &ForkTexts<'_>, plan: &Plan<'_>) -> Vec<CardCaution> {
    let mut cautions: Vec<&Caution> = Vec::new();
    for reference in plan.references().filter(|reference| reference.scheme == Scheme::Caution) {
        if let Some(caution) = book.shop.caution(&reference.target)
            && caution.applies.holds(&texts.fork.choices)
            && !cautions.iter().any(|other| other.id.text == caution.id.text)
        {
            cautions.push(caution);
        }
    }
    cautions.sort_by(|a, b| (a.signal, &a.title).cmp(&(b.signal, &b.title)));
    cautions.into_iter().filter_map(|caution| head_caution(texts, caution)).collect()
}

/// A caution as it stands at the head; `None` where its line alone names it.
pub(super) fn head_caution(texts: &ForkTexts<'_>, caution: &Caution) -> Option<CardCaution> {
    let worked_out = texts.facts().short.iter().find(|(id, _)| *id == caution.id.text);
    let sentences = worked_out.map(|(_, sentences)| sentences.join(" "));
    let text = [caution.whole_job.clone(), sentences].into_iter().flatten().collect::<Vec<_>>().join(" ");
    (!text.is_empty()).then(|| CardCaution {
        signal: caution.signal.word().to_lowercase(),
        word: caution.signal.word().to_owned(),
        title: caution.title.clone(),
        text,
    })
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
