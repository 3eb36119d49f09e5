//! Two texts with the words that differ marked.

use crate::review::differences;

/// The most words of a text that are compared one by one; a longer one is marked as a whole.
const MOST_WORDS: usize = 2_000;

/// A run of words, and whether the other text has it at this place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The words, with single blanks.
    pub text: String,
    /// The other text does not have them here.
    pub differs: bool,
}

/// Both texts in runs of words: what they share and what only one of them has.
pub fn marked(old: &str, new: &str) -> (Vec<Run>, Vec<Run>) {
    let (was, is): (Vec<&str>, Vec<&str>) =
        (old.split_whitespace().collect(), new.split_whitespace().collect());
    if was.len() > MOST_WORDS || is.len() > MOST_WORDS {
        let whole = |words: &[&str]| vec![Run { text: words.join(" "), differs: true }];
        return (whole(&was), whole(&is));
    }
    let places = differences(&was, &is);
    let gone = places.iter().filter_map(|(old, _)| *old).collect::<Vec<_>>();
    let came = places.iter().filter_map(|(_, new)| *new).collect::<Vec<_>>();
    (runs(&was, &gone), runs(&is, &came))
}

fn runs(words: &[&str], differing: &[usize]) -> Vec<Run> {
    let mut out: Vec<Run> = Vec::new();
    for (at, word) in words.iter().enumerate() {
        let differs = differing.binary_search(&at).is_ok();
        match out.last_mut() {
            Some(run) if run.differs == differs => {
                run.text.push(' ');
                run.text.push_str(word);
            }
            _ => out.push(Run { text: (*word).to_owned(), differs }),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(runs: &[Run]) -> String {
        let words = |run: &Run| if run.differs { format!("[{}]", run.text) } else { run.text.clone() };
        runs.iter().map(words).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn the_words_that_differ_are_marked_in_both_texts() {
        let (old, new) = marked("turn the cap a quarter turn, no more", "turn the cap half a turn");
        assert_eq!(shown(&old), "turn the cap a [quarter turn, no more]");
        assert_eq!(shown(&new), "turn the cap [half] a [turn]");
    }

    #[test]
    fn texts_that_share_nothing_are_marked_whole_and_equal_ones_not_at_all() {
        let (old, new) = marked("let the air out", "pour oil");
        assert_eq!((shown(&old).as_str(), shown(&new).as_str()), ("[let the air out]", "[pour oil]"));
        let (old, new) = marked("pour  oil", "pour oil");
        assert_eq!((shown(&old), shown(&new)), ("pour oil".to_owned(), "pour oil".to_owned()));
        assert_eq!(marked("", ""), (Vec::new(), Vec::new()));
    }

    #[test]
    fn a_very_long_text_is_marked_as_a_whole() {
        let long = "oil ".repeat(MOST_WORDS + 1);
        let (old, new) = marked(&long, "oil");
        assert_eq!((old.len(), new.len()), (1, 1));
        assert!(old[0].differs);
    }
}
