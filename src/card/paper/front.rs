//! The front: how much of each caution is printed.

use super::height::front_height;
use super::size::SHEET_HEIGHT;
use crate::book::Book;
use crate::book::texts::ForkTexts;
use crate::card::cautions::{body_text, cautions};
use crate::card::steps::sentences;
use crate::card::view::{CardCaution, CardView};
use crate::plan::Plan;
use crate::record::Signal;

/// How much is said of each caution: down to which signal word, and how many sentences. Two where there is room,
/// since the first says the hazard and the next what to do about it; then one; then only those of the grave ones;
/// then titles alone.
const SAID: [(Option<Signal>, usize); 5] = [
    (Some(Signal::Notice), 2),
    (Some(Signal::Notice), 1),
    (Some(Signal::Warning), 1),
    (Some(Signal::Danger), 1),
    (None, 0),
];

/// Chooses how much of each caution is printed; returns how far the front goes over.
pub(in crate::card) fn front(
    book: &Book,
    texts: &ForkTexts<'_>,
    plan: &Plan<'_>,
    view: &mut CardView,
) -> f64 {
    let facts = texts.facts();
    let worked_out = |id: &str| {
        let sentences = facts.cautions.iter().find(|(caution, _)| caution == id);
        sentences.map_or_else(String::new, |(_, sentences)| sentences.join(" "))
    };
    let cautions = cautions(book, texts.fork, plan);
    let mut over = 0.0;
    for (mildest, said) in SAID {
        let lines = cautions.iter().map(|caution| {
            let in_full = mildest.is_some_and(|mildest| caution.signal <= mildest);
            let body = if in_full { body_text(book, caution) } else { "".into() };
            let text = format!("{} {}", sentences(&body, said), worked_out(&caution.id.text));
            line(caution.signal, caution.title.clone(), text.trim().to_owned(), false)
        });
        view.cautions = lines.collect();
        over = front_height(view) - SHEET_HEIGHT;
        if over <= 0.0 {
            return over;
        }
    }
    // Run together, with as much of what was worked out as there is room for; all of it is on the page.
    for most in [usize::MAX, 1, 0] {
        view.cautions.clear();
        for (_, signal) in Signal::ALL {
            let alike = || cautions.iter().filter(|caution| caution.signal == signal);
            let titles: Vec<&str> = alike().map(|caution| caution.title.as_str()).collect();
            let sentences = alike().map(|caution| worked_out(&caution.id.text));
            let sentences: Vec<String> = sentences.filter(|text| !text.is_empty()).take(most).collect();
            if !titles.is_empty() {
                view.cautions.push(line(signal, titles.join(". "), sentences.join(" "), true));
            }
        }
        over = front_height(view) - SHEET_HEIGHT;
        if over <= 0.0 {
            break;
        }
    }
    over
}

fn line(signal: Signal, title: String, text: String, wide: bool) -> CardCaution {
    CardCaution { signal: signal.word().to_lowercase(), word: signal.word().to_owned(), title, text, wide }
}
