//! What a shop's repository says, asked of the `git` command.
//!
//! Only commands that read objects are run: none of them looks at the index or at a file of the work tree, so there
//! is nothing to filter, to watch, to show or to hook into. No shell takes part, and nothing in the tree, the index
//! or the references is written.

mod command;
mod day;
mod revision;
mod tree;

pub use command::GitProblem;
pub use day::last_commit;
pub use revision::Revision;
