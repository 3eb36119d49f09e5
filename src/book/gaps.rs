//! Texts with gaps: what reads the same for all forks is made once, and only what is a fork's own is put in for each.

use std::sync::Arc;

/// Stands for a gap while a text is made. No source can hold it: what nobody sees is refused.
pub const GAP: &str = "\0";

/// The same as a letter, which is found faster.
const LETTER: char = '\0';

/// A text with gaps, cut at them.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Gapped {
    /// A text without a gap: the same for every fork.
    Whole(Arc<str>),
    /// The pieces of a text, a gap between each and the next.
    Cut(Arc<[Box<str>]>),
}

impl Gapped {
    /// Cuts a text at every [`GAP`].
    pub fn new(text: &str) -> Gapped {
        if text.contains(LETTER) {
            Gapped::Cut(text.split(LETTER).map(Box::from).collect())
        } else {
            Gapped::Whole(text.into())
        }
    }

    /// The text with its gaps filled in order; what has no filling stays empty.
    pub fn filled(&self, fillings: impl IntoIterator<Item = String>) -> Arc<str> {
        match self {
            Gapped::Whole(text) => Arc::clone(text),
            Gapped::Cut(pieces) => {
                let mut fillings = fillings.into_iter();
                let mut out = String::with_capacity(self.len() + 64 * pieces.len());
                for (n, piece) in pieces.iter().enumerate() {
                    if n > 0 {
                        out.push_str(&fillings.next().unwrap_or_default());
                    }
                    out.push_str(piece);
                }
                out.into()
            }
        }
    }

    /// The text with the same words in every gap.
    pub fn filled_with(&self, filling: &str) -> Arc<str> {
        match self {
            Gapped::Whole(text) => Arc::clone(text),
            Gapped::Cut(pieces) => pieces.join(filling).into(),
        }
    }

    /// Its bytes, without what goes into the gaps.
    pub fn len(&self) -> usize {
        match self {
            Gapped::Whole(text) => text.len(),
            Gapped::Cut(pieces) => pieces.iter().map(|piece| piece.len()).sum(),
        }
    }

    /// Whether it says nothing at all.
    pub fn is_empty(&self) -> bool {
        matches!(self, Gapped::Whole(text) if text.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_filled_in_order() {
        let text = Gapped::new(&format!("Set {GAP} and {GAP}."));
        assert_eq!(&*text.filled(["9 mm".to_owned(), "4 clicks".to_owned()]), "Set 9 mm and 4 clicks.");
        assert_eq!(&*text.filled(["9 mm".to_owned()]), "Set 9 mm and .");
        assert_eq!(&*text.filled_with("x"), "Set x and x.");
        assert_eq!(text.len(), "Set  and .".len());
    }

    #[test]
    fn a_text_without_a_gap_is_not_copied() {
        let text = Gapped::new("Wipe the stanchion.");
        let (first, second) = (text.filled(["unused".to_owned()]), text.filled_with("unused"));
        assert!(Arc::ptr_eq(&first, &second) && !text.is_empty() && Gapped::new("").is_empty());
    }
}
