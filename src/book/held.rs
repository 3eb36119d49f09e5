//! Texts that were made before and stand on a page as they are: the page's template gets a short mark for each, and
//! the text takes its place when the page is done. So a long text is neither made into a value for the template nor
//! read by it, and is copied once. A part of a view that many pages have alike is handed over in the same way: it is
//! made into a text once, and not read by each page's template.
//!
//! Where a shop has templates of its own, they get the texts and the parts themselves: what they do with them is
//! theirs.

use std::any::Any;
use std::cell::RefCell;
use std::ops::Deref;
use std::sync::Arc;

use serde::{Serialize, Serializer};

use super::gaps::Gapped;

/// What was given to a template as a mark.
#[derive(Debug, Clone)]
pub enum Given {
    /// A finished text.
    Text(Held),
    /// A part of the view, which is still to be made into a text.
    Part(Arc<dyn Any + Send + Sync>),
}

thread_local! {
    /// What was given to the template of the page that this thread makes; none where it gets all of it itself.
    static GIVEN: RefCell<Option<Vec<Given>>> = const { RefCell::new(None) };
    /// The memory of the last page of this thread, to be used again: a page's is large, and new memory has to be emptied
    /// by the system first.
    static SPARE: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Stands around a mark. No source can hold it, and no page: what nobody sees is refused. It is not the sign of a gap.
const SIGN: char = '\u{1}';

/// The most memory that is kept for the next page, in bytes: most pages take less.
const MOST_SPARE: usize = 4 << 20;

/// Gives something under a mark, where marks are asked for.
fn mark(give: impl FnOnce() -> Given) -> Option<String> {
    GIVEN.with_borrow_mut(|given| {
        let list = given.as_mut()?;
        list.push(give());
        Some(format!("{SIGN}{}{SIGN}", list.len() - 1))
    })
}

/// A part of a view that stands on many pages, shared by them. A template that asks for marks gets it as a finished
/// text, every other as it is.
#[derive(Debug, Default, PartialEq, Eq, Hash)]
pub struct Shared<T>(Arc<T>);

impl<T> Clone for Shared<T> {
    fn clone(&self) -> Self {
        Shared(Arc::clone(&self.0))
    }
}

impl<T> From<T> for Shared<T> {
    fn from(part: T) -> Self {
        Shared(Arc::new(part))
    }
}

impl<T> Deref for Shared<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}

impl<T: Serialize + Send + Sync + 'static> Serialize for Shared<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let whole = Arc::clone(&self.0);
        match mark(|| Given::Part(whole)) {
            Some(mark) => serializer.serialize_str(&mark),
            None => self.0.serialize(serializer),
        }
    }
}

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
        // An empty text stays one: a template may ask whether there is any.
        let marked = if self.text.is_empty() { None } else { mark(|| Given::Text(self.clone())) };
        match marked {
            Some(mark) => serializer.serialize_str(&mark),
            None => serializer.serialize_str(&self.text.filled_with(&self.filling)),
        }
    }
}

/// What is given while `give` runs, in the order of the marks, and what it gives.
pub fn given<T>(give: impl FnOnce() -> T) -> (Vec<Given>, T) {
    GIVEN.set(Some(Vec::new()));
    let done = give();
    (GIVEN.take().unwrap_or_default(), done)
}

/// How long a page is with its texts in the places of their marks, at most.
pub fn length(page: &str, texts: &[Held]) -> usize {
    page.split(SIGN)
        .skip(1)
        .step_by(2)
        .filter_map(|mark| Some(texts.get(mark.parse::<usize>().ok()?)?.len()))
        .sum::<usize>()
        + page.len()
}

/// A page with its texts in the places of their marks.
pub fn filled(page: String, texts: &[Held], length: usize) -> String {
    if texts.is_empty() {
        return page;
    }
    let mut out = String::from_utf8(SPARE.take()).unwrap_or_default();
    out.clear();
    out.reserve(length);
    for (n, piece) in page.split(SIGN).enumerate() {
        match piece.parse().ok().and_then(|at: usize| texts.get(at)).filter(|_| n % 2 == 1) {
            Some(text) => text.add_to(&mut out),
            None => out.push_str(piece),
        }
    }
    out
}

/// The bytes of a page that is written and let go at once: the next page of the thread is made in their memory.
#[derive(Debug)]
pub struct Lent(Vec<u8>);

impl Lent {
    /// These bytes.
    pub fn new(bytes: Vec<u8>) -> Lent {
        Lent(bytes)
    }
}

impl AsRef<[u8]> for Lent {
    fn as_ref(&self) -> &[u8] {
        &self.0
    }
}

impl Drop for Lent {
    fn drop(&mut self) {
        let mut bytes = std::mem::take(&mut self.0);
        bytes.clear();
        if bytes.capacity() <= MOST_SPARE {
            SPARE.set(bytes);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The finished texts among what was given.
    fn texts(given: &[Given]) -> Vec<Held> {
        let text = |one: &Given| match one {
            Given::Text(text) => Some(text.clone()),
            Given::Part(_) => None,
        };
        given.iter().filter_map(text).collect()
    }

    #[test]
    fn a_text_takes_the_place_of_its_mark_and_is_given_whole_where_none_is_asked_for() {
        let held =
            [Held::whole("<p>Wipe it.</p>".into()), Held::new(Gapped::new("to \0.html, \0"), "d38".into())];
        let (given, page) = given(|| serde_json::to_string(&(&held, Held::default())).expect("texts alone"));
        let texts = texts(&given);
        assert_eq!(texts, held);
        let page: ([String; 2], String) = serde_json::from_str(&page).expect("what was written");
        let ([one, two], none) = page;
        assert_eq!(none, "", "an empty text needs no mark");
        let page = format!("<i>{two}{one}{one}</i> a gap \0 stays");
        let whole = "<i>to d38.html, d38<p>Wipe it.</p><p>Wipe it.</p></i> a gap \0 stays";
        let long = length(&page, &texts);
        assert!(long >= whole.len(), "{long}");
        // In memory that was used before as well.
        for _ in 0..2 {
            let made = filled(page.clone(), &texts, long);
            assert_eq!(made, whole);
            drop(Lent::new(made.into_bytes()));
        }
        let plain = serde_json::to_string(&held).expect("texts alone");
        assert_eq!(plain, "[\"<p>Wipe it.</p>\",\"to d38.html, d38\"]");
    }

    #[test]
    fn a_part_is_given_under_a_mark_or_as_it_is() {
        let part = Shared::from(vec!["9 mm".to_owned()]);
        let (given, marked) = given(|| serde_json::to_value(&part).expect("texts alone"));
        assert!(marked.is_string(), "{marked}");
        let [Given::Part(whole)] = &given[..] else { panic!("{given:?}") };
        assert_eq!(whole.downcast_ref::<Vec<String>>(), Some(&*part));
        assert_eq!(serde_json::to_value(&part).expect("texts alone"), serde_json::json!(["9 mm"]));
    }
}
