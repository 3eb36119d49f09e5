//! The front: how much of each caution is printed.

use super::height::front_height;
use super::size::SHEET_HEIGHT;
use crate::book::Book;
use crate::book::texts::ForkTexts;
use crate::card::cautions::{body_text, cautions};
use crate::card::steps::sentences;
use crate::card::view::{CardCaution, CardView};
use crate::plan::Plan;
use crate::record::{Caution, Signal};

/// Which cautions are said with their first sentence, down to which signal word: all; then only the grave ones; then
/// none.
const SAID: [Option<Signal>; 4] = [Some(Signal::Notice), Some(Signal::Warning), Some(Signal::Danger), None];

/// The most sentences of a caution on a card: the first says the hazard, the next what to do about it.
const MOST_SENTENCES: usize = 2;

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
    let say = |caution: &Caution, most: usize| {
        let body = if most > 0 { body_text(book, caution) } else { "".into() };
        let text = format!("{} {}", sentences(&body, most), worked_out(&caution.id.text));
        line(caution.signal, caution.title.clone(), text.trim().to_owned(), false)
    };
    for mildest in SAID {
        let is_said = |caution: &Caution| mildest.is_some_and(|mildest| caution.signal <= mildest);
        view.cautions = cautions.iter().map(|caution| say(caution, usize::from(is_said(caution)))).collect();
        over = front_height(view) - SHEET_HEIGHT;
        if over <= 0.0 {
            // What room is left goes to the second sentence of each, the worst first.
            for (n, caution) in cautions.iter().enumerate().filter(|(_, caution)| is_said(caution)) {
                let short = std::mem::replace(&mut view.cautions[n], say(caution, MOST_SENTENCES));
                let tried = front_height(view) - SHEET_HEIGHT;
                if tried > 0.0 {
                    view.cautions[n] = short;
                } else {
                    over = tried;
                }
            }
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
