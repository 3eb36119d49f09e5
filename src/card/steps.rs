//! What a card says of a procedure's steps, from a title alone to every step. Of a step it is the first paragraph.

use std::sync::Arc;

use crate::book::Book;
use crate::book::gaps::{GAP, Gapped};
use crate::book::reading::{boxed, is_number};
use crate::book::texts::ForkTexts;
use crate::catalogue::FieldId;
use crate::quantity::Kind;
use crate::record::Procedure;
use crate::syntax::Scheme;
use crate::syntax::markdown::{Piece, Reference, Step, plain};

/// How much is said of a procedure, from short to full.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Detail {
    /// The title.
    Title,
    /// The numbers with their names.
    Numbers,
    /// Only the steps with a number, in full.
    Numbered,
    /// The first sentence of every step; those with a number in full.
    Every,
}

/// What is said of a procedure besides its title, with the numbers of a fork.
pub(super) fn wording(book: &Book, texts: &ForkTexts<'_>, procedure: &Procedure, detail: Detail) -> Arc<str> {
    match detail {
        Detail::Title => Arc::from(""),
        Detail::Numbers => numbers(book, texts, procedure).into(),
        Detail::Numbered | Detail::Every => {
            let key = (procedure.into(), detail as u8);
            let open = book.memo.card_steps.or_make(key, || steps(book, procedure, detail));
            filled(book, texts, procedure, &open)
        }
    }
}

/// The numbers that a procedure names, with their names.
fn numbers(book: &Book, texts: &ForkTexts<'_>, procedure: &Procedure) -> String {
    let mut numbers: Vec<String> = Vec::new();
    for reference in procedure.body.references.iter().filter(|reference| reference.scheme == Scheme::Spec) {
        let Some(id) = book.shop.catalogue.find(&reference.target) else { continue };
        let field = book.shop.catalogue.field(id);
        let value = texts.short(id);
        let number = format!("{} {value}", field.short);
        let is_oil = matches!(&field.kind, Kind::Reference(to) if to == "oil");
        if (is_number(&field.kind) || is_oil) && !value.is_empty() && !numbers.contains(&number) {
            numbers.push(number);
        }
    }
    if numbers.is_empty() { String::new() } else { format!("{}.", numbers.join("; ")) }
}

/// The steps of a procedure, with a gap for each number of the fork: that reads the same on every card.
fn steps(book: &Book, procedure: &Procedure, detail: Detail) -> Gapped {
    let steps = procedure.body.steps().filter(|step| detail == Detail::Every || has_number(step));
    let sentences = steps.map(|step| {
        let plain = plain(step.action.lead(), |reference| match reference.scheme {
            Scheme::Spec if book.shop.catalogue.find(&reference.target).is_some() => GAP.to_owned(),
            Scheme::Reading if reference.text.starts_with("reading:") => "in its box".to_owned(),
            _ => reference.text.clone(),
        });
        let plain = boxed(&plain, "in its box", "in their boxes");
        if has_number(step) { plain } else { first_sentence(&plain).to_owned() }
    });
    Gapped::new(&sentences.collect::<Vec<_>>().join(" "))
}

/// The same with the numbers of a fork.
fn filled(book: &Book, texts: &ForkTexts<'_>, procedure: &Procedure, open: &Gapped) -> Arc<str> {
    let pieces = procedure.body.steps().flat_map(|step| step.action.lead());
    open.filled(pieces.filter_map(|piece| match piece {
        Piece::Reference(reference) if reference.scheme == Scheme::Spec => {
            let id = book.shop.catalogue.find(&reference.target)?;
            Some(spoken(texts, id, reference))
        }
        _ => None,
    }))
}

/// A number with its name; where the fork has none, what the step says is done.
fn spoken(texts: &ForkTexts<'_>, id: FieldId, reference: &Reference) -> String {
    match &reference.otherwise {
        Some(words) if texts.is_silent(id) => format!("{} ({words})", reference.text),
        _ => {
            let beside = texts.beside(id);
            let beside = if beside.is_empty() { String::new() } else { format!(" [{beside}]") };
            format!("{} {}{beside}", reference.text, texts.short(id)).trim_end().to_owned()
        }
    }
}

fn has_number(step: &Step) -> bool {
    step.action
        .lead()
        .iter()
        .any(|piece| matches!(piece, Piece::Reference(r) if r.scheme == Scheme::Spec || r.scheme == Scheme::Reading))
}

/// The first sentence.
fn first_sentence(text: &str) -> &str {
    sentences(text, 1)
}

/// The first sentences, so many of them.
pub(super) fn sentences(text: &str, many: usize) -> &str {
    let mut ends = text.match_indices(". ").map(|(at, _)| at + 1);
    &text[..many.checked_sub(1).and_then(|last| ends.nth(last)).unwrap_or(text.len())]
}
