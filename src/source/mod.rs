//! Bytes to spanned trees: where sources come from, and how YAML and Markdown are read.

mod files;
mod git;
pub mod markdown;
mod span;
mod unseen;
pub mod yaml;

pub use files::{Changed, Files, Folder, Memory, ReadProblem, Source, SourceFile};
pub use git::{Revision, last_commit};
pub use span::{FileId, Span};
pub use unseen::none_unseen;
