//! What a link of the shop leads to.

use std::fmt;

/// What a link leads to: the word before its colon.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Scheme {
    /// A value of the fork, as a number in the sentence.
    Spec,
    /// A procedure.
    Procedure,
    /// A caution.
    Caution,
    /// A tool or a consumable.
    Tool,
    /// An oil.
    Oil,
    /// The box in which a value is written as it is read.
    Reading,
    /// A picture of the shop's own, beside the text. No link leads to one: it is written as Markdown writes pictures.
    Picture,
}

impl Scheme {
    /// Every scheme that a link can name, besides the web's and mail's.
    pub const ALL: [Scheme; 6] =
        [Scheme::Spec, Scheme::Procedure, Scheme::Caution, Scheme::Tool, Scheme::Oil, Scheme::Reading];

    /// The word before the colon.
    pub const fn word(self) -> &'static str {
        match self {
            Scheme::Spec => "spec",
            Scheme::Procedure => "procedure",
            Scheme::Caution => "caution",
            Scheme::Tool => "tool",
            Scheme::Oil => "oil",
            Scheme::Reading => "reading",
            Scheme::Picture => "picture",
        }
    }

    /// The scheme of a word.
    pub(crate) fn of(word: &str) -> Option<Scheme> {
        Scheme::ALL.into_iter().find(|scheme| scheme.word() == word)
    }
}

impl fmt::Display for Scheme {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}
