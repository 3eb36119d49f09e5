//! Where sources come from, and where in them something stands: a folder, memory, a revision of git. What a text
//! means is not known here.

mod files;
mod git;
mod span;

pub use files::{Changed, Files, Folder, Memory, ReadProblem, Source, SourceFile};
pub use git::{Revision, last_commit};
pub use span::{FileId, Span};
