//! Where sources come from, and where in them something stands: a folder, memory, a revision of git. What a text
//! means is not known here.

mod files;
mod folder;
mod git;
pub(crate) mod names;
mod open;
pub(crate) mod ordinary;
mod remembered;
mod span;
mod unseen;

pub use files::{
    Added, Changed, Files, LARGEST, LARGEST_SHOP, MOST_FILES, Memory, ReadProblem, Source, SourceFile,
};
pub use folder::Folder;
pub use git::{GitProblem, Revision, first_with, last_commit};
pub use remembered::Remembered;
pub use span::{FileId, Span};
pub use unseen::{in_json, is_unseen, visible, visible_line};
