//! What a shop's repository says, asked of the `git` command.
//!
//! Only commands that read objects are run: none of them looks at the index or at a file of the work tree, so there
//! is nothing to filter, to watch, to show or to hook into. No shell takes part, and nothing in the tree, the index
//! or the references is written.

mod command;
mod day;
mod problem;
mod revision;
mod running;
mod since;
mod tree;
mod waits;

pub use day::last_commit;
pub use problem::GitProblem;
pub use revision::Revision;
pub use since::first_with;
