//! Texts that were made before and stand on a page as they are: the page's template gets a short mark for each, and
//! the text takes its place when the page is done. So a long text is neither made into a value for the template nor
//! read by it, and is copied once.
//!
//! Where a shop has templates of its own, they get the texts themselves: what they do with them is theirs.

use std::cell::RefCell;
use std::sync::Arc;

use serde::{Serialize, Serializer};

use crate::book::gaps::Gapped;

thread_local! {
    /// The texts that were given to the template of the page that this thread makes; none where it gets them itself.
    static GIVEN: RefCell<Option<Vec<Held>>> = const { RefCell::new(None) };
}

/// Stands around a mark. No source can hold it, and no page: what nobody sees is refused.
const SIGN: char = '\0';

/// A finished text: HTML with the same words in each of its gaps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    text: Gapped,
    filling: Arc<str>,
}

impl Default for Held {
    fn default() -> Self {
        Held { text: Gapped::Whole("".into()), filling: "".into() }
    }
}

impl Held {
    /// A text with these words in its gaps.
    pub fn new(text: Gapped, filling: Arc<str>) -> Held {
        Held { text, filling }
    }

    /// A text without gaps.
    pub fn whole(text: Arc<str>) -> Held {
        Held { text: Gapped::Whole(text), filling: "".into() }
    }

    /// Its bytes.
    fn len(&self) -> usize {
        let gaps = match &self.text {
            Gapped::Whole(_) => 0,
            Gapped::Cut(pieces) => pieces.len().saturating_sub(1),
        };
        self.text.len() + gaps * self.filling.len()
    }

    fn add_to(&self, out: &mut String) {
        match &self.text {
            Gapped::Whole(text) => out.push_str(text),
            Gapped::Cut(pieces) => {
                for (n, piece) in pieces.iter().enumerate() {
                    if n > 0 {
                        out.push_str(&self.filling);
                    }
                    out.push_str(piece);
                }
            }
        }
    }
}

impl Serialize for Held {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let marked = GIVEN.with_borrow_mut(|given| {
            // An empty text stays one: a template may ask whether there is any.
            let list = given.as_mut().filter(|_| !self.text.is_empty())?;
            list.push(self.clone());
            Some(format!("{SIGN}{}{SIGN}", list.len() - 1))
        });
        match marked {
            Some(mark) => serializer.serialize_str(&mark),
            None => serializer.serialize_str(&self.text.filled_with(&self.filling)),
        }
    }
}

/// The texts that are given while `give` runs, in the order of their marks, and what it gives.
pub(super) fn given<T>(give: impl FnOnce() -> T) -> (Vec<Held>, T) {
    GIVEN.set(Some(Vec::new()));
    let done = give();
    (GIVEN.take().unwrap_or_default(), done)
}

/// How long a page is with its texts in the places of their marks, at most.
pub(super) fn length(page: &str, texts: &[Held]) -> usize {
    page.split(SIGN)
        .skip(1)
        .step_by(2)
        .filter_map(|mark| Some(texts.get(mark.parse::<usize>().ok()?)?.len()))
        .sum::<usize>()
        + page.len()
}

/// A page with its texts in the places of their marks.
pub(super) fn filled(page: String, texts: &[Held], length: usize) -> String {
    if texts.is_empty() {
        return page;
    }
    let mut out = String::with_capacity(length);
    for (n, piece) in page.split(SIGN).enumerate() {
        match piece.parse().ok().and_then(|at: usize| texts.get(at)).filter(|_| n % 2 == 1) {
            Some(text) => text.add_to(&mut out),
            None => out.push_str(piece),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_takes_the_place_of_its_mark_and_is_given_whole_where_none_is_asked_for() {
        let texts =
            [Held::whole("<p>Wipe it.</p>".into()), Held::new(Gapped::new("to \0.html, \0"), "d38".into())];
        let (given, page) = given(|| serde_json::to_string(&(&texts, Held::default())).expect("texts alone"));
        assert_eq!(given, texts);
        let page: ([String; 2], String) = serde_json::from_str(&page).expect("what was written");
        let ([one, two], none) = page;
        assert_eq!(none, "", "an empty text needs no mark");
        let page = format!("<i>{two}{one}{one}</i>");
        let whole = "<i>to d38.html, d38<p>Wipe it.</p><p>Wipe it.</p></i>";
        let long = length(&page, &texts);
        assert!(long >= whole.len(), "{long}");
        assert_eq!(filled(page, &texts, long), whole);
        let plain = serde_json::to_string(&texts).expect("texts alone");
        assert_eq!(plain, "[\"<p>Wipe it.</p>\",\"to d38.html, d38\"]");
    }
}
