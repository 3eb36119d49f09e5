//! How bad a finding is.

use borsh::{BorshDeserialize, BorshSerialize};

/// How bad a finding is. An error is wrong or dangerous and stops publishing; a warning needs eyes;
/// a note is worth knowing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, BorshSerialize, BorshDeserialize)]
pub enum Severity {
    /// Wrong or dangerous: nothing is published.
    Error,
    /// Needs a person's eyes before it is relied on.
    Warning,
    /// Worth knowing; nothing is wrong.
    Note,
}

impl Severity {
    /// The word a person reads.
    ///
    /// ```
    /// use benchleaf::diagnostic::Severity;
    ///
    /// assert_eq!(Severity::Warning.word(), "warning");
    /// ```
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        }
    }
}
